package calib

import "example.org/wring/uncertainty/unit"

// A Verdict is the answer of a decision rule, in words.
type Verdict string

// A Result is what was computed from a check. Lengths are in millimetres.
type Result struct {
	Points  []PointResult `json:"points,omitempty"`
	Budget  []BudgetRow   `json:"budget,omitempty"`
	Verdict Verdict       `json:"verdict"` // of the worst of what was recorded

	// LengthVerdict is that of the worst point, where other parts were recorded
	// beside it; else it is empty and Verdict says it.
	LengthVerdict Verdict `json:"length_verdict,omitempty"`

	// Foot, Force and Load are the other parts; nil: not recorded.
	Foot  *PartResult `json:"foot,omitempty"`
	Force *PartResult `json:"force,omitempty"`
	Load  *PartResult `json:"load,omitempty"`

	// Findings are what the gates marked; they are printed wherever the result
	// is.
	Findings []Finding `json:"findings,omitempty"`
}

// A PointResult is the error at one size and the verdict on it.
type PointResult struct {
	Nominal   unit.Exact `json:"nominal"`
	Reference unit.Exact `json:"reference"` // length of the stack, corrected for temperature
	Mean      unit.Exact `json:"mean"`      // of the indications, less the zero where it is subtracted
	Error     unit.Exact `json:"error"`     // of indication: Mean − Reference
	Limit     unit.Exact `json:"limit"`     // maximum permissible error

	S float64 `json:"s"` // experimental standard deviation of the readings, mm; 0 for one reading

	Standard float64 `json:"u"`             // combined standard uncertainty u_c, mm, 0 or more
	DoF      float64 `json:"dof,omitempty"` // ν_eff, 1 or more; 0 stands for infinite
	K        float64 `json:"k"`             // coverage factor U/u_c, without unit; 0 where u_c is 0
	Expanded float64 `json:"expanded"`      // expanded uncertainty U, mm, 0 or more
	Method   string  `json:"method"`        // how the coverage interval was found

	Ratio       float64 `json:"ratio"`       // test uncertainty ratio MPE/U, without unit; 0 where U is 0
	Conformance float64 `json:"conformance"` // probability, 0 to 1, that the error lies within the limits

	Verdict Verdict `json:"verdict"`
}

// A BudgetRow is one line of the budgets of all points. U, C and DoF hold a
// figure for each point, or a single one that holds for all of them.
type BudgetRow struct {
	Kind         ContributionKind `json:"kind"`
	Name         string           `json:"name"`
	Distribution string           `json:"distribution"`
	Source       string           `json:"source"`

	U   []float64 `json:"u"`             // standard uncertainty of the input, in Unit
	C   []float64 `json:"c"`             // sensitivity, mm per Unit
	DoF []float64 `json:"dof,omitempty"` // left out where infinite; 0 stands for infinite

	// Unit is that of U: mm, °C or 1/°C.
	Unit string `json:"unit"`
}

// At returns the row's figures at point i.
func (r BudgetRow) At(i int) (u, c, dof float64) {
	return pick(r.U, i, 0), pick(r.C, i, 0), pick(r.DoF, i, 0)
}

func pick(list []float64, i int, none float64) float64 {
	switch {
	case len(list) == 0:
		return none
	case len(list) == 1:
		return list[0]
	default:
		return list[i]
	}
}

// A Gate is a condition that a check must meet.
type Gate string

// The gates, each named as it is printed.
const (
	GateStandardDate  Gate = "standard out of date"
	GateStandardRange Gate = "outside the standard's range"
	GateNoValues      Gate = "standard known by grade only"
	GateEnvironment   Gate = "environment outside the plan"
	GateNoEnvironment Gate = "environment not recorded"
	GateStatus        Gate = "gauge withdrawn"
	GateReadings      Gate = "too few readings"
	GateBelievable    Gate = "reading far outside"
	GateRange         Gate = "point outside the gauge's range"
	GatePoints        Gate = "points of the plan missing"
	GateThermometer   Gate = "thermometer not named"
	GateExpansion     Gate = "expansion not known"
	GateSpread        Gate = "readings wider than the pooled s"
)

// Gates lists them in the order they are looked at.
func Gates() []Gate {
	return []Gate{GateStatus, GateStandardDate, GateStandardRange, GateNoValues, GateEnvironment, GateNoEnvironment,
		GateThermometer, GateExpansion, GateRange, GatePoints, GateReadings, GateSpread, GateBelievable}
}

// An Action is what a gate does to a check that does not meet it.
type Action string

// The actions: the check is refused; is marked on result and certificate; or
// goes on without a word.
const (
	Stop   Action = "stop"
	Mark   Action = "mark"
	Ignore Action = "ignore"
)

// A Finding is one gate that was not met.
type Finding struct {
	Gate   Gate   `json:"gate"`
	Point  int    `json:"point,omitempty"` // 1-based; 0 for the whole check
	Text   string `json:"text"`            // what was found and what the plan wants
	Action Action `json:"action"`
}

// ActionOf returns what the plan does with a gate; one that it does not name
// stops the check.
func (p Plan) ActionOf(g Gate) Action {
	if a, ok := p.Gates[g]; ok {
		return a
	}
	return Stop
}
