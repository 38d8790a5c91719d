package sheet

import (
	"slices"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/calib/limits"
	"example.org/wring/uncertainty/unit"
)

// readParts reads the parts of a plan beside length; u is the plan's unit.
func readParts(f *form, p *calib.Plan, u unit.Unit) {
	underLoad := p.Kind.Dimension() != unit.Length
	switch {
	case underLoad && f.has("points", "foot", "force"):
		f.refuse(f.missing("kind"), "%q is checked under loads; want [load] alone", p.Kind)
	case !underLoad && p.Kind != "" && f.has("load"):
		f.refuse(f.sub("load", "a load").place(), "%q bears no loads; want [foot] or [force]", p.Kind)
	}
	if t := f.sub("foot", "a foot"); t.table != nil {
		p.Foot = readFootPlan(t, u)
	}
	if t := f.sub("force", "a measuring force"); t.table != nil {
		p.Force = readForcePlan(t, u)
	}
	if t := f.sub("load", "a load"); t.table != nil && underLoad {
		p.Load = readLoadPlan(t, u)
	}
	care := f.sub("care", "the care")
	p.Care = calib.Care{OneHand: aboveZero(care, care.field("one_hand"), unit.Mass, unit.Inner(unit.Mass)),
		OnePerson: aboveZero(care, care.field("one_person"), unit.Mass, unit.Inner(unit.Mass))}
	care.close()
}

// weighed are what a balance or a force gauge indicates.
func weighed() []unit.Dimension { return []unit.Dimension{unit.Mass, unit.Force} }

// readTerms reads what every part says; readings are indications of dimensions
// d, and sizes of contributions may be in more.
func readTerms(f *form, instrument unit.Unit, more ...unit.Dimension) calib.PartTerms {
	t := calib.PartTerms{IntervalMonths: f.whole(f.field("interval_months"), 0), Unit: instrument.Symbol()}
	t.Readings, t.Minimum = readCounts(f)
	t.Believable = aboveZero(f, f.field("believable"), unit.Percent, unit.Unit{})
	if r := f.sub("rule", "a rule"); r.table != nil {
		t.Rule = readRule(r)
	}
	pooled := false // s has another source than the readings of one place
	seen := map[string]bool{}
	for _, row := range f.subs("contribution", "a contribution") {
		c := readPartContribution(row, instrument, append(more, instrument.Dimension(), unit.Percent))
		name := c.Name
		if name == "" {
			name = string(c.Kind)
		}
		if seen[name] {
			f.refuse(row.place(), "%q for the second time; want it once, or a name of its own", clip(name))
		}
		seen[name] = true
		pooled = pooled || !c.PooledS.IsZero() || c.PooledOver != "" && t.Minimum > 1
		t.Contributions = append(t.Contributions, c)
	}
	if f.table != nil && t.Minimum < enoughForS && !pooled && f.fault.err == nil {
		f.refuse(f.place(), "%d readings give no usable s; want minimum = %d, or a contribution \"repeatability\" with pooled_s and pooled_dof", t.Minimum, enoughForS)
	}
	return t
}

// instrumentUnit reads the unit of an instrument's indications.
func instrumentUnit(f *form, v Field) unit.Unit {
	for _, d := range weighed() {
		if u, ok := unit.Lookup(v.Text, d); ok {
			return u
		}
	}
	if found, want, ok := unit.Ambiguous(v.Text); ok {
		f.refuse(v, "%q: %s; %s", clip(v.Text), found, want)
	} else if v.Given() {
		f.refuse(v, "%q: no unit of mass or force; want one of %s", clip(v.Text), strings.Join(append(unit.Symbols(unit.Mass), unit.Symbols(unit.Force)...), ", "))
	}
	return unit.Unit{}
}

// readPartContribution reads one line of a part's budget.
func readPartContribution(f *form, instrument unit.Unit, dims []unit.Dimension) calib.Contribution {
	c := calib.Contribution{Kind: word(f, f.need("kind"), calib.PartContributionKinds()), Name: f.field("name").Text}
	if c.Kind == calib.OtherEffect && strings.TrimSpace(c.Name) == "" {
		f.refuse(f.missing("name"), "nothing given; want what varies, in a reader's words")
	}
	shape := f.field("shape")
	c.Shape = word(f, shape, []string{"normal", "rectangular", "triangular", "arcsine"})
	rule := sizing{needed: true}
	switch c.Kind {
	case calib.Repeatability:
		rule = sizing{never: true}
	case calib.Resolution, calib.ZeroResolution:
		dims = []unit.Dimension{instrument.Dimension()}
	case calib.FootSize:
		dims = []unit.Dimension{unit.Length, unit.Area, unit.Percent}
	case calib.PistonTemperature:
		dims = []unit.Dimension{unit.TemperatureDifference}
	}
	readSize(f, &c, dims, unit.Unit{})
	readPooled(f, &c, instrument.Dimension(), instrument)
	readPooledOver(f, &c)
	if c.PooledOver != "" && !c.PooledS.IsZero() {
		f.refuse(f.field("pooled_over"), "%q beside pooled_s; want one of them", c.PooledOver)
	}
	fits(f, c, shape, rule)
	c.Source = f.field("source").Text
	f.close()
	return c
}

// readBand reads what a value must lie in.
func readBand(f *form, dims []unit.Dimension) calib.Band {
	low, high := f.field("low"), f.field("high")
	b := calib.Band{Low: f.anyQuantity(low, dims, unit.Unit{}), High: f.anyQuantity(high, dims, unit.Unit{})}
	switch {
	case b.IsZero():
		f.refuse(f.missing("low"), "nothing given; want low, high or both, with their unit")
	case !b.Low.IsZero() && b.Low.Inner().Sign() < 0:
		f.refuse(low, "%q: below 0; want 0 or more", clip(low.Text))
	case !b.High.IsZero() && b.High.Inner().Sign() <= 0:
		f.refuse(high, "%q: not above 0; want the upper end", clip(high.Text))
	case b.Low.IsZero() || b.High.IsZero():
	case b.Low.Unit().Dimension() != b.High.Unit().Dimension():
		f.refuse(high, "%s: a %s, and low is a %s; want both of one kind", b.High, b.High.Unit().Dimension(), b.Low.Unit().Dimension())
	case b.Low.Inner().Cmp(b.High.Inner()) >= 0:
		f.refuse(high, "%s: not above low, %s; want it higher", b.High, b.Low)
	}
	b.Origin = f.need("origin").Text
	f.close()
	return b
}

func readFootPlan(f *form, u unit.Unit) *calib.FootPlan {
	p := &calib.FootPlan{Drive: calib.DeadWeight}
	if v := f.field("drive"); v.Given() {
		p.Drive = word(f, v, []calib.Drive{calib.DeadWeight, calib.Spring})
	}
	openings := f.fields("openings", "opening")
	p.Openings = ascending(f, openings, unit.Length, u)
	if n := len(openings); n < fewestOpenings {
		f.refuse(f.missing("openings"), "%d; want %d or more, over the travel", n, fewestOpenings)
	}
	p.PartTerms = readTerms(f, instrumentUnit(f, f.need("unit")), unit.Mass, unit.Force, unit.Pressure)
	readFootBands(f, p, u)
	if d := p.Dimension(); d != "" {
		p.Friction, p.Spread = aboveZero(f, f.field("friction"), d, unit.Unit{}), aboveZero(f, f.field("spread"), d, unit.Unit{})
	}
	if t := f.sub("diameter", "a diameter"); t.table != nil {
		p.Diameter = readBand(t, []unit.Dimension{unit.Length})
	}
	f.close()
	return p
}

// readFootBands reads the band of a dead weight, or those of a spring, one for
// each opening and all of one kind.
func readFootBands(f *form, p *calib.FootPlan, u unit.Unit) {
	dims := []unit.Dimension{unit.Pressure, unit.Force, unit.Mass}
	rows := f.subs("band_at", "a band")
	if p.Drive != calib.Spring {
		for _, row := range rows {
			f.refuse(row.place(), "the band of one opening, and the drive is a %s; want [foot.band] alone", p.Drive)
		}
		p.Band = readBand(f.sub("band", "a band"), dims)
		return
	}
	if f.has("band") {
		f.refuse(f.sub("band", "a band").place(), "one band for all openings, and a spring presses harder the further it is opened; want [[foot.band_at]] for each opening, or drive = \"dead weight\" for a spring that is built not to grow")
	}
	for _, row := range rows {
		where := row.need("opening")
		b := calib.OpeningBand{At: row.quantity(where, unit.Length, u)}
		b.Band = readBand(row, dims)
		switch {
		case f.fault.err != nil:
			return
		case !slices.ContainsFunc(p.Openings, b.At.Same):
			f.refuse(where, "%s: no opening of the plan; the nearest %s", b.At, nearest(b.At, p.Openings))
		case slices.ContainsFunc(p.Bands, func(other calib.OpeningBand) bool { return other.At.Same(b.At) }):
			f.refuse(where, "%s for the second time; want one band for each opening", b.At)
		case len(p.Bands) > 0 && p.Dimension() != b.Band.Dimension():
			f.refuse(row.place(), "a %s, and the opening before has a %s; want all of one kind", b.Band.Dimension(), p.Dimension())
		}
		p.Bands = append(p.Bands, b)
	}
	for _, at := range p.Openings {
		if p.BandAt(at).IsZero() {
			f.refuse(f.missing("band_at"), "none for the opening %s; want [[foot.band_at]] for each opening of a spring", at)
		}
	}
}

// fewestOpenings is how many a foot is verified at (house rule: the two ends of
// the travel and one between).
const fewestOpenings = 3

func readForcePlan(f *form, u unit.Unit) *calib.ForcePlan {
	p := &calib.ForcePlan{Return: f.truth(f.field("return"))}
	points := f.fields("points", "point")
	if len(points) == 0 {
		f.refuse(f.missing("points"), "nothing given; want the openings or strokes to measure at")
	}
	p.Points = ascending(f, points, unit.Length, u)
	p.PartTerms = readTerms(f, instrumentUnit(f, f.need("unit")), unit.Mass, unit.Force)
	p.Band = readBand(f.sub("band", "a band"), []unit.Dimension{unit.Force})
	p.Spread, p.Difference = aboveZero(f, f.field("spread"), unit.Force, unit.Unit{}), aboveZero(f, f.field("difference"), unit.Force, unit.Unit{})
	if !p.Difference.IsZero() && !p.Return {
		f.refuse(f.field("difference"), "%s: only one direction is read; want return = true", p.Difference)
	}
	f.close()
	return p
}

func readLoadPlan(f *form, u unit.Unit) *calib.LoadPlan {
	p := &calib.LoadPlan{Down: f.truth(f.field("down")), Certified: f.truth(f.field("certified"))}
	loads := f.fields("loads", "load")
	if len(loads) == 0 {
		f.refuse(f.missing("loads"), "nothing given; want the loads to check at, as [\"10\", \"20\"]")
	}
	p.Loads = ascending(f, loads, u.Dimension(), u)
	if len(p.Loads) > 0 && p.Loads[0].Inner().Sign() == 0 && loads[0].Given() {
		f.refuse(loads[0], "%q: not above 0; the zero is read by itself", clip(loads[0].Text))
	}
	p.PartTerms = readTerms(f, u, unit.Mass)
	p.Limit = readLoadLimit(f.sub("limit", "a limit"), u)
	if !p.Limit.Hysteresis.IsZero() && !p.Down {
		f.refuse(f.missing("down"), "hysteresis is limited, and only the way up is read; want down = true")
	}
	f.close()
	return p
}

// readLoadLimit reads the limits of a gauge under load: those of a class, or
// its own; a key beside a class takes the place of the class's figure.
func readLoadLimit(f *form, u unit.Unit) calib.LoadLimit {
	var l calib.LoadLimit
	if v := f.field("class"); v.Given() {
		known, ok := limits.LoadClass(v.Text)
		if !ok {
			f.refuse(v, "%q: want one of %s", clip(v.Text), strings.Join(limits.LoadClasses(), ", "))
		}
		l = known
	}
	dims := []unit.Dimension{u.Dimension(), unit.Percent}
	percent := false
	for _, k := range []struct {
		key  string
		into *unit.Quantity
	}{{"error", &l.Error}, {"repeatability", &l.Repeatability}, {"hysteresis", &l.Hysteresis}, {"zero_return", &l.ZeroReturn}} {
		v := f.field(k.key)
		if !v.Given() {
			continue
		}
		*k.into = f.anyQuantity(v, dims, u)
		percent = percent || k.into.Unit().Dimension() == unit.Percent && k.key != "zero_return"
		if !k.into.IsZero() && k.into.Inner().Sign() <= 0 {
			f.refuse(v, "%q: not above 0; want a limit above 0", clip(v.Text))
		}
	}
	if l.Error.IsZero() {
		f.refuse(f.missing("error"), "nothing given; want the limit of error, or a class")
	}
	of := f.field("of")
	switch {
	case of.Given():
		l.Of = word(f, of, []calib.Share{calib.OfReading, calib.OfFullScale, calib.OfSpan})
	case percent && l.Class == "":
		f.refuse(f.missing("of"), "nothing given; want what the per cent are of: reading, full scale or span")
	}
	if v := f.field("origin"); v.Given() || l.Class == "" {
		l.Origin = f.need("origin").Text
	}
	f.close()
	return l
}

// ascending reads sizes, each larger than the one before and none below 0.
func ascending(f *form, list []Field, d unit.Dimension, u unit.Unit) []unit.Quantity {
	if len(list) > mostPlaces {
		f.refuse(list[mostPlaces], "%d of them; want at most %d", len(list), mostPlaces)
	}
	var out []unit.Quantity
	for i, v := range list {
		q := f.quantity(v, d, u)
		switch {
		case q.IsZero(): // already refused
		case q.Inner().Sign() < 0:
			f.refuse(v, "%q: below 0; want a size", clip(v.Text))
		case i > 0 && len(out) == i && q.Inner().Cmp(out[i-1].Inner()) <= 0:
			f.refuse(v, "%q: not above %s before it; want them ascending", clip(v.Text), out[i-1])
		}
		out = append(out, q)
	}
	return out
}

// mostPlaces is how many openings or loads a part may have, as its record says.
const mostPlaces = 50
