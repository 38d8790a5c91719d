package presser

import (
	"cmp"
	"fmt"
	"math"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/calib/ledger"
	"example.org/wring/uncertainty"
	"example.org/wring/uncertainty/stat"
	"example.org/wring/uncertainty/unit"
)

// A bench is what one part of a check is worked out from.
type bench struct {
	check calib.Check
	basis calib.Basis
	terms calib.PartTerms

	gravity, air *calib.Environ // nil until something needs them

	lacking []string // what the records are silent on and no budget counts

	// groups are the readings of the part at each place and in each direction,
	// in the inner unit: what one s may be pooled over.
	groups [][]float64
}

func newBench(part calib.Part, c calib.Check, b calib.Basis) (*bench, error) {
	terms, ok := b.Plan.TermsOf(part)
	if !ok {
		return nil, &PlaceError{string(part), "no part of plan " + b.Plan.Name, "want one that the plan verifies"}
	}
	return &bench{check: c, basis: b, terms: terms, groups: groupsOf(part, c)}, nil
}

func groupsOf(part calib.Part, c calib.Check) [][]float64 {
	var out [][]float64
	presses := func(points []calib.PressPoint) {
		for _, p := range points {
			out = append(out, indications(p.Forward), indications(p.Back))
		}
	}
	switch {
	case part == calib.FootPart && c.Foot != nil:
		presses(c.Foot.Points)
	case part == calib.ForcePart && c.Force != nil:
		presses(c.Force.Points)
	case part == calib.LoadPart && c.Load != nil:
		for _, p := range c.Load.Points {
			out = append(out, indications(p.Up), indications(p.Down))
		}
	}
	return out
}

// pooled is s of all groups together, in the inner unit, with its degrees of
// freedom Σ(n−1) (JCGM 100:2008, 4.2.4); 0 where no group has two readings.
func (b *bench) pooled() (s, dof float64) {
	var all, freedom []float64
	for _, g := range b.groups {
		if own, err := stat.StdDev(g); err == nil {
			all, freedom = append(all, own), append(freedom, float64(len(g)-1))
		}
	}
	s, dof, err := stat.Pooled(all, freedom)
	if err != nil {
		return 0, 0
	}
	return s, dof
}

// site returns gravity and the density of air, and keeps that they were used.
func (b *bench) site() (gravity, air calib.Environ, err error) {
	if b.gravity == nil {
		g, err := GravityOf(b.basis.House)
		if err != nil {
			return gravity, air, err
		}
		a, err := AirOf(b.check.Conditions, b.basis.House)
		if err != nil {
			return gravity, air, err
		}
		b.gravity, b.air = &g, &a
	}
	return *b.gravity, *b.air, nil
}

// sizedBy returns the plan's contribution of a kind, if it has one.
func (b *bench) sizedBy(kind calib.ContributionKind) (calib.Contribution, bool) {
	for _, c := range b.terms.Contributions {
		if c.Kind == kind {
			return c, true
		}
	}
	return calib.Contribution{}, false
}

// repeatability is that of a mean of readings x in an inner unit: the plan's
// pooled s where it states one, because it was found from more of them (JCGM
// 100:2008, 4.2.4); one s of all places where it says so; else their own.
func (b *bench) repeatability(x []float64, symbol string) (ledger.Line, error) {
	c, _ := b.sizedBy(calib.Repeatability)
	c.Kind = calib.Repeatability
	size := ledger.Repeated
	if s, dof := b.pooled(); c.PooledOver != "" && dof >= ledger.Fewest-1 {
		return ledger.Line{Kind: calib.Repeatability, Name: cmp.Or(c.Name, "repeatability"), Unit: symbol, C: 1, What: uncertainty.Pooled(s, dof, len(x)),
			Source: fmt.Sprintf("s/√n of %d readings, s = %.2g %s "+overAll, len(x), s, symbol)}, nil
	}
	if !c.PooledS.IsZero() {
		size = func(c calib.Contribution, x []float64) (uncertainty.Distribution, string, error) {
			return ledger.Pooled(c, len(x))
		}
	}
	what, source, err := size(c, x)
	return ledger.Line{Kind: calib.Repeatability, Name: cmp.Or(c.Name, "repeatability"), Source: source, Unit: symbol, C: 1, What: what}, err
}

// overAll ends the source of a repeatability whose s is that of all places.
const overAll = "pooled over all places"

// merged makes one line of those that rest on one s: its degrees of freedom
// count once, however many means a figure takes.
func merged(lines []ledger.Line) []ledger.Line {
	var out []ledger.Line
	at := map[string]int{}
	for _, l := range lines {
		n, again := at[l.Source]
		if l.Kind != calib.Repeatability || !strings.HasSuffix(l.Source, overAll) || !again {
			at[l.Source] = len(out)
			out = append(out, l)
			continue
		}
		out[n].Name, out[n].C = "repeatability of the means", math.Hypot(out[n].C, l.C)
	}
	return out
}

// A step is one step of what was read, and how it is known.
type step struct {
	size unit.Quantity
	by   string
}

// stepOfGauge is that of the gauge itself.
func stepOfGauge(g calib.Gauge) step { return step{g.Resolution, g.ID + "'s record"} }

// stepOn is that of an instrument: its record's, else one unit in the last
// place that was typed, the finest of the readings.
func stepOn(s calib.Standard, readings []calib.Reading) step {
	if !s.Resolution.IsZero() {
		return step{s.Resolution, s.ID + "'s record"}
	}
	return step{lastPlace(readings), "as the readings were typed, for " + s.ID + "'s record has none"}
}

// resolution is rectangular over one step of what was read (JCGM 100:2008,
// F.2.2.1), or as the plan sizes it.
func (b *bench) resolution(kind calib.ContributionKind, name string, s step) ledger.Line {
	l := ledger.Line{Kind: kind, Name: name, Unit: innerOf(s.size), C: 1}
	if c, ok := b.sizedBy(kind); ok && c.Sized() {
		l.Name, l.Source, l.What = cmp.Or(c.Name, name), ledger.SourceOf(c), ledger.Sized(c, 0)
		return l
	}
	l.Source, l.What = "half of one step of "+s.size.String()+", "+s.by, uncertainty.Rectangular(s.size.Inner().Float()/2)
	return l
}

func innerOf(q unit.Quantity) string { return unit.Inner(q.Unit().Dimension()).Symbol() }

// added returns what the plan adds to the budget of a value: each contribution
// that is not the size of a line of its own. rate says how much of the value
// one inner unit of a dimension is, false for a dimension it cannot be in.
func (b *bench) added(value float64, rate func(unit.Dimension) (float64, bool)) ([]ledger.Line, error) {
	var out []ledger.Line
	for _, c := range b.terms.Contributions {
		switch c.Kind {
		case calib.InstrumentDrift, calib.WeightDrift, calib.AirBuoyancy, calib.Mechanical, calib.OtherEffect:
		default:
			continue
		}
		d := dimensionOf(c)
		l := ledger.Line{Kind: c.Kind, Name: cmp.Or(c.Name, string(c.Kind)), Source: ledger.SourceOf(c), Unit: unit.Inner(d).Symbol(), What: ledger.Sized(c, 0)}
		if d == unit.Percent {
			l.C = value / 100
		} else if per, ok := rate(d); ok {
			l.C = per
		} else {
			return nil, &ledger.SizeError{Kind: c.Kind, Found: "is a " + string(d), Want: "want what the figure is, or per cent of it"}
		}
		out = append(out, l)
	}
	return out, nil
}

// dimensionOf is that of a contribution's size.
func dimensionOf(c calib.Contribution) unit.Dimension {
	for _, q := range []unit.Quantity{c.HalfWidth, c.Standard, c.Expanded} {
		if !q.IsZero() {
			return q.Unit().Dimension()
		}
	}
	return ""
}

// used returns a standard that the check must name, of one of the kinds.
func (b *bench) used(place, id string, kinds ...calib.StandardKind) (calib.StandardOnDay, error) {
	s, ok := b.basis.Find(id)
	if !ok {
		return s, &PlaceError{place, id + " is not among the standards used", "name it there"}
	}
	for _, k := range kinds {
		if s.Standard.Kind == k {
			return s, nil
		}
	}
	return s, &PlaceError{place, fmt.Sprintf("%s is a %s", id, s.Standard.Kind), "want a " + joinKinds(kinds)}
}

func joinKinds(kinds []calib.StandardKind) string {
	text := string(kinds[0])
	for _, k := range kinds[1:] {
		text += " or a " + string(k)
	}
	return text
}

// indications are the readings in the inner unit.
func indications(readings []calib.Reading) []float64 {
	out := make([]float64, len(readings))
	for i, r := range readings {
		out[i] = r.Indication.Inner().Float()
	}
	return out
}

// mean is exact; of no readings it is 0.
func mean(readings []calib.Reading) unit.Exact {
	sum := unit.Exact{}
	for _, r := range readings {
		sum = sum.Add(r.Indication.Inner())
	}
	return sum.Quo(unit.Whole(int64(len(readings))))
}

// lastPlace is one unit in the last place that was typed, the finest of the
// readings: an instrument shows the same places throughout.
func lastPlace(readings []calib.Reading) unit.Quantity {
	if len(readings) == 0 {
		return unit.Quantity{}
	}
	places := 0
	for _, r := range readings {
		places = max(places, r.Indication.Places())
	}
	one := unit.Whole(1)
	for range places {
		one = one.Quo(unit.Whole(10))
	}
	return unit.Of(one, readings[0].Indication.Unit())
}
