package study

// A Result is what was computed from a study. Sizes are in Unit, variances in
// its square.
type Result struct {
	Unit string `json:"unit"` // mm, N, kg or kPa

	Mean float64 `json:"mean"` // of all readings, in Unit

	Lines     []Line        `json:"analysis"`
	Pooled    bool          `json:"interaction_pooled"`
	Why       string        `json:"pooling"`     // by which rule it was pooled or not
	Against   string        `json:"denominator"` // why the factors are tested against what they are
	Shares    []Component   `json:"components"`
	Operators []OperatorRow `json:"operators"`

	Tolerance   float64 `json:"tolerance,omitempty"` // its width, in Unit; 0: none was given
	Multiple    float64 `json:"multiple"`            // of s, set against the tolerance; without unit
	Probability float64 `json:"probability"`         // confidence of the intervals, 0 to 1

	// Categories is how many classes of parts the process can tell apart; 0 where
	// no scatter of the measurement was seen.
	Categories int `json:"categories"`

	// Ratio is √2 · s of parts by s of the measurement, from which it is
	// truncated, without unit; 0 where no scatter was seen.
	Ratio float64 `json:"category_ratio"`

	// Reading says whether the process serves for the tolerance; empty without
	// one.
	Reading  Reads    `json:"reading,omitempty"`
	Findings []string `json:"findings,omitempty"`
}

// Reads is what a study comes to.
type Reads string

// What is said of a process by the share of the tolerance that its spread
// takes: up to 10 %, up to 30 %, up to all of it, more (common practice, but
// for the last, which is arithmetic).
const (
	Serves         Reads = "serves"
	ServesWithCare Reads = "serves with care"
	DoesNotServe   Reads = "does not serve"
	Exceeds        Reads = "exceeds the tolerance"
)

// Ends of what is said, as shares of the tolerance.
const (
	servesTo   = 0.10 // common practice
	withCareTo = 0.30 // common practice
)

// The sources of variation, as they are told.
const (
	OfParts           = "parts"
	OfOperators       = "operators"
	OfInteraction     = "parts × operators"
	OfRepeats         = "repeats"
	OfRepeatability   = "repeatability"
	OfReproducibility = "reproducibility"
	OfMeasurement     = "measurement"
	OfTotal           = "total"
)

// A Line is one line of the analysis of variance.
type Line struct {
	Of         string  `json:"of"`
	Squares    float64 `json:"sum_of_squares"` // in the square of the result's unit
	DoF        float64 `json:"dof"`            // 1 or more
	MeanSquare float64 `json:"mean_square"`    // in the square of the result's unit

	// F is the ratio of mean squares against the line Against, P the probability
	// of as large a one where there is no such effect, both without unit; where
	// Against is empty nothing was tested.
	Against string  `json:"against,omitempty"`
	F       float64 `json:"f,omitempty"` // without unit
	P       float64 `json:"p,omitempty"` // 0 to 1
}

// A Component is one variance with what it comes to.
type Component struct {
	Of string `json:"of"`

	Estimate float64 `json:"estimate"` // of the variance, as computed; may be below zero
	Variance float64 `json:"variance"` // as taken: 0 where Estimate is below zero
	DoF      float64 `json:"dof"`      // that it is worth, by Satterthwaite; 0 where it is zero

	S    float64 `json:"s"`      // standard deviation, in Unit
	Low  float64 `json:"s_low"`  // lower end of its interval, in Unit
	High float64 `json:"s_high"` // upper end, in Unit

	OfTotal float64 `json:"share_of_total"` // of the total variance, 0 to 1

	// OfTolerance, and the ends of its interval, are Multiple · s by the width
	// of the tolerance, without unit; 0 without a tolerance.
	OfTolerance float64 `json:"share_of_tolerance,omitempty"`
	LowOf       float64 `json:"share_of_tolerance_low,omitempty"`  // lower end, without unit
	HighOf      float64 `json:"share_of_tolerance_high,omitempty"` // upper end, without unit
}

// An OperatorRow is what one operator read.
type OperatorRow struct {
	Name string  `json:"name"`
	Mean float64 `json:"mean"` // of all readings, in Unit
	S    float64 `json:"s"`    // of repeats, pooled over the parts, in Unit
}

// Find returns a component by its name.
func (r Result) Find(of string) (Component, bool) {
	for _, c := range r.Shares {
		if c.Of == of {
			return c, true
		}
	}
	return Component{}, false
}
