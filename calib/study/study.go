package study

import (
	"fmt"
	"slices"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/unit"
)

// A Study is what was observed: every part measured by every operator equally
// often. Nothing in it was computed.
type Study struct {
	Gauge   string     `json:"gauge" validate:"required,identity"`
	Title   string     `json:"title,omitempty" validate:"max=120,line"`   // what is studied
	Process string     `json:"process,omitempty" validate:"max=300,line"` // how it was measured: foot, pressure, dwell, in words
	Date    calib.Date `json:"date"`
	Person  string     `json:"person" validate:"required,max=80,line"` // who led it

	// Parts and Operators are named in the order they are told in.
	Parts     []string `json:"parts" validate:"max=100,dive,required,max=40,line"`
	Operators []string `json:"operators" validate:"max=20,dive,required,max=40,line"`
	Repeats   int      `json:"repeats" validate:"max=20"`

	// Low and High are the limits of the parts; not given: no tolerance.
	Low  unit.Quantity `json:"low,omitzero"`
	High unit.Quantity `json:"high,omitzero"`

	// Multiple is how many standard deviations are set against the tolerance,
	// without unit; 0: 6.
	Multiple float64 `json:"multiple,omitempty" validate:"gte=0,lte=20"`

	// Probability is the confidence of the intervals, between 0 and 1; 0: 0.95.
	Probability float64 `json:"probability,omitempty" validate:"gte=0,lt=1"`

	// Pooling is by test where it is left out.
	Pooling Pooling `json:"pooling,omitempty" validate:"omitempty,oneof='by test' pooled 'kept apart'"`

	// Seed made the order that was planned; 0: none was. Ordered says that the
	// readings stand in the order they were taken in.
	Seed    uint64 `json:"seed,omitempty" validate:"max=999999999"`
	Ordered bool   `json:"ordered,omitempty"`

	Readings []Reading `json:"readings" validate:"max=2000,dive"`
	Remarks  string    `json:"remarks,omitempty" validate:"max=400,line"`
}

// A Reading is one indication of a part by an operator, as typed.
type Reading struct {
	Part       string        `json:"part" validate:"required,max=40,line"`
	Operator   string        `json:"operator" validate:"required,max=40,line"`
	Indication unit.Quantity `json:"indication"`
	Comment    string        `json:"comment,omitempty" validate:"max=200,line"`
}

// A Pooling says what becomes of the interaction of parts and operators.
type Pooling string

// The poolings: with the repeats where its test does not show it; always; never.
const (
	ByTest    Pooling = "by test"
	Pooled    Pooling = "pooled"
	KeptApart Pooling = "kept apart"
)

// Poolings lists them in the order they are offered.
func Poolings() []Pooling { return []Pooling{ByTest, Pooled, KeptApart} }

// Defaults of a study.
const (
	defaultMultiple    = 6    // of s: 99.73 % of a normal distribution lie within; common practice
	defaultProbability = 0.95 // as for coverage, JCGM 100:2008, 6.3.3
)

// A CellError names a part and an operator whose readings are not as many as
// everywhere.
type CellError struct {
	Part, Operator string
	Have, Want     int
}

func (e *CellError) Error() string {
	have := fmt.Sprintf("%d readings", e.Have)
	switch e.Have {
	case 0:
		have = "no reading"
	case 1:
		have = "1 reading"
	}
	return fmt.Sprintf("part %s by %s: %s; want %d, as often as every part by every operator", e.Part, e.Operator, have, e.Want)
}

// Sound holds a study to its gauge and to what an analysis of variance can
// use: at least two parts, two operators and two repeats, no cell missing, one
// unit throughout.
func (s Study) Sound(g calib.Gauge) error {
	if err := s.Designed(g); err != nil {
		return err
	}
	return s.readingsSound(g)
}

// Designed is Sound but for the readings.
func (s Study) Designed(g calib.Gauge) error {
	for _, c := range []struct {
		n        int
		one, why string
	}{
		{len(s.Parts), "part", "else nothing tells the spread of parts"},
		{len(s.Operators), "operator", "else nothing tells reproducibility"},
		{s.Repeats, "repeat", "else nothing tells repeatability"},
	} {
		switch {
		case c.n == 1:
			return fmt.Errorf("1 %s; want at least 2, %s", c.one, c.why)
		case c.n < 2:
			return fmt.Errorf("%d %ss; want at least 2, %s", c.n, c.one, c.why)
		}
	}
	for what, list := range map[string][]string{"part": s.Parts, "operator": s.Operators} {
		for i, name := range list {
			if slices.Contains(list[:i], name) {
				return fmt.Errorf("%s %q: named twice; want each once", what, name)
			}
		}
	}
	return s.toleranceSound(g)
}

func (s Study) toleranceSound(g calib.Gauge) error {
	switch {
	case s.Low.IsZero() && s.High.IsZero():
		return nil
	case s.Low.IsZero() || s.High.IsZero():
		return fmt.Errorf("tolerance: one limit; want both, since its width is what a spread is set against")
	}
	for _, q := range []unit.Quantity{s.Low, s.High} {
		if q.Unit().Dimension() != g.Kind.Dimension() {
			return fmt.Errorf("tolerance %q: a %s; want a %s", q, q.Unit().Dimension(), g.Kind.Dimension())
		}
	}
	if s.Low.Inner().Cmp(s.High.Inner()) >= 0 {
		return fmt.Errorf("tolerance %s to %s: the lower limit is not below the upper; want it so", s.Low, s.High)
	}
	return nil
}

func (s Study) readingsSound(g calib.Gauge) error {
	count := map[[2]string]int{}
	for i, r := range s.Readings {
		switch {
		case !slices.Contains(s.Parts, r.Part):
			return fmt.Errorf("reading %d: part %q: not among the parts; want one of them", i+1, r.Part)
		case !slices.Contains(s.Operators, r.Operator):
			return fmt.Errorf("reading %d: operator %q: not among the operators; want one of them", i+1, r.Operator)
		case r.Indication.Unit().Symbol() != g.Unit:
			return fmt.Errorf("reading %d, part %s by %s: %s on a gauge that is read in %s; want one unit throughout", i+1, r.Part, r.Operator, r.Indication, g.Unit)
		}
		count[[2]string{r.Part, r.Operator}]++
	}
	for _, part := range s.Parts {
		for _, operator := range s.Operators {
			if n := count[[2]string{part, operator}]; n != s.Repeats {
				return &CellError{part, operator, n, s.Repeats}
			}
		}
	}
	return nil
}

// cells returns the readings by part, operator and repeat, in the inner unit.
func (s Study) cells() [][][]float64 {
	out := make([][][]float64, len(s.Parts))
	for i := range out {
		out[i] = make([][]float64, len(s.Operators))
	}
	for _, r := range s.Readings {
		i, j := slices.Index(s.Parts, r.Part), slices.Index(s.Operators, r.Operator)
		out[i][j] = append(out[i][j], r.Indication.Inner().Float())
	}
	return out
}
