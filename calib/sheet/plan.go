package sheet

import (
	"strings"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/unit"
)

// Defaults of a plan's keys: 95 % and two significant digits are what
// laboratories report (JCGM 100:2008, 6.3.3 and 7.2.6; clauses from memory).
const (
	usualProbability = 0.95
	usualDigits      = 2
)

// ReadPlan reads a plan from its written form; the package comment shows it.
// The plan's revision is not written and stays 0: whoever keeps the plan counts
// revisions. A plan that cannot be used is refused with a [*LineError].
func ReadPlan(name string, data []byte) (calib.Plan, error) {
	top, err := openTOML(name, "a plan", data)
	if err != nil {
		return calib.Plan{}, err
	}
	p := readPlan(top)
	top.close()
	if top.fault.err != nil {
		return calib.Plan{}, top.fault.err
	}
	return p, nil
}

func readPlan(f *form) calib.Plan {
	p := calib.Plan{
		Name: f.need("name").Text, Title: f.need("title").Text,
		Kind:   word(f, f.need("kind"), calib.Kinds()),
		Method: f.field("method").Text, Note: f.field("note").Text,
	}
	u := unitOf(f, f.need("unit"), p.Kind.Dimension())
	p.Unit = u.Symbol()
	p.Zero = calib.ZeroNone
	if f.has("points") || !f.has("foot", "force", "load") {
		readLength(f, &p, u)
	} else {
		p.Probability, p.Digits, p.IntervalMonths = readReport(f)
		p.IntermediateMonths = f.whole(f.field("intermediate_months"), 0)
		p.Rule = readRule(f.sub("rule", "a rule"))
		p.Environment, p.Gates = readBounds(f)
		f.none("belongs to points, and none are given", "readings", "minimum", "zero", "believable", "limit", "contribution")
	}
	readParts(f, &p, u)
	return p
}

// readLength reads the length part of a plan, and what it shares with the
// others in the order in which refusals are wanted.
func readLength(f *form, p *calib.Plan, u unit.Unit) {
	points := f.fields("points", "point")
	p.Points = readPoints(f, points, u)
	p.Readings, p.Minimum = readCounts(f)
	if v := f.field("zero"); v.Given() {
		p.Zero = word(f, v, []calib.ZeroUse{calib.ZeroNone, calib.ZeroRecorded, calib.ZeroSubtracted})
	}
	p.Probability, p.Digits, p.IntervalMonths = readReport(f)
	p.IntermediateMonths = f.whole(f.field("intermediate_months"), 0)
	p.Believable = aboveZero(f, f.field("believable"), unit.Length, u)
	p.Limit = readLimit(f.sub("limit", "a limit"), u)
	p.Rule = readRule(f.sub("rule", "a rule"))
	p.Environment, p.Gates = readBounds(f)
	p.Contributions = readContributions(f, *p, u)
	limitReaches(f, p.Limit, points, p.Points)
}

// readCounts reads how many readings are taken, and how few are enough.
func readCounts(f *form) (readings, minimum int) {
	readings = f.whole(f.need("readings"), 0)
	least := f.field("minimum")
	minimum = f.whole(least, readings)
	if minimum > readings {
		f.refuse(least, "%d: more than are taken; want at most %d", minimum, readings)
	}
	return readings, minimum
}

// readReport reads how U is reported, and how often the gauge is checked.
func readReport(f *form) (probability float64, digits, months int) {
	return f.number(f.field("probability"), usualProbability), f.whole(f.field("digits"), usualDigits), f.whole(f.field("interval_months"), 0)
}

func readBounds(f *form) (calib.Environment, map[calib.Gate]calib.Action) {
	return readEnvironment(f.sub("environment", "an environment")), readGates(f.sub("gates", "the gates"))
}

// unitOf reads the symbol of a unit of a dimension.
func unitOf(f *form, v Field, d unit.Dimension) unit.Unit {
	u, ok := unit.Lookup(v.Text, d)
	if !ok && v.Given() {
		f.refuse(v, "%q: no unit of %s; want one of %s", clip(v.Text), d, strings.Join(unit.Symbols(d), ", "))
	}
	return u
}

// readPoints reads the nominal sizes, each larger than the one before.
func readPoints(f *form, list []Field, u unit.Unit) []unit.Quantity {
	if len(list) == 0 {
		f.refuse(f.missing("points"), "nothing given; want the sizes to check at, as [\"2.5\", \"5.1\"]")
	}
	var out []unit.Quantity
	for i, v := range list {
		q := f.quantity(v, unit.Length, u)
		switch {
		case q.IsZero(): // already refused
		case q.Inner().Sign() < 0:
			f.refuse(v, "%q: below 0; want a size", clip(v.Text))
		case i > 0 && len(out) == i && q.Inner().Cmp(out[i-1].Inner()) <= 0:
			f.refuse(v, "%q: not above %s before it; want the sizes ascending", clip(v.Text), out[i-1])
		}
		out = append(out, q)
	}
	return out
}

// aboveZero reads a size that must be above 0 where it is given.
func aboveZero(f *form, v Field, d unit.Dimension, fallback unit.Unit) unit.Quantity {
	q := f.quantity(v, d, fallback)
	if !q.IsZero() && q.Inner().Sign() <= 0 {
		f.refuse(v, "%q: not above 0; want a size above 0", clip(v.Text))
	}
	return q
}

func readLimit(f *form, u unit.Unit) calib.Limit {
	value, rows := f.field("value"), f.subs("row", "a row of the limit")
	l := calib.Limit{
		Value:     f.quantity(value, unit.Length, u),
		PerLength: f.quantity(f.field("per_length"), unit.Slope, unit.Unit{}),
		AtLeast:   f.quantity(f.field("at_least"), unit.Length, u),
		Origin:    f.need("origin").Text,
	}
	for i, row := range rows {
		r := calib.LimitRow{
			UpTo:  f.quantity(row.need("up_to"), unit.Length, u),
			Value: aboveZero(row, row.need("value"), unit.Length, u),
		}
		if i > 0 && r.UpTo.Inner().Cmp(l.Rows[i-1].UpTo.Inner()) <= 0 {
			f.refuse(row.field("up_to"), "%s: not above %s before it; want the rows ascending", r.UpTo, l.Rows[i-1].UpTo)
		}
		row.close()
		l.Rows = append(l.Rows, r)
	}
	alone := l.Value.IsZero() && l.PerLength.IsZero() && l.AtLeast.IsZero()
	switch {
	case len(rows) > 0 && !alone:
		f.refuse(rows[0].place(), "rows beside a value; want one or the other")
	case len(rows) == 0 && alone:
		f.refuse(f.place(), "nothing given; want value, or rows with up_to and value")
	}
	f.close()
	return l
}

// limitReaches wants a limit above 0 at every point.
func limitReaches(f *form, l calib.Limit, fields []Field, points []unit.Quantity) {
	for i, q := range points {
		limit, ok := l.At(q.Inner())
		switch {
		case !ok:
			f.refuse(fields[i], "%s: beyond the last row of the limit; want a row that reaches it", q)
		case limit.Sign() <= 0:
			f.refuse(fields[i], "%s: the limit there is not above 0; want a limit above 0", q)
		}
	}
}

// The decision rules a plan can name.
const (
	simpleAcceptance  = "simple acceptance"
	guardedAcceptance = "guarded acceptance"
	fourVerdicts      = "four verdicts"
	byRisk            = "by risk"
)

func readRule(f *form) calib.Rule {
	if f.table == nil {
		return calib.Rule{} // the house's
	}
	name, factor, risk := f.need("name"), f.field("factor"), f.field("risk")
	r := calib.Rule{Name: word(f, name, []string{simpleAcceptance, guardedAcceptance, fourVerdicts, byRisk})}
	guarded := r.Name == guardedAcceptance || r.Name == fourVerdicts
	switch {
	case factor.Given() && !guarded:
		f.refuse(factor, "%q: no part of %s; leave it out", clip(factor.Text), r.Name)
	case risk.Given() && r.Name != byRisk:
		f.refuse(risk, "%q: no part of %s; leave it out", clip(risk.Text), r.Name)
	case guarded:
		r.Factor = f.number(factor, 1) // the guard band is U (house rule)
		if !(r.Factor >= 0 && r.Factor <= 10) {
			f.refuse(factor, "%q: want 0 to 10", clip(factor.Text))
		}
	case r.Name == byRisk:
		r.Risk = f.number(f.need("risk"), 0)
		if !(r.Risk > 0 && r.Risk < 0.5) {
			f.refuse(risk, "%q: want a probability above 0 and below 0.5", clip(risk.Text))
		}
	}
	f.close()
	return r
}

func readEnvironment(f *form) calib.Environment {
	celsius, _ := unit.Lookup("°C", unit.Temperature)
	kelvin, _ := unit.Lookup("°C", unit.TemperatureDifference)
	low, high, apart := f.field("low"), f.field("high"), f.field("difference")
	e := calib.Environment{
		Low:        f.quantity(low, unit.Temperature, celsius),
		High:       f.quantity(high, unit.Temperature, celsius),
		Difference: f.quantity(apart, unit.TemperatureDifference, kelvin),
	}
	switch {
	case !e.Low.IsZero() && !e.High.IsZero() && e.Low.Inner().Cmp(e.High.Inner()) >= 0:
		f.refuse(high, "%s: not above low, %s; want it higher", e.High, e.Low)
	case !e.Difference.IsZero() && e.Difference.Inner().Sign() < 0:
		f.refuse(apart, "%s: below 0; want 0 or more", e.Difference)
	}
	f.close()
	return e
}

func readGates(f *form) map[calib.Gate]calib.Action {
	actions := []calib.Action{calib.Stop, calib.Mark, calib.Ignore}
	var out map[calib.Gate]calib.Action
	for _, g := range calib.Gates() {
		v := f.field(string(g))
		if !v.Given() {
			continue
		}
		if out == nil {
			out = map[calib.Gate]calib.Action{}
		}
		out[g] = word(f, v, actions)
	}
	f.close()
	return out
}

// readContributions reads the budget's lines and what they must say together.
func readContributions(f *form, p calib.Plan, u unit.Unit) []calib.Contribution {
	var out []calib.Contribution
	seen := map[calib.ContributionKind]bool{}
	for _, t := range f.subs("contribution", "a contribution") {
		c := readContribution(t, u)
		several := c.Kind == calib.OtherEffect || c.Kind == calib.Mechanical
		switch {
		case seen[c.Kind] && !several:
			f.refuse(t.place(), "%q for the second time; want it once", clip(string(c.Kind)))
		case c.Kind == calib.ZeroResolution && p.Zero != calib.ZeroSubtracted:
			f.refuse(t.place(), "%q while zero is %q; it counts only where the zero is subtracted", c.Kind, p.Zero)
		case c.Kind == calib.Repeatability && p.Minimum < enoughForS && c.PooledS.IsZero():
			f.refuse(t.place(), "%d readings give no usable s; want minimum = %d, or pooled_s and pooled_dof of earlier checks", p.Minimum, enoughForS)
		}
		seen[c.Kind] = true
		out = append(out, c)
	}
	if len(out) == 0 {
		f.refuse(f.missing("contribution"), "nothing given; want [[contribution]] for each line of the budget")
	}
	return out
}

// enoughForS is how few readings still give an s of their own: below it the
// pooled s of earlier checks counts (house rule; the design of the model).
const enoughForS = 3
