package sheet

import (
	"strconv"

	"example.org/wring/calib"
)

// parts writes what a plan verifies beside length.
func (w *writer) parts(p calib.Plan) {
	if p.Foot != nil {
		w.foot(*p.Foot)
	}
	if p.Force != nil {
		w.force(*p.Force)
	}
	if p.Load != nil {
		w.load(*p.Load)
	}
	if !p.Care.IsZero() {
		w.table("[care]")
		w.quantity("one_hand", p.Care.OneHand)
		w.quantity("one_person", p.Care.OnePerson)
	}
}

// terms writes what stands in every part's own table.
func (w *writer) terms(t calib.PartTerms) {
	if t.IntervalMonths > 0 {
		w.bare("interval_months", strconv.Itoa(t.IntervalMonths))
	}
	w.bare("readings", strconv.Itoa(t.Readings))
	w.bare("minimum", strconv.Itoa(t.Minimum))
	w.quantity("believable", t.Believable)
}

// under writes the tables under a part: its rule, where it has its own, and
// its contributions.
func (w *writer) under(part string, t calib.PartTerms) {
	if t.Rule.Name != "" {
		w.rule("["+part+".rule]", t.Rule)
	}
	for _, c := range t.Contributions {
		w.contribution("[["+part+".contribution]]", c)
	}
}

func (w *writer) band(header string, b calib.Band) {
	if b.IsZero() {
		return
	}
	w.table(header)
	w.bounds(b)
}

func (w *writer) bounds(b calib.Band) {
	w.quantity("low", b.Low)
	w.quantity("high", b.High)
	w.text("origin", b.Origin)
}

// flag leaves out what is not so.
func (w *writer) flag(key string, yes bool) {
	if yes {
		w.bare(key, "true")
	}
}

func (w *writer) foot(p calib.FootPlan) {
	w.table("[foot]")
	w.text("drive", string(p.Drive))
	w.points("openings", p.Openings)
	w.text("unit", p.Unit)
	w.terms(p.PartTerms)
	w.quantity("friction", p.Friction)
	w.quantity("spread", p.Spread)
	w.band("[foot.band]", p.Band)
	for _, b := range p.Bands {
		w.table("[[foot.band_at]]")
		w.quantity("opening", b.At)
		w.bounds(b.Band)
	}
	w.band("[foot.diameter]", p.Diameter)
	w.under("foot", p.PartTerms)
}

func (w *writer) force(p calib.ForcePlan) {
	w.table("[force]")
	w.points("points", p.Points)
	w.flag("return", p.Return)
	w.text("unit", p.Unit)
	w.terms(p.PartTerms)
	w.quantity("spread", p.Spread)
	w.quantity("difference", p.Difference)
	w.band("[force.band]", p.Band)
	w.under("force", p.PartTerms)
}

func (w *writer) load(p calib.LoadPlan) {
	w.table("[load]")
	w.points("loads", p.Loads)
	w.flag("down", p.Down)
	w.flag("certified", p.Certified)
	w.terms(p.PartTerms)
	w.table("[load.limit]")
	w.text("class", p.Limit.Class)
	w.quantity("error", p.Limit.Error)
	w.quantity("repeatability", p.Limit.Repeatability)
	w.quantity("hysteresis", p.Limit.Hysteresis)
	w.quantity("zero_return", p.Limit.ZeroReturn)
	w.text("of", string(p.Limit.Of))
	w.text("origin", p.Limit.Origin)
	w.under("load", p.PartTerms)
}
