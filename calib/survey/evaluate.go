package survey

import (
	"cmp"
	"fmt"
	"math"
	"math/big"
	"slices"

	"example.org/wring/calib"
	"example.org/wring/calib/ledger"
	"example.org/wring/uncertainty/conformity"
	"example.org/wring/uncertainty/stat"
	"example.org/wring/uncertainty/unit"
)

// Coverage is the coverage probability of every expanded uncertainty of a
// survey (JCGM 100:2008, 6.3.3, usual; clause from memory).
const Coverage = 0.95

// A taking is a survey on its way to its result.
type taking struct {
	survey Survey
	basis  Basis
	rule   conformity.Rule
	step   float64 // resolution, mm

	means  []unit.Exact // of the readings less the zero, mm
	effect *PressureEffect
	exact  []unit.Exact // thicknesses, mm
	thick  []float64    // the same
	mean   unit.Exact
	s      float64 // of thick, mm
	within Spread
	rows   *ledger.Ledger
}

// Evaluate works a survey out. It returns a [*PlaceError] for what cannot be
// worked with, an [*UnfitError] for a gauge that cannot serve, and a
// [*calib.StopError] for one that is not fit today and whose use was given no
// reason. The same survey and basis give the same result, bit for bit.
func Evaluate(s Survey, b Basis) (Result, error) {
	if err := s.Sound(b.Method, b.Lot, b.Gauge); err != nil {
		return Result{}, err
	}
	found, err := b.Fitness(s.Date)
	if err != nil {
		return Result{}, err
	}
	rule, err := ledger.RuleOf(b.Lot.Rule)
	if err != nil {
		return Result{}, fmt.Errorf("lot %s: %w", b.Lot.ID, err)
	}
	t := &taking{survey: s, basis: b, rule: rule, step: b.Gauge.Resolution.Inner().Float(), rows: ledger.New(len(s.Places) + 1)}
	t.observe()
	found = append(found, b.sizeFitness(s, t.means)...)
	found = append(found, b.dwellSkipped(s)...)
	lacking, err := t.correct()
	if err != nil {
		return Result{}, err
	}
	if lacking != "" {
		found = append(found, calib.Finding{Gate: GateEffect, Text: lacking + "; thicknesses are at the pressure that was verified", Action: calib.Mark})
	}
	if b.Sizes.Plan.Zero == calib.ZeroSubtracted && len(s.Zero) == 0 {
		found = append(found, calib.Finding{Gate: GateZero, Text: fmt.Sprintf("errors of check %d count from the zero; thicknesses are as if the gauge stood at it", b.Sizes.Entry), Action: calib.Mark})
	}
	r := Result{Pressure: t.effect, Reported: b.Method.Report}
	for i := range found {
		if s.Override != "" && found[i].Action == calib.Stop {
			found[i].Action, r.Override = calib.Mark, s.Override
		}
	}
	marked, err := calib.PartFindings(found)
	if err != nil {
		return Result{}, err
	}
	r.Findings = marked
	return r, t.conclude(&r)
}

// observe takes the mean of each place's readings, less the zero. Where the
// check of the gauge recorded its zero and did not subtract it, that zero is in
// the errors that are taken off: only what the zero moved since is subtracted.
func (t *taking) observe() {
	zero := unit.Exact{}
	if len(t.survey.Zero) > 0 {
		zero = meanOf(t.survey.Zero).Sub(t.basis.zeroOfErrors())
	}
	for _, p := range t.survey.Places {
		t.means = append(t.means, meanOf(p.Readings).Sub(zero))
	}
}

func meanOf(list []calib.Reading) unit.Exact {
	sum := unit.Exact{}
	for _, r := range list {
		sum = sum.Add(r.Indication.Inner())
	}
	return sum.Quo(unit.Whole(int64(len(list))))
}

// finest is the last place of a correction, in mm: a picometre, far below any
// gauge, so that a thickness stays a number that can be written (house rule).
const finest = 1e-9

// correct takes the gauge's error off each reading and refers it to the
// method's pressure. It says what is lacking where that cannot be done.
func (t *taking) correct() (lacking string, err error) {
	var raw []float64
	for _, m := range t.means {
		raw = append(raw, m.Float()-t.basis.errorAt(m.Float()).err)
	}
	middle, err := stat.Mean(raw)
	if err != nil {
		return "", err
	}
	if t.effect, lacking, err = t.basis.pressureOf(t.survey, middle); err != nil {
		return "", err
	}
	shift := 0.0
	if t.effect != nil {
		shift = t.effect.Correction
	}
	sum := unit.Exact{}
	for _, m := range t.means {
		off := math.Round((t.basis.errorAt(m.Float()).err-shift)/finest) * finest
		one := m.Sub(unit.Decimal(math.Round(off/finest) * finest))
		t.exact, t.thick, sum = append(t.exact, one), append(t.thick, one.Float()), sum.Add(one)
	}
	t.mean = sum.Quo(unit.Whole(int64(len(t.exact))))
	if len(t.thick) > 1 {
		t.s, err = stat.StdDev(t.thick)
	}
	return lacking, err
}

// conclude fills in the result.
func (t *taking) conclude(r *Result) error {
	if err := t.scatter(r); err != nil {
		return err
	}
	var err error
	if r.Mean, err = t.figure(0, "mean of the lot", t.mean, t.ofMean(t.mean.Float()), t.basis.Lot.Mean); err != nil {
		return err
	}
	worst := conformity.Verdict("")
	for i, p := range t.survey.Places {
		f, err := t.figure(i+1, "thickness", t.exact[i], t.ofPlace(i), t.basis.Lot.Place)
		if err != nil {
			return err
		}
		x, y := t.survey.where(i, t.basis.Lot)
		r.Places = append(r.Places, PlaceResult{Name: p.Name, X: x, Y: y, Reading: t.means[i], Error: t.basis.errorAt(t.means[i].Float()).err, Thickness: f})
		worst = worse(worst, conformity.Verdict(f.Verdict))
	}
	r.Budget = t.rows.Rows()
	r.PlacesVerdict = calib.Verdict(worst)
	r.Verdict = calib.Verdict(worse(worst, conformity.Verdict(r.Mean.Verdict)))
	t.extremes(r)
	if err := t.interval(r); err != nil {
		return err
	}
	if err := t.trends(r); err != nil {
		return err
	}
	t.notes(r)
	return t.needed(r)
}

// worse is conformity.Worst where an empty verdict is none.
func worse(a, b conformity.Verdict) conformity.Verdict {
	switch {
	case a == "":
		return b
	case b == "":
		return a
	}
	return conformity.Worst(a, b)
}

// figure gives a thickness its uncertainty and its verdict; result is its
// place in the budget, -1 for none.
func (t *taking) figure(result int, name string, value unit.Exact, lines []ledger.Line, tolerance calib.Band) (calib.Figure, error) {
	budget := ledger.Budget(lines)
	s, sum, err := budget.EvaluateWhole(Coverage)
	if err != nil {
		return calib.Figure{}, fmt.Errorf("%s: %w", name, err)
	}
	if result >= 0 {
		t.rows.Enter(result, lines)
	}
	f := calib.Figure{Name: name, Unit: "mm", Value: value, Low: inner(tolerance.Low), High: inner(tolerance.High),
		Standard: s.Standard, K: s.K, Expanded: s.Expanded, Method: string(s.Method)}
	if !math.IsInf(s.DoF, 1) {
		f.DoF = s.DoF
	}
	if !f.Judged() {
		return f, nil
	}
	d, err := t.rule.Decide(conformity.Measured{Error: value.Rat(), Expanded: s.Expanded, Deviation: sum}, conformity.Limits{Lower: rational(f.Low), Upper: rational(f.High)})
	if err != nil {
		return f, err
	}
	f.Conformance, f.Verdict = d.Conformance, calib.Verdict(d.Verdict)
	if !math.IsInf(d.Ratio, 1) {
		f.Ratio = d.Ratio
	}
	return f, nil
}

func inner(q unit.Quantity) *unit.Exact {
	if q.IsZero() {
		return nil
	}
	e := q.Inner()
	return &e
}

func rational(e *unit.Exact) *big.Rat {
	if e == nil {
		return nil
	}
	return e.Rat()
}

// scatter parts what differs within places from what differs between them.
func (t *taking) scatter(r *Result) error {
	r.S = t.s
	squares, dof := 0.0, 0.0
	var groups [][]float64
	for _, p := range t.survey.Places {
		var x []float64
		for _, one := range p.Readings {
			x = append(x, one.Indication.Inner().Float())
		}
		groups = append(groups, x)
		if len(x) > 1 {
			s, err := stat.StdDev(x)
			if err != nil {
				return err
			}
			squares, dof = squares+s*s*float64(len(x)-1), dof+float64(len(x)-1)
		}
	}
	if dof > 0 {
		t.within = Spread{math.Sqrt(squares / dof), dof, "s within places"}
	} else {
		s2, nu := t.basis.checkSpread()
		t.within = Spread{math.Sqrt(s2), nu, fmt.Sprintf("s of readings in check %d, against blocks", t.basis.Sizes.Entry)}
		r.Notes = append(r.Notes, "no place was read twice: how readings of one soft place repeat is not known, and U of a place has the gauge's repeatability on blocks in its stead")
	}
	r.Within = t.within
	if dof == 0 || len(groups) < 2 {
		return nil
	}
	return t.between(r, groups)
}

// between is left out where all readings are equal: nothing scatters.
func (t *taking) between(r *Result, groups [][]float64) error {
	a, err := stat.OneWay(groups)
	if err != nil || math.IsInf(a.F, 0) {
		return nil
	}
	p, err := stat.FSurvival(a.F, a.DoFBetween, a.DoFWithin)
	r.Between = &Between{S: a.SBetween(), F: a.F, P: p, DoFPlaces: a.DoFBetween, DoFWithin: a.DoFWithin}
	return err
}

func (t *taking) extremes(r *Result) {
	low, high := t.exact[0], t.exact[0]
	for _, v := range t.exact {
		if v.Cmp(low) < 0 {
			low = v
		}
		if v.Cmp(high) > 0 {
			high = v
		}
	}
	for i, v := range t.exact {
		if v.Cmp(low) == 0 {
			r.Least = append(r.Least, t.survey.Places[i].Name)
		}
		if v.Cmp(high) == 0 {
			r.Most = append(r.Most, t.survey.Places[i].Name)
		}
	}
	r.Range = high.Sub(low)
	sorted := slices.SortedFunc(slices.Values(t.exact), unit.Exact.Cmp)
	n := len(sorted)
	r.Median = sorted[(n-1)/2].Add(sorted[n/2]).Quo(unit.Whole(2))
}

// notes say what a reader of the figures might take for more than it is.
func (t *taking) notes(r *Result) {
	if len(t.thick) == 1 {
		r.Notes = append(r.Notes, "one place: how places differ is not known, and is not in U of the mean")
	}
	if r.Reported == ReportMedian {
		r.Notes = append(r.Notes, "the method reports the median; U and the verdict are those of the mean")
	}
	if r.Interval != nil && slices.ContainsFunc(r.Trends, func(x Trend) bool { return x.Seen }) {
		r.Notes = append(r.Notes, "a trend was seen: places do not scatter at random about the mean, as the tolerance interval takes them to")
	}
}

// usual is the share of the lot and the confidence of an interval for which
// none are given (house rule).
const usual = 0.95

func (t *taking) interval(r *Result) error {
	if len(t.thick) < 2 || t.s == 0 {
		return nil
	}
	i := Interval{Share: cmp.Or(t.survey.Share, usual), Confidence: cmp.Or(t.survey.Confidence, usual)}
	var err error
	if i.K, err = stat.ToleranceFactor(len(t.thick), i.Share, i.Confidence); err != nil {
		return err
	}
	m := t.mean.Float()
	i.Low, i.High = m-i.K*t.s, m+i.K*t.s
	r.Interval = &i
	return nil
}
