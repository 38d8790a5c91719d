package stat

import (
	"fmt"
	"math"
)

// An Effect is one line of a table of analysis of variance.
type Effect struct {
	// Squares is the sum of squares, ≥ 0, in the square of the data's unit.
	Squares float64
	// DoF is its degrees of freedom, ≥ 1.
	DoF float64
}

// MeanSquare returns the sum of squares by its degrees of freedom.
func (e Effect) MeanSquare() float64 { return e.Squares / e.DoF }

// A Crossed is the table of an analysis of variance of two crossed factors with repeats: every part measured by every
// operator equally often, where both are samples of more of their kind.
type Crossed struct {
	// Mean is the mean of all data, in their unit.
	Mean                               float64
	First, Second, Interaction, Within Effect
	// Repeats is how often every combination was measured, ≥ 2.
	Repeats int
}

// A Components holds the variances that the lines of a [Crossed] come from, in the square of the data's unit, ≥ 0.
type Components struct {
	First       float64 // of the first factor, between parts
	Second      float64 // of the second, between operators
	Interaction float64 // of operators who differ from part to part
	Within      float64 // of repeats
}

// AnalyseCrossed analyses data by first factor, second factor and repeat; each factor wants at least two levels, each
// combination the same number of repeats, at least two.
func AnalyseCrossed(data [][][]float64) (Crossed, error) {
	if err := balanced(data); err != nil {
		return Crossed{}, err
	}
	a, b, n := len(data), len(data[0]), len(data[0][0])
	var all []float64
	rows, columns, cells := make([][]float64, a), make([][]float64, b), make([]float64, 0, a*b)
	c := Crossed{Repeats: n}
	for i, row := range data {
		for j, cell := range row {
			rows[i], columns[j], all = append(rows[i], cell...), append(columns[j], cell...), append(all, cell...)
			m := mean(cell)
			cells = append(cells, m)
			c.Within.Squares += squares(cell, m)
		}
	}
	c.Mean = mean(all)
	first, second := means(rows), means(columns)
	c.First = Effect{float64(b*n) * squares(first, c.Mean), float64(a - 1)}
	c.Second = Effect{float64(a*n) * squares(second, c.Mean), float64(b - 1)}
	c.Interaction.DoF = float64((a - 1) * (b - 1))
	for i, m := range cells {
		off := (m - first[i/b]) - (second[i%b] - c.Mean)
		c.Interaction.Squares += float64(n) * off * off
	}
	c.Within.DoF = float64(a * b * (n - 1))
	if sum := c.First.Squares + c.Second.Squares + c.Interaction.Squares + c.Within.Squares; !(sum <= math.MaxFloat64) {
		return Crossed{}, fmt.Errorf("sum of squares: %w", ErrNotFinite)
	}
	return c, nil
}

// balanced refuses data that are not a full table of finite numbers.
func balanced(data [][][]float64) error {
	if len(data) < 2 {
		return &CountError{What: "levels of the first factor", Have: len(data), Want: 2}
	}
	if len(data[0]) < 2 {
		return &CountError{What: "levels of the second factor", Have: len(data[0]), Want: 2}
	}
	n := len(data[0][0])
	if n < 2 {
		return &CountError{What: "repeats", Have: n, Want: 2}
	}
	for i, row := range data {
		if len(row) != len(data[0]) {
			return fmt.Errorf("level %d of the first factor: %d levels of the second; want %d as at the first", i+1, len(row), len(data[0]))
		}
		for j, cell := range row {
			if len(cell) != n {
				return fmt.Errorf("level %d of the first factor, %d of the second: %d repeats; want %d as at the first", i+1, j+1, len(cell), n)
			}
			if err := finite("repeat", 1, cell); err != nil {
				return fmt.Errorf("level %d of the first factor, %d of the second: %w", i+1, j+1, err)
			}
		}
	}
	return nil
}

func means(groups [][]float64) []float64 {
	out := make([]float64, len(groups))
	for i, g := range groups {
		out[i] = mean(g)
	}
	return out
}

// Pooled puts the interaction together with the repeats: two factors that add up, with nothing between them. The
// line of the interaction is then empty, its degrees of freedom 0.
func (c Crossed) Pooled() Crossed {
	c.Within = Effect{c.Within.Squares + c.Interaction.Squares, c.Within.DoF + c.Interaction.DoF}
	c.Interaction = Effect{}
	return c
}

// Denominator is the line that the two factors are tested against: both being samples of more of their kind, it is the
// interaction, which either mean square holds too; the repeats where it is pooled with them.
func (c Crossed) Denominator() Effect {
	if c.Interaction.DoF == 0 {
		return c.Within
	}
	return c.Interaction
}

// Over tests an effect against another line: the ratio of the mean squares and the probability of as large a one where
// the effect is none. ok is false where the other line has no scatter, which nothing can be tested against.
func (e Effect) Over(other Effect) (f, p float64, ok bool) {
	if !(other.MeanSquare() > 0) {
		return 0, 0, false
	}
	f = e.MeanSquare() / other.MeanSquare()
	p, err := FSurvival(f, e.DoF, other.DoF)
	return f, p, err == nil
}

// Variances holds how each variance is made of the mean squares.
type Variances struct {
	First, Second, Interaction, Within  Combination // Interaction is empty where it is pooled
	Reproducibility, Measurement, Total Combination
}

// Variances solves the expected mean squares of two random factors (Houf and Berman 1988) for the variances. Estimates
// below zero are left so.
func (c Crossed) Variances() Variances {
	n, a, b := float64(c.Repeats), c.First.DoF+1, c.Second.DoF+1
	sum := func(first, second, interaction, within float64) Combination {
		all := Combination{{c.First, first}, {c.Second, second}, {c.Interaction, interaction}, {c.Within, within}}
		if c.Interaction.DoF == 0 { // the repeats stand for both
			all = Combination{{c.First, first}, {c.Second, second}, {c.Within, interaction + within}}
		}
		var out Combination
		for _, w := range all {
			if w.Times != 0 {
				out = append(out, w)
			}
		}
		return out
	}
	v := Variances{
		First:           sum(1/(n*b), 0, -1/(n*b), 0),
		Second:          sum(0, 1/(n*a), -1/(n*a), 0),
		Within:          sum(0, 0, 0, 1),
		Interaction:     sum(0, 0, 1/n, -1/n),
		Reproducibility: sum(0, 1/(n*a), 1/n-1/(n*a), -1/n),
		Measurement:     sum(0, 1/(n*a), 1/n-1/(n*a), 1-1/n),
		Total:           sum(1/(n*b), 1/(n*a), (a*b-a-b)/(a*b*n), 1-1/n),
	}
	if c.Interaction.DoF == 0 {
		v.Interaction = nil
		v.Reproducibility = v.Second
		v.Measurement = sum(0, 1/(n*a), 0, 1-1/(n*a))
		v.Total = sum(1/(n*b), 1/(n*a), 0, 1-1/(n*a)-1/(n*b))
	}
	return v
}

// Components returns the variances as estimated; one that comes out below zero is zero, as in Houf and Berman 1988.
func (c Crossed) Components() Components {
	v := c.Variances()
	taken := func(x Combination) float64 { return math.Max(0, x.Estimate()) }
	return Components{First: taken(v.First), Second: taken(v.Second), Interaction: taken(v.Interaction), Within: taken(v.Within)}
}

// Reproducibility returns the variance between operators, with the interaction.
func (c Components) Reproducibility() float64 { return c.Second + c.Interaction }

// Measurement returns the variance of repeatability and reproducibility together.
func (c Components) Measurement() float64 { return c.Within + c.Reproducibility() }

// Total returns the variance of all.
func (c Components) Total() float64 { return c.First + c.Measurement() }
