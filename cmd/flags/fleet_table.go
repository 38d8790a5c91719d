package main

// A model is one kind of gauge as a fleet has it. All figures are invented.
type model struct {
	name   string
	preset string
	low    string // of the range, with its unit
	high   string
	step   string

	// scatter is the standard deviation of readings in steps, curve that of the
	// fixed error from point to point as a share of the limit.
	scatter, curve float64
}

var models = []model{
	{"micrometer 0-25, step 1 µm", "micrometer-0-25", "0 mm", "25 mm", "0.001 mm", 0.4, 0.12},
	{"micrometer 75-100, step 1 µm", "micrometer-75-100", "75 mm", "100 mm", "0.001 mm", 0.5, 0.12},
	{"digital caliper 300, step 10 µm", "caliper-300-digital", "0 mm", "300 mm", "0.01 mm", 0.3, 0.12},
	{"dial gauge 10, step 10 µm", "dial-gauge-10", "0 mm", "10 mm", "0.01 mm", 0.2, 0.12},
	{"thickness gauge, step 10 µm", "thickness-leather", "0 mm", "10 mm", "0.01 mm", 0.2, 0.12},
}

// A story is what happens to a fleet: to one gauge in ten of each house.
type story struct {
	name string

	// zero and scale are what is added in each interval, as shares of the
	// limit: to every error, and at the far end of the range. Signs are drawn.
	zero, scale float64

	reset  bool    // the zero is set anew before each check, within half a step
	jump   float64 // share of the limit, between the third and the fourth check
	all    bool    // every gauge of the house, not one in ten
	still  float64 // all scatter so many times as much as the model; 0 leaves it
	unseen float64 // steps: scatter at a point from check to check that the readings of one check do not show

	whole bool // the shares are of the whole house, not of those it happens to
}

var stories = []story{
	{name: "stable"},
	{name: "stable, 1 in 10 zeros set anew", reset: true, whole: true},
	{name: "  of these 1 in 10 alone", reset: true},
	{name: "stable, all zeros set anew", reset: true, all: true},
	{name: "stable, readings a fifth as wide", still: 0.2, all: true},
	{name: "stable, 0.3 step beside readings", unseen: 0.3, all: true},
	{name: "zero drifts 1/5 limit a year", zero: 0.2},
	{name: "scale drifts 1/5 limit a year", scale: 0.2},
	{name: "zero jumps 1/2 limit", jump: 0.5},
}
