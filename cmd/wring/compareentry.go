package main

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/calib/agreement"
	"example.org/wring/calib/survey"
	"example.org/wring/registry"
	"example.org/wring/uncertainty/unit"
)

// A comparedSide is what one entry gives to a comparison.
type comparedSide struct {
	of        string // what the entry is
	party     agreement.Party
	names     []string // of the sizes, in their order
	values    map[string]agreement.Value
	standards []string

	// pieces names the blocks at each size by their certificates, and blocks is
	// the standard uncertainty that these give there, in mm.
	pieces map[string]string
	blocks map[string]float64

	// rows are the budget, its results in the order of the names, in unit in.
	rows []calib.BudgetRow
	in   unit.Unit
}

// sideOf reads a check or a survey as one side of a comparison.
func sideOf(tx *registry.Tx, seq uint64) (comparedSide, error) {
	e, _, err := tx.Entry(seq)
	if err != nil {
		return comparedSide{}, err
	}
	switch e.Kind {
	case registry.KindSurvey:
		k, err := tx.Survey(seq)
		if err != nil {
			return comparedSide{}, err
		}
		if k.Withdrawn > 0 {
			return comparedSide{}, fmt.Errorf("entry %d: was withdrawn by entry %d; want one that stands", seq, k.Withdrawn)
		}
		on, err := tx.ResolveSurvey(k.Survey.Basis)
		return sideOfSurvey(k.Survey, on, seq), err
	case registry.KindCheck, registry.KindCheckAmended:
	default:
		return comparedSide{}, fmt.Errorf("entry %d: is a %q; want the entry of a check or a survey", seq, e.Kind)
	}
	k, err := tx.Check(seq)
	if err != nil {
		return comparedSide{}, err
	}
	by, err := tx.AmendedBy(k)
	if err == nil && by > 0 {
		err = fmt.Errorf("entry %d: was amended by entry %d; want that one compared", seq, by)
	}
	if err != nil {
		return comparedSide{}, err
	}
	return sideOfCheck(k, seq)
}

// sideOfSurvey compares the mean thickness of a lot.
func sideOfSurvey(k registry.KeptSurvey, on survey.Basis, seq uint64) comparedSide {
	name := "mean of " + k.Survey.Lot
	m, u := k.Result.Mean, on.Gauge.ReadIn()
	s := comparedSide{of: "survey", names: []string{name}, values: map[string]agreement.Value{name: {Size: written(m.Value.Float(), m.Expanded, u), Expanded: computed(m.Expanded, u), K: m.K}},
		party: agreement.Party{Name: fmt.Sprintf("%s, entry %d", k.Survey.Gauge, seq), Gauge: k.Survey.Gauge, Entry: seq,
			Method:       fmt.Sprintf("%s revision %d", k.Survey.Method, k.Survey.Revision),
			FootDiameter: on.Gauge.FootDiameter, FootArea: on.Gauge.FootArea, Pressure: pressedWith(on), Dwell: on.Method.Dwell.Seconds},
		rows: k.Result.Budget, in: u}
	if on.Sizes != nil {
		s.standards = on.Sizes.Check.Standards
	}
	return s
}

// pressedWith is the pressure that the last check of the foot found, lowering as
// a sheet is read, the mean of its openings; not given where none was found.
func pressedWith(on survey.Basis) unit.Quantity {
	if on.Foot == nil || on.Foot.Result.Foot == nil {
		return unit.Quantity{}
	}
	sum, n := 0.0, 0
	inner := unit.Inner(unit.Pressure)
	for _, f := range on.Foot.Result.Foot.Figures {
		if f.Unit == inner.Symbol() && f.Name == "pressure, lowering" {
			sum, n = sum+f.Value.Float(), n+1
		}
	}
	if n == 0 {
		return unit.Quantity{}
	}
	const digits = 4 // the rule of what is alike does not need more, from 0.02 kPa on a bulky nonwoven to 200 kPa
	mean, err := unit.Parse(significant(sum/float64(n), digits), unit.Pressure, inner)
	if err != nil {
		return unit.Quantity{}
	}
	return mean
}

// sideOfCheck compares the errors of a gauge at the points of its check.
func sideOfCheck(k registry.Kept, seq uint64) (comparedSide, error) {
	c, r := k.Check.Check, k.Check.Result
	if len(r.Points) == 0 {
		return comparedSide{}, fmt.Errorf("entry %d: a check without points of length; want one that has them", seq)
	}
	s := comparedSide{of: "check", values: map[string]agreement.Value{}, standards: c.Standards, pieces: map[string]string{}, blocks: map[string]float64{},
		party: agreement.Party{Name: fmt.Sprintf("%s, entry %d", c.Gauge, seq), Gauge: c.Gauge, Entry: seq,
			Method: fmt.Sprintf("plan %s revision %d", c.Plan, c.Revision)}}
	u := c.Points[0].Nominal.Unit()
	s.rows, s.in = r.Budget, u
	for i, p := range r.Points {
		name := p.Nominal.Shortest() + " mm"
		s.names = append(s.names, name)
		s.values[name] = agreement.Value{Size: written(p.Error.Float(), p.Expanded, u), Expanded: computed(p.Expanded, u), K: p.K}
		s.pieces[name], s.blocks[name] = piecesAt(k.Check, i), blocksAt(r.Budget, i)
	}
	return s, nil
}

// piecesAt names the blocks at a point, each with the entry of the certificate
// that its length is from; empty where one has none.
func piecesAt(k registry.KeptCheck, i int) string {
	var names []string
	for _, b := range k.Check.Points[i].Blocks {
		at := slices.IndexFunc(k.Basis.Standards, func(r registry.StandardRef) bool { return r.ID == b.Standard })
		if at < 0 || k.Basis.Standards[at].Certificate == 0 {
			return ""
		}
		names = append(names, fmt.Sprintf("%s in entry %d", b.Nominal.Inner().Shortest(), k.Basis.Standards[at].Certificate))
	}
	slices.Sort(names)
	return strings.Join(names, ", ")
}

// blocksAt is the standard uncertainty that the certificates of the blocks give
// a point, in mm. Their drift since is not in it: two days need not share that.
func blocksAt(rows []calib.BudgetRow, i int) float64 {
	sum := 0.0
	for _, row := range rows {
		if row.Kind == calib.Blocks {
			u, c, _ := row.At(i)
			sum = math.Hypot(sum, u*c)
		}
	}
	return sum
}

// join makes the two sides parties of a comparison of what both measured.
func join(x agreement.Comparison, a, b comparedSide) agreement.Comparison {
	for _, id := range a.standards {
		if slices.Contains(b.standards, id) {
			x.Shared = append(x.Shared, id)
		}
	}
	shared := map[string]float64{}
	for _, name := range a.names {
		if v, both := b.values[name]; both {
			common := a.commonWith(b, name)
			s := agreement.Specimen{Name: name, A: a.values[name], B: v}
			if common > 0 {
				s.Common = computed(common, a.in)
			}
			x.Specimens, shared[name] = append(x.Specimens, s), common
		}
	}
	x.A, x.B = a.party, b.party
	x.A.Budget, x.B.Budget = a.budget(shared), b.budget(shared)
	return x
}

// commonWith is the standard uncertainty that both sides share at a size, in
// mm: the smaller of what the same pieces give either; 0 where they used others.
func (s comparedSide) commonWith(other comparedSide, name string) float64 {
	if s.pieces[name] == "" || s.pieces[name] != other.pieces[name] {
		return 0
	}
	return min(s.blocks[name], other.blocks[name])
}

// budget is what each line brings to the uncertainty of a difference over the
// sizes of shared: the root of its mean square, as the claims are taken
// together, of the blocks without what both sides share, in mm at each size.
func (s comparedSide) budget(shared map[string]float64) []agreement.BudgetLine {
	var out []agreement.BudgetLine
	for _, row := range s.rows {
		sum, n := 0.0, 0.0
		for i, name := range s.names {
			common, both := shared[name]
			if !both {
				continue
			}
			u, c, _ := row.At(i)
			v := u * u * c * c
			if row.Kind == calib.Blocks && common > 0 {
				v *= 1 - (common/s.blocks[name])*(common/s.blocks[name])
			}
			sum, n = sum+v, n+1
		}
		if sum > 0 {
			out = append(out, agreement.BudgetLine{Name: row.Name, Standard: computed(math.Sqrt(sum/n), s.in), Source: row.Source})
		}
	}
	return out
}

// computed makes a quantity of a computed size in mm; the decimal is the
// shortest that means it.
func computed(size float64, in unit.Unit) unit.Quantity {
	return unit.Of(unit.Decimal(in.FromFloat(size)), in)
}

// written is a computed size, in mm, to two places beyond the two digits of its
// expanded uncertainty (house rule): finer ones say nothing, and a comparison
// takes the last place of a size for what is known of it.
func written(size, expanded float64, in unit.Unit) unit.Quantity {
	const beyond = 3 // from the first digit of U to the last place
	u := in.FromFloat(expanded)
	if !(u > 0) {
		return computed(size, in)
	}
	places := max(0, beyond-int(math.Floor(math.Log10(u))))
	q, err := unit.Parse(fixed(in.FromFloat(size), places), in.Dimension(), in)
	if err != nil {
		return computed(size, in)
	}
	return q
}
