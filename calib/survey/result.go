package survey

import (
	"example.org/wring/calib"
	"example.org/wring/uncertainty/unit"
)

// A Result is what was computed from a survey. Lengths are in millimetres.
type Result struct {
	Places []PlaceResult `json:"places"`

	Mean     calib.Figure `json:"mean"`      // of the lot
	Median   unit.Exact   `json:"median_mm"` // of the places, mm
	Reported Report       `json:"reported"`  // which of the two the method reports

	S     float64    `json:"s_mm"`     // standard deviation of the places' thicknesses, mm, 0 or more; 0 for one place
	Range unit.Exact `json:"range_mm"` // largest less smallest, mm
	Least []string   `json:"least"`    // places with the smallest thickness
	Most  []string   `json:"most"`     // places with the largest

	Within  Spread   `json:"within"`            // of readings at one place
	Between *Between `json:"between,omitempty"` // nil where no place was read twice

	Pressure *PressureEffect `json:"pressure,omitempty"`

	Interval *Interval `json:"interval,omitempty"` // nil where there are too few places or no scatter
	Trends   []Trend   `json:"trends,omitempty"`
	Needed   *Needed   `json:"needed,omitempty"` // nil where nothing was wanted

	// Budget has a figure for the mean first, and one for each place after it.
	Budget []calib.BudgetRow `json:"budget"`

	// Verdict is the worse of the mean's and of the worst place's; PlacesVerdict
	// is that place's. Empty where the lot has no such tolerance.
	Verdict       calib.Verdict `json:"verdict,omitempty"`
	PlacesVerdict calib.Verdict `json:"places_verdict,omitempty"`

	// Findings are what was marked; Override is why the gauge was used that some
	// of them would have stopped, empty where none would.
	Findings []calib.Finding `json:"findings,omitempty"`
	Override string          `json:"override,omitempty"`
	Notes    []string        `json:"notes,omitempty"`
}

// A PlaceResult is the thickness at one place and the verdict on it.
type PlaceResult struct {
	Name string `json:"name"`

	X *float64 `json:"x,omitempty"` // share of the width from the left edge, 0 to 1; nil: not known
	Y *float64 `json:"y,omitempty"` // share of the length from the beginning, 0 to 1; nil: not known

	Reading   unit.Exact   `json:"reading_mm"` // mean of the readings less the zero, mm
	Error     float64      `json:"error_mm"`   // of the gauge there, subtracted, mm, with its sign
	Thickness calib.Figure `json:"thickness"`
}

// A Spread is a standard deviation with what it came from.
type Spread struct {
	S      float64 `json:"s_mm"`          // mm, 0 or more
	DoF    float64 `json:"dof,omitempty"` // 1 or more; 0 stands for infinite
	Source string  `json:"source"`
}

// A Between parts the scatter of readings into that between places and that
// within them by analysis of variance (JCGM 100:2008, H.5).
type Between struct {
	S         float64 `json:"s_mm"`       // between places, mm; 0 where they differ less than their insides would make them
	F         float64 `json:"f"`          // ratio of the mean squares, without unit
	P         float64 `json:"p"`          // probability of such an F from alike places, 0 to 1
	DoFPlaces float64 `json:"dof_places"` // places less 1
	DoFWithin float64 `json:"dof_within"` // readings less places
}

// An Interval is a two-sided statistical tolerance interval about the mean.
type Interval struct {
	Share      float64 `json:"share"`      // of the lot, above 0 and below 1
	Confidence float64 `json:"confidence"` // above 0 and below 1
	K          float64 `json:"k"`          // factor k₂ on s, without unit
	Low        float64 `json:"low_mm"`     // mm
	High       float64 `json:"high_mm"`    // mm
}

// A Trend is how the thickness goes over the places, and whether that matters.
type Trend struct {
	Name string `json:"name"` // "across", "along", "centre to edge"

	Effect   float64 `json:"effect_mm"`   // from the first to the last place in that direction, mm, with its sign
	Expanded float64 `json:"expanded_mm"` // its expanded uncertainty, mm, 0 or more
	P        float64 `json:"p"`           // probability of such an effect where there is none, corrected for the trends tested, 0 to 1
	Seen     bool    `json:"seen"`        // P is below 0.05

	Ends []End `json:"ends"` // the fitted thickness at the first and the last place

	// Share is the effect over half the tolerance of a place, Low and High are
	// its ends by Expanded; 0 where that tolerance has not two limits.
	Share float64 `json:"share,omitempty"`      // without unit, 0 or more
	Low   float64 `json:"share_low,omitempty"`  // without unit, 0 or more
	High  float64 `json:"share_high,omitempty"` // without unit, 0 or more

	// Matters says whether a trend that was seen matters against the tolerance;
	// empty where none was seen or there is no tolerance.
	Matters Weight `json:"matters,omitempty"`

	// Unsure says that the interval of Share holds both a trend that matters and
	// one that is borne.
	Unsure bool `json:"matters_unsure,omitempty"`
}

// A Weight says whether a trend matters.
type Weight string

// The weights.
const (
	Matters Weight = "matters"
	IsBorne Weight = "is borne"
)

// An End is the fitted thickness where a trend begins or ends.
type End struct {
	Where     string       `json:"where"` // "left edge", "centre"
	Thickness calib.Figure `json:"thickness"`
}

// A Needed says how many places a wanted uncertainty of the mean takes.
type Needed struct {
	Wanted   float64 `json:"wanted_mm"`   // expanded uncertainty, mm, above 0
	Places   int     `json:"places"`      // 0: no number of places reaches it
	Expanded float64 `json:"expanded_mm"` // U with that many; with no end of places where Places is 0, mm
}
