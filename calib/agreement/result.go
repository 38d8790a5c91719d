package agreement

// A Result is what was computed from a comparison. Sizes are in Unit.
type Result struct {
	Unit string `json:"unit"` // mm, N, kg or kPa

	// Same says whether both measured by the same method, Differ how they did
	// not, Unknown what one of them did not say.
	Same    SameMethod   `json:"same_method"`
	Differ  []Difference `json:"differ,omitempty"`
	Unknown []string     `json:"not_known,omitempty"`

	// Expected is the difference A − B that the pressures alone make, where the
	// effect of pressure is known; it is not taken off.
	Expected *float64 `json:"expected_by_pressure,omitempty"`

	Specimens []SpecimenResult `json:"specimens"`

	Mean float64 `json:"mean_difference"` // A − B, in Unit
	S    float64 `json:"s"`               // of the differences, in Unit; 0 for one specimen

	// Low and High bound the mean difference at 95 %: of one specimen by both
	// claims, of several by the scatter of their differences.
	Low  float64 `json:"low"`  // in Unit
	High float64 `json:"high"` // in Unit
	By   string  `json:"interval_by"`

	Worst   float64 `json:"worst_en"` // the largest |E_n|, without unit
	Agree   bool    `json:"agree"`    // every |E_n| is 1 or less
	Reading string  `json:"reading"`

	// Suspects are the lines of both budgets, the most likely behind a
	// disagreement first.
	Suspects []Suspect `json:"suspects,omitempty"`
	Findings []string  `json:"findings,omitempty"`
}

// SameMethod says whether both measured by the same method.
type SameMethod string

// The answers.
const (
	SameAll     SameMethod = "yes"
	SameNot     SameMethod = "no"
	SameUnknown SameMethod = "not known"
)

// A Difference is one thing that both did otherwise.
type Difference struct {
	What string `json:"what"`
	A    string `json:"a"`
	B    string `json:"b"`
}

// A SpecimenResult is the difference at one specimen.
type SpecimenResult struct {
	Name       string  `json:"name"`
	Difference float64 `json:"difference"` // A − B, in Unit
	Expanded   float64 `json:"expanded"`   // of the difference, k = 2, in Unit, above 0
	En         float64 `json:"en"`         // with the sign of the difference, without unit
}

// A Suspect is a line of a budget as a cause of the mean difference.
type Suspect struct {
	Party string `json:"party"`
	Name  string `json:"name"`

	Standard float64 `json:"u"` // its part of the standard uncertainty, in Unit

	// Share is its part of the variance of the difference, 0 to 1: so much of
	// the difference is to be expected of it, where all claims are right.
	Share float64 `json:"share"`

	// Times is the mean difference by Standard, without unit: so many of its
	// standard uncertainties off it would be if it were the only cause.
	Times float64 `json:"times"`
}
