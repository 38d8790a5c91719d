package study

import (
	"cmp"
	"errors"
	"fmt"
	"math"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/stat"
	"example.org/wring/uncertainty/unit"
)

// poolAbove is the probability above which an interaction's test lets it be
// pooled with the repeats: a strict one, so that an interaction that is there
// is seldom lost (Bancroft 1964, Biometrics 20, 427–442; from memory).
const poolAbove = 0.25

// A Basis is what a study rests on, as it stood on that day.
type Basis struct {
	Gauge    calib.Gauge
	Standing calib.Standing
}

// Evaluate works a study out. It refuses one that [Study.Sound] does, one with
// a gauge that is not there, and one in which all readings are equal. The same
// study and basis give the same result, bit for bit.
func Evaluate(s Study, b Basis) (Result, error) {
	g := b.Gauge
	if why := b.Standing.Refused(); why != "" {
		return Result{}, fmt.Errorf("gauge %s: %s", g.ID, why)
	}
	if err := s.Sound(g); err != nil {
		return Result{}, err
	}
	crossed, err := stat.AnalyseCrossed(s.cells())
	if err != nil {
		return Result{}, err
	}
	if crossed.First.Squares+crossed.Second.Squares+crossed.Interaction.Squares+crossed.Within.Squares == 0 {
		return Result{}, errors.New("all readings are equal; want parts, or a gauge, that show a difference")
	}
	r := Result{
		Unit: unit.Inner(g.Kind.Dimension()).Symbol(), Mean: crossed.Mean,
		Multiple:    cmp.Or(s.Multiple, defaultMultiple),
		Probability: cmp.Or(s.Probability, defaultProbability),
	}
	if !s.High.IsZero() {
		r.Tolerance = s.High.Inner().Sub(s.Low.Inner()).Float()
	}
	r.Pooled, r.Why = pool(crossed, cmp.Or(s.Pooling, ByTest))
	r.analyse(crossed)
	if r.Pooled {
		crossed = crossed.Pooled()
	}
	if err := r.components(crossed); err != nil {
		return Result{}, err
	}
	r.categories()
	r.read()
	r.operators(s)
	r.Findings = append(b.Standing.Marks(g.ID, s.Date), s.findings(r, g)...)
	return r, nil
}

// pool says whether the interaction is put together with the repeats, and why.
func pool(c stat.Crossed, by Pooling) (bool, string) {
	f, p, tested := c.Interaction.Over(c.Within)
	test := fmt.Sprintf("its F is %.3g, p %.2g", f, p)
	if !tested {
		test = "the repeats show no scatter to test it against"
	}
	switch {
	case by == Pooled:
		return true, "interaction pooled with the repeats, as was asked; " + test
	case by == KeptApart:
		return false, "interaction kept apart, as was asked; " + test
	case tested && p > poolAbove:
		return true, fmt.Sprintf("interaction pooled with the repeats: %s, above %.2f", test, poolAbove)
	case tested:
		return false, fmt.Sprintf("interaction kept apart: %s, not above %.2f", test, poolAbove)
	}
	return false, "interaction kept apart: " + test
}

// analyse fills the lines of the analysis of variance.
func (r *Result) analyse(c stat.Crossed) {
	tested, name := c, OfInteraction
	r.Against = "parts and operators are tested against their interaction: both are samples of more of their kind, and its mean square is what theirs would be if they had no effect"
	if r.Pooled {
		tested, name = c.Pooled(), "pooled"
		r.Against = "parts and operators are tested against the repeats with the interaction pooled into them"
	}
	add := func(of string, e, over stat.Effect, against string) {
		l := Line{Of: of, Squares: e.Squares, DoF: e.DoF, MeanSquare: e.MeanSquare()}
		if f, p, ok := e.Over(over); ok && against != "" {
			l.Against, l.F, l.P = against, f, p
		}
		r.Lines = append(r.Lines, l)
	}
	add(OfParts, c.First, tested.Denominator(), name)
	add(OfOperators, c.Second, tested.Denominator(), name)
	add(OfInteraction, c.Interaction, c.Within, OfRepeats)
	add(OfRepeats, c.Within, c.Within, "")
	if r.Pooled {
		add("pooled", tested.Within, tested.Within, "")
	}
}

// components fills the variances with their intervals and shares.
func (r *Result) components(c stat.Crossed) error {
	v := c.Variances()
	for _, of := range []struct {
		name  string
		is    stat.Combination
		taken float64
	}{
		{OfRepeatability, v.Within, c.Components().Within},
		{OfOperators, v.Second, c.Components().Second},
		{OfInteraction, v.Interaction, c.Components().Interaction},
		{OfReproducibility, v.Reproducibility, c.Components().Reproducibility()},
		{OfMeasurement, v.Measurement, c.Components().Measurement()},
		{OfParts, v.First, c.Components().First},
		{OfTotal, v.Total, c.Components().Total()},
	} {
		if of.is == nil { // pooled
			continue
		}
		low, high, err := of.is.Interval(r.Probability)
		if err != nil {
			return err
		}
		x := Component{Of: of.name, Estimate: of.is.Estimate(), Variance: of.taken, DoF: of.is.DoF(), S: math.Sqrt(of.taken),
			// One that is made of others may be above its estimate, where one of them was below zero.
			Low: math.Min(math.Sqrt(low), math.Sqrt(of.taken)), High: math.Max(math.Sqrt(high), math.Sqrt(of.taken)),
			OfTotal: of.taken / c.Components().Total()}
		if r.Tolerance > 0 {
			x.OfTolerance, x.LowOf, x.HighOf = r.Multiple*x.S/r.Tolerance, r.Multiple*x.Low/r.Tolerance, r.Multiple*x.High/r.Tolerance
		}
		r.Shares = append(r.Shares, x)
	}
	return nil
}

// categories counts how many classes of parts can be told apart: √2 · s of
// parts by s of the measurement, truncated, at least one (Wheeler and Lyday
// 1989, from memory; common practice wants five).
func (r *Result) categories() {
	parts, _ := r.Find(OfParts)
	all, _ := r.Find(OfMeasurement)
	if !(all.S > 0) {
		return
	}
	r.Ratio = math.Sqrt2 * parts.S / all.S
	r.Categories = int(math.Min(math.Max(1, math.Floor(r.Ratio)), math.MaxInt32))
}

// read says what the share of the tolerance comes to.
func (r *Result) read() {
	all, _ := r.Find(OfMeasurement)
	switch share := all.OfTolerance; {
	case !(r.Tolerance > 0):
	case share <= servesTo:
		r.Reading = Serves
	case share <= withCareTo:
		r.Reading = ServesWithCare
	case share <= 1:
		r.Reading = DoesNotServe
	default:
		r.Reading = Exceeds
	}
}

func (r *Result) operators(s Study) {
	cells := s.cells()
	for j, name := range s.Operators {
		row, within := OperatorRow{Name: name}, 0.0
		for i := range s.Parts {
			mean, _ := stat.Mean(cells[i][j]) // Sound saw to two and more
			spread, _ := stat.StdDev(cells[i][j])
			row.Mean += mean / float64(len(s.Parts))
			within += spread * spread / float64(len(s.Parts))
		}
		row.S = math.Sqrt(within)
		r.Operators = append(r.Operators, row)
	}
}
