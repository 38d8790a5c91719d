package main

// A demoStudy is an invented study: one soft sheet's five strips, measured by
// three people.
type demoStudy struct {
	gauge, title, process, date string
	seed                        uint64

	// Per operator: by how much the strip gives way under this hand, and that
	// more for each tenth of a millimetre above the thinnest, mm; and the spread
	// of the hand, mm.
	press, more map[string]float64
	spreadMM    float64 // mm
}

// demoStrips are the thicknesses of the strips under no pressure, mm, and what
// their place in a bellows allows.
var (
	demoStrips    = []float64{2.14, 2.22, 2.18, 2.09, 2.25}
	demoHands     = []string{"EK", "JV", "MH"}
	demoTolerance = [2]string{"1.85 mm", "2.25 mm"}
)

const demoRepeats = 3

// The same strips twice: under a screw, which everybody turns down as far as
// they feel is right, and under a foot, which falls by itself.
var demoStudies = []demoStudy{
	{"MIC-014", "felt strips, hand-turned screw", "outside micrometer, screwed down until it is felt to touch", "2026-11-04", 104,
		map[string]float64{"EK": 0.19, "JV": 0.07, "MH": 0.12}, map[string]float64{"EK": 0.010, "JV": 0.002, "MH": -0.006}, 0.018},
	{"THK-002", "felt strips, falling foot", "foot of 10 mm let fall, 49 kPa, read after 5 s", "2026-11-05", 105,
		map[string]float64{"EK": 0.151, "JV": 0.149, "MH": 0.150}, nil, 0.004},
}
