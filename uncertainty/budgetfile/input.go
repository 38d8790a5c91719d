package budgetfile

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/wring/uncertainty"
	"example.org/wring/uncertainty/stat"
)

// input is one [[input]] as TOML has it.
type input struct {
	Name          string    `toml:"name"`
	Value         *float64  `toml:"value"`
	Distribution  string    `toml:"distribution"`
	HalfWidth     *float64  `toml:"half_width"`
	Beta          *float64  `toml:"beta"`
	Inexact       *float64  `toml:"inexact"`
	U             *float64  `toml:"u"`
	Expanded      *float64  `toml:"expanded"`
	K             *float64  `toml:"k"`
	Readings      []float64 `toml:"readings"`
	PooledS       *float64  `toml:"pooled_s"`
	N             *int      `toml:"n"`
	DoF           *float64  `toml:"dof"`
	Unreliability *float64  `toml:"unreliability"`
	Sensitivity   *float64  `toml:"sensitivity"`
	Source        string    `toml:"source"`
}

// refused is a reason, for the caller to put the input's name to.
type refused struct{ reason string }

func (e refused) Error() string { return e.reason }

func refuse(format string, a ...any) error { return refused{fmt.Sprintf(format, a...)} }

// understand turns the input into a line of a budget; the error is an [*InputError].
func (in input) understand(place int, model bool) (uncertainty.Input, error) {
	line := uncertainty.Input{Name: in.Name, Sensitivity: 1, Source: in.Source}
	err := in.fill(&line, model)
	if err != nil {
		return line, &InputError{place, in.Name, err.Error()}
	}
	return line, nil
}

func (in input) fill(line *uncertainty.Input, model bool) (err error) {
	if reason := unfit(in.Name, longestLine); reason != "" {
		return refuse("name: %s; want one in a line", reason)
	}
	if in.Source != "" {
		if reason := unfit(in.Source, longestLine); reason != "" {
			return refuse("source: %s; want one line", reason)
		}
	}
	if err := in.plain(); err != nil {
		return err
	}
	if in.Sensitivity != nil {
		if model {
			return refuse("sensitivity %v beside a model; want it left out, the model gives it", *in.Sensitivity)
		}
		line.Sensitivity = *in.Sensitivity
	}
	if in.Value != nil {
		line.Estimate = *in.Value
	} else if model && in.Readings == nil {
		return refuse("no value; want the estimate the model is to use")
	}
	if in.Readings != nil || in.PooledS != nil {
		err = in.typeA(line)
	} else {
		line.Knowledge, err = in.typeB()
	}
	if err != nil {
		return err
	}
	return in.freedom(line)
}

// number is a key with its value.
type number struct {
	key   string
	value *float64
}

func (in input) numbers() []number {
	return []number{{"value", in.Value}, {"half_width", in.HalfWidth}, {"beta", in.Beta}, {"inexact", in.Inexact}, {"u", in.U},
		{"expanded", in.Expanded}, {"k", in.K}, {"pooled_s", in.PooledS}, {"dof", in.DoF},
		{"unreliability", in.Unreliability}, {"sensitivity", in.Sensitivity}}
}

// plain refuses TOML's nan and inf, except infinite degrees of freedom, and widths that are not above zero.
func (in input) plain() error {
	for _, n := range in.numbers() {
		if n.value == nil || n.key == "dof" && math.IsInf(*n.value, 1) {
			continue
		}
		v := *n.value
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return refuse("%s is %v; want a finite number", n.key, v)
		}
		switch n.key {
		case "half_width", "u", "expanded", "k", "pooled_s", "unreliability":
			if !(v > 0) {
				return refuse("%s is %v; want one above zero", n.key, v)
			}
		case "beta":
			if !(v >= 0 && v <= 1) {
				return refuse("beta is %v; want 0 to 1", v)
			}
		case "dof":
			if !(v >= 1) {
				return refuse("dof is %v; want at least 1", v)
			}
		}
	}
	return nil
}

// typeA evaluates readings, or takes a scatter known from earlier ones.
func (in input) typeA(line *uncertainty.Input) error {
	if in.Distribution != "" && in.Distribution != "t" {
		return refuse("readings or pooled_s with distribution %q; want it left out, or \"t\"", in.Distribution)
	}
	if err := in.only("value", "pooled_s", "dof", "sensitivity"); err != nil {
		return err
	}
	n := len(in.Readings)
	if in.Readings != nil {
		if in.Value != nil {
			return refuse("a value beside readings; want one of them, the value is the readings' mean")
		}
		var err error
		if in.PooledS != nil { // the scatter is known: one reading will do
			line.Estimate, err = stat.Mean(in.Readings)
		} else {
			line.Estimate, line.Knowledge, err = uncertainty.Readings(in.Readings)
		}
		if err != nil {
			return refuse("readings: %v", err)
		}
	}
	if in.PooledS == nil {
		if in.DoF != nil || in.N != nil {
			return refuse("dof or n beside readings; want them left out, or pooled_s")
		}
		return nil
	}
	switch {
	case in.N != nil && in.Readings != nil && *in.N != n:
		return refuse("n is %d beside %d readings; want n left out", *in.N, n)
	case in.N != nil && *in.N < 1:
		return refuse("n is %d; want at least 1", *in.N)
	case in.N == nil && in.Readings == nil:
		return refuse("pooled_s without n; want the number of readings in the mean")
	case in.DoF == nil:
		return refuse("pooled_s without dof; want the degrees of freedom of the pooled value")
	case in.N != nil:
		n = *in.N
	}
	line.Knowledge = uncertainty.Pooled(*in.PooledS, *in.DoF, n)
	return nil
}

// typeB makes the distribution from the keys that go with it.
func (in input) typeB() (d uncertainty.Distribution, err error) {
	const freedom, either = "dof", "unreliability"
	switch in.Distribution {
	case "normal":
		return in.normal()
	case "t":
		if in.U == nil || in.DoF == nil && in.Unreliability == nil {
			return d, refuse("t without u and dof; want both")
		}
		return uncertainty.StudentT(*in.U, math.Inf(1)), in.only("value", "u", freedom, either, "sensitivity")
	case "rectangular", "triangular", "trapezoidal", "arcsine", "curvilinear":
	case "":
		return d, refuse("no distribution; want one of normal, t, rectangular, triangular, trapezoidal, arcsine, curvilinear, or readings")
	default:
		return d, refuse("distribution %q; want normal, t, rectangular, triangular, trapezoidal, arcsine or curvilinear", in.Distribution)
	}
	if in.HalfWidth == nil {
		return d, refuse("%s without half_width; want it", in.Distribution)
	}
	keys := []string{"value", "half_width", freedom, either, "sensitivity"}
	switch a := *in.HalfWidth; in.Distribution {
	case "rectangular":
		d = uncertainty.Rectangular(a)
	case "triangular":
		d = uncertainty.Triangular(a)
	case "arcsine":
		d = uncertainty.Arcsine(a)
	case "trapezoidal":
		if in.Beta == nil {
			return d, refuse("trapezoidal without beta; want 0 to 1")
		}
		d, keys = uncertainty.Trapezoidal(a, *in.Beta), append(keys, "beta")
	case "curvilinear":
		if in.Inexact == nil || !(*in.Inexact >= 0 && *in.Inexact < a) {
			return d, refuse("inexact is %s; want 0 up to less than half_width %v", shown(in.Inexact), a)
		}
		d, keys = uncertainty.Curvilinear(a, *in.Inexact), append(keys, "inexact")
	}
	return d, in.only(keys...)
}

func (in input) normal() (d uncertainty.Distribution, err error) {
	switch {
	case in.U != nil && in.Expanded == nil:
		return uncertainty.Normal(*in.U), in.only("value", "u", "dof", "unreliability", "sensitivity")
	case in.U == nil && in.Expanded != nil && in.K != nil:
		return uncertainty.Expanded(*in.Expanded, *in.K), in.only("value", "expanded", "k", "dof", "unreliability", "sensitivity")
	}
	return d, refuse("normal with u %s, expanded %s and k %s; want u alone, or expanded with k", shown(in.U), shown(in.Expanded), shown(in.K))
}

// freedom sets the degrees of freedom of a type B input.
func (in input) freedom(line *uncertainty.Input) error {
	switch {
	case in.DoF != nil && in.Unreliability != nil:
		return refuse("dof and unreliability; want one of them")
	case in.Unreliability != nil:
		nu := uncertainty.DoFOfUnreliability(*in.Unreliability)
		if !(nu >= 1) {
			return refuse("unreliability is %v, less than one degree of freedom; want at most 0.7", *in.Unreliability)
		}
		line.Knowledge = line.Knowledge.WithDoF(nu)
	case in.DoF != nil && in.PooledS == nil:
		line.Knowledge = line.Knowledge.WithDoF(*in.DoF)
	}
	return nil
}

// only refuses numbers that do not go with the distribution: one of the two is a mistake.
func (in input) only(keys ...string) error {
	var extra []string
	for _, n := range in.numbers() {
		if n.value != nil && !slices.Contains(keys, n.key) {
			extra = append(extra, n.key)
		}
	}
	if in.N != nil && !slices.Contains(keys, "pooled_s") {
		extra = append(extra, "n")
	}
	if len(extra) == 0 {
		return nil
	}
	return refuse("%s does not go with %s; want only its own keys", strings.Join(extra, ", "), or(in.Distribution, "readings or pooled_s"))
}

func shown(v *float64) string {
	if v == nil {
		return "left out"
	}
	return fmt.Sprint(*v)
}
