package length

import (
	"cmp"
	"fmt"
	"math"

	"example.org/wring/calib"
	"example.org/wring/calib/ledger"
	"example.org/wring/calib/limits"
	"example.org/wring/uncertainty"
	"example.org/wring/uncertainty/stat"
	"example.org/wring/uncertainty/unit"
)

// A line is one input of the budget at one point, its sensitivity in mm.
type line = ledger.Line

// A SizeError names a contribution that nothing sizes.
type SizeError = ledger.SizeError

// A bench is what the contributions of one check are drawn from.
type bench struct {
	check calib.Check
	basis calib.Basis
	pool  pool
}

// lines returns the inputs of the budget at one point, in the order of
// [calib.ContributionKinds].
func (b bench) lines(o observed) ([]line, error) {
	var out []line
	for _, kind := range calib.ContributionKinds() {
		for _, c := range b.basis.Plan.Contributions {
			if c.Kind != kind {
				continue
			}
			lines, err := b.contribution(c, o)
			if err != nil {
				return nil, err
			}
			for _, l := range lines {
				l.Kind = kind
				l.Unit = cmp.Or(l.Unit, "mm")
				out = append(out, l)
			}
		}
	}
	return out, nil
}

func (b bench) contribution(c calib.Contribution, o observed) ([]line, error) {
	switch c.Kind {
	case calib.Repeatability:
		return b.repeatability(c, o)
	case calib.Resolution:
		return b.resolution(c, "resolution of the reading"), nil
	case calib.ZeroResolution:
		return b.resolution(c, "resolution of the zero"), nil
	case calib.Blocks:
		return blocks(o)
	case calib.BlockDrift:
		return b.drift(c, o)
	case calib.TemperatureDifference, calib.MeanTemperature, calib.ExpansionDifference:
		return b.thermal(c, o)
	case calib.Wringing:
		return wringing(c, o), nil
	case calib.Flatness:
		return b.faces(c, o, b.basis.Gauge.Flatness, "flatness of the measuring faces")
	case calib.Parallelism:
		return b.faces(c, o, b.basis.Gauge.Parallelism, "parallelism of the measuring faces")
	default:
		return []line{{Name: cmp.Or(c.Name, string(c.Kind)), Source: sourceOf(c), C: 1, What: sized(c, o)}}, nil
	}
}

// repeatability is s/√n of the point's own readings or of all points', or of
// the plan's pooled s where they are fewer than three (JCGM 100:2008, 4.2.3, 4.2.4), and that of
// the zero where the zero is subtracted.
func (b bench) repeatability(c calib.Contribution, o observed) ([]line, error) {
	own, err := b.repeated(c, o.readings)
	if err != nil {
		return nil, err
	}
	own.Name, own.C = cmp.Or(c.Name, "repeatability"), 1
	if b.basis.Plan.Zero != calib.ZeroSubtracted || len(b.check.Zero) == 0 {
		return []line{own}, nil
	}
	zero, err := b.repeated(c, indications(b.check.Zero))
	if err != nil {
		return nil, fmt.Errorf("the zero: %w", err)
	}
	zero.Name, zero.C = "repeatability of the zero", -1
	return []line{own, zero}, nil
}

// repeated sizes the repeatability of a mean: by s pooled over all points of
// the check where the plan says so, else by the readings' own.
func (b bench) repeated(c calib.Contribution, x []float64) (line, error) {
	if c.PooledOver != "" && b.pool.dof >= ledger.Fewest-1 {
		return line{What: uncertainty.Pooled(b.pool.s, b.pool.dof, len(x)),
			Source: fmt.Sprintf("s/√n of %d readings, s = %.2g µm pooled over all points", len(x), b.pool.s*1000)}, nil
	}
	d, source, err := ledger.Repeated(c, x)
	return line{What: d, Source: source}, err
}

// A pool is s of all points' readings together, in mm, with its degrees of
// freedom Σ(n−1) (JCGM 100:2008, 4.2.4).
type pool struct{ s, dof float64 }

func poolOf(points []observed) pool {
	var s, dof []float64
	for _, o := range points {
		if own, err := stat.StdDev(o.readings); err == nil {
			s, dof = append(s, own), append(dof, float64(len(o.readings)-1))
		}
	}
	pooled, total, err := stat.Pooled(s, dof)
	if err != nil {
		return pool{} // no point has two readings
	}
	return pool{pooled, total}
}

// resolution is rectangular over one step of the gauge (JCGM 100:2008,
// F.2.2.1), or as the plan sizes it.
func (b bench) resolution(c calib.Contribution, name string) []line {
	l := line{Name: cmp.Or(c.Name, name), C: 1, Source: sourceOf(c)}
	if c.Sized() {
		l.What = sized(c, observed{})
		return []line{l}
	}
	step := b.basis.Gauge.Resolution
	l.What = uncertainty.Rectangular(step.Inner().Float() / 2)
	l.Source = "half of one step of " + step.String()
	return []line{l}
}

// blocks returns a line for each certificate: its blocks share the
// laboratory's errors, so their uncertainties add linearly (r = 1, JCGM
// 100:2008, 5.2.2 note 1). A block known by its grade alone enters with the
// grade's limit deviation, rectangular (4.3.7), added in the same way.
func blocks(o observed) ([]line, error) {
	var out []line
	for _, group := range byCertificate(o.stack) {
		calibrated, graded, dof := 0.0, 0.0, math.Inf(1)
		for _, s := range group {
			if !s.value.Calibrated() {
				te, err := gradeLimit(s)
				if err != nil {
					return nil, err
				}
				graded += te
				continue
			}
			u, nu, err := ledger.Certified(s.value)
			if err != nil {
				return nil, fmt.Errorf("block %s of %s: %w", s.use.Nominal, s.use.Standard, err)
			}
			calibrated += u
			dof = math.Min(dof, nu)
		}
		id := group[0].from.Standard.ID
		where := "certificate " + group[0].from.Certificate.Number
		if calibrated > 0 {
			out = append(out, line{Name: "calibration of the blocks " + id, Source: where, C: -1, What: uncertainty.Normal(calibrated).WithDoF(dof)})
		}
		if graded > 0 {
			out = append(out, line{Name: "grade of the blocks " + id, Source: where + ", limit deviation of ISO 3650", C: -1, What: uncertainty.Rectangular(graded)})
		}
	}
	return out, nil
}

func byCertificate(stack []stacked) [][]stacked {
	var out [][]stacked
	at := map[string]int{}
	for _, s := range stack {
		key := s.from.Certificate.Laboratory + "\x00" + s.from.Certificate.Number
		i, ok := at[key]
		if !ok {
			i = len(out)
			at[key] = i
			out = append(out, nil)
		}
		out[i] = append(out[i], s)
	}
	return out
}

func gradeOf(s stacked) string { return cmp.Or(s.value.Grade, s.from.Standard.Grade) }

func gradeLimit(s stacked) (float64, error) {
	te, _, ok := limits.BlockGrade(gradeOf(s), s.use.Nominal.Inner())
	if !ok {
		return 0, &SizeError{Kind: calib.Blocks, Found: fmt.Sprintf("block %s of %s has neither a value nor a grade with a limit at its size", s.use.Nominal, s.use.Standard),
			Want: "want one of them in its certificate"}
	}
	return te.Float(), nil
}

// drift is what the blocks may have changed since their certificate:
// rectangular, the plan's size or the grade's stability for each year, added
// linearly over the blocks of one certificate (house rule: one steel, one
// history).
func (b bench) drift(c calib.Contribution, o observed) ([]line, error) {
	var out []line
	for _, group := range byCertificate(o.stack) {
		sum, grade := 0.0, ""
		for _, s := range group {
			perYear, err := yearly(c, s)
			if err != nil {
				return nil, err
			}
			grade = gradeOf(s)
			sum += perYear * b.check.Date.YearsSince(s.from.Certificate.Date)
		}
		source := sourceOf(c)
		if !c.Sized() {
			source = "ISO 3650 stability of grade " + grade
		}
		from := group[0].from
		name := cmp.Or(c.Name, "drift of the blocks") + " " + from.Standard.ID
		source += " since " + from.Certificate.Date.String()
		out = append(out, line{Name: name, Source: source, C: -1, What: uncertainty.Rectangular(sum)})
	}
	return out, nil
}

func yearly(c calib.Contribution, s stacked) (float64, error) {
	length := s.use.Nominal.Inner()
	if c.Sized() {
		return c.HalfWidth.Inner().Add(c.PerLength.Inner().Mul(length)).Float(), nil
	}
	constant, slope, ok := limits.BlockStability(gradeOf(s))
	if !ok {
		return 0, &SizeError{Kind: c.Kind, Found: s.from.Standard.ID + " has no grade whose stability is known", Want: "give the standard a grade, or the plan a size for each year"}
	}
	return constant.Add(slope.Mul(length)).Float(), nil
}

// wringing is the film's spread at each joint between blocks, independent from
// joint to joint, so that j joints give √j of one; their sum is taken as
// normal (house rule).
func wringing(c calib.Contribution, o observed) []line {
	joints := len(o.stack) - 1
	one := sized(c, observed{}).Standard()
	return []line{{Name: cmp.Or(c.Name, "wringing of the joints"), Source: sourceOf(c), C: -1,
		What: uncertainty.Normal(one * math.Sqrt(float64(joints)))}}
}

// faces is rectangular over the gauge's own deviation, half of it to each side
// (house rule: the block touches somewhere within it), or as the plan sizes it.
func (b bench) faces(c calib.Contribution, o observed, own unit.Quantity, name string) ([]line, error) {
	l := line{Name: cmp.Or(c.Name, name), C: 1, Source: sourceOf(c)}
	switch {
	case c.Sized():
		l.What = sized(c, o)
	case own.IsZero():
		return nil, &SizeError{Kind: c.Kind, Found: b.basis.Gauge.ID + " has none recorded", Want: "amend the gauge, or give the plan a size"}
	default:
		l.What = uncertainty.Rectangular(own.Inner().Float() / 2)
		l.Source = "half of the gauge's " + own.String()
	}
	return []line{l}, nil
}

// sized makes the distribution that the plan itself states, PerLength added at
// the point's nominal size.
func sized(c calib.Contribution, o observed) uncertainty.Distribution {
	return ledger.Sized(c, c.PerLength.Inner().Float()*o.nominalMM())
}

func sourceOf(c calib.Contribution) string { return ledger.SourceOf(c) }
