package calib

import "example.org/wring/uncertainty/unit"

// A PartResult is what was computed of a part other than length.
type PartResult struct {
	Figures []Figure    `json:"figures"`
	Budget  []BudgetRow `json:"budget"` // U, C and DoF hold a figure for each of Figures

	Verdict Verdict `json:"verdict"` // of the worst figure that was judged

	// Gravity and Air are what was computed with; not given where the part
	// needed none.
	Gravity *Environ `json:"gravity,omitempty"` // m/s²
	Air     *Environ `json:"air,omitempty"`     // density, kg/m³

	// Heaviest is the largest mass that is handled for one reading, in kg; 0
	// where none is.
	Heaviest float64 `json:"heaviest,omitempty"`

	// Notes say what a reader must know beside the figures, as that standard
	// gravity would shift a verdict.
	Notes []string `json:"notes,omitempty"`
}

// An Environ is a quantity of the surroundings that a part computed with.
type Environ struct {
	Value    float64 `json:"value"`               // in the unit of its field
	Standard float64 `json:"u"`                   // standard uncertainty, in the same unit, 0 or more
	HalfMost float64 `json:"half_most,omitempty"` // half-width of a rectangular one, in the same unit; 0 where it is normal
	Source   string  `json:"source"`
}

// A Figure is one measured value of a part with its uncertainty, and the
// verdict on it where the plan bounds it.
type Figure struct {
	Name string        `json:"name"`        // "pressure, lowering"
	At   unit.Quantity `json:"at,omitzero"` // opening or load; not given for a figure of the whole part
	Unit string        `json:"unit"`        // of every value below: kPa, N, kg, mm

	Value     unit.Exact `json:"value"`              // that is judged: a pressure, a force, an error
	Applied   unit.Exact `json:"applied,omitzero"`   // true value of the load, where Value is an error
	Indicated unit.Exact `json:"indicated,omitzero"` // mean indication, where Value is an error

	Low  *unit.Exact `json:"low,omitempty"`  // limits of Value; nil where it has none
	High *unit.Exact `json:"high,omitempty"` // and where that side is open

	Standard float64 `json:"u"`             // combined standard uncertainty u_c, in Unit, 0 or more
	DoF      float64 `json:"dof,omitempty"` // ν_eff, 1 or more; 0 stands for infinite
	K        float64 `json:"k"`             // coverage factor U/u_c, without unit; 0 where u_c is 0
	Expanded float64 `json:"expanded"`      // expanded uncertainty U, in Unit, 0 or more
	Method   string  `json:"method"`

	Ratio       float64 `json:"ratio,omitempty"`       // half the band, or the limit, over U; 0 where there is none
	Conformance float64 `json:"conformance,omitempty"` // probability, 0 to 1; 0 too where nothing is judged

	Verdict Verdict `json:"verdict,omitempty"` // empty where nothing is judged
}

// Judged reports whether the plan bounds the figure.
func (f Figure) Judged() bool { return f.Low != nil || f.High != nil }
