package formula

import (
	"fmt"
	"math"
	"strings"
)

// A DomainError says where a formula has no finite value.
type DomainError struct {
	Column int    // of the operation in the text, 1-based
	What   string // "sqrt of -0.31", "division of 1 by 0"
	At     string // the quantities: "x = 1.2, y = 0.4"
}

func (e *DomainError) Error() string {
	return fmt.Sprintf("model: column %d: %s at %s; want a model that is defined wherever its inputs may lie", e.Column, e.What, e.At)
}

// Value computes the formula at x, one number for each name in their order. The error is a [*DomainError].
func (f *Formula) Value(x []float64) (float64, error) {
	stack := make([]float64, 0, f.depth)
	for _, s := range f.steps {
		n := len(stack)
		switch s.op {
		case push:
			stack = append(stack, s.value)
			continue
		case load:
			stack = append(stack, x[s.index])
			continue
		case negate:
			stack[n-1] = -stack[n-1]
			continue
		case call:
			y := functions[s.index].f(stack[n-1])
			if !finite(y) {
				return 0, f.undefined(s, x, fmt.Sprintf("%s of %v", functions[s.index].name, stack[n-1]))
			}
			stack[n-1] = y
			continue
		}
		a, b := stack[n-2], stack[n-1]
		y, verb := binary(s.op, a, b)
		if !finite(y) {
			return 0, f.undefined(s, x, fmt.Sprintf("%v %s %v", a, verb, b))
		}
		stack = append(stack[:n-2], y)
	}
	return stack[0], nil
}

func binary(o op, a, b float64) (value float64, verb string) {
	switch o {
	case add:
		return a + b, "plus"
	case subtract:
		return a - b, "minus"
	case multiply:
		return a * b, "times"
	case divide:
		return a / b, "divided by"
	}
	return math.Pow(a, b), "to the power of"
}

func finite(y float64) bool { return !math.IsNaN(y) && !math.IsInf(y, 0) }

func (f *Formula) undefined(s step, x []float64, what string) error {
	var at []string
	for i, name := range f.names {
		if i == 12 {
			at = append(at, "...")
			break
		}
		at = append(at, fmt.Sprintf("%s = %.6g", name, x[i]))
	}
	return &DomainError{Column: s.column, What: what, At: strings.Join(at, ", ")}
}

// A Machine computes a formula for many values at once. It holds the memory for that, and belongs to one goroutine.
type Machine struct {
	f     *Formula
	stack [][]float64
}

// Machine makes one for columns of up to size numbers.
func (f *Formula) Machine(size int) *Machine {
	m := &Machine{f: f, stack: make([][]float64, f.depth)}
	for i := range m.stack {
		m.stack[i] = make([]float64, size)
	}
	return m
}

// Column computes out[k] from x[0][k], x[1][k] …, one column for each name. Where some step has no finite value
// the error is the [*DomainError] of the first such k.
func (m *Machine) Column(out []float64, x [][]float64) error {
	top, bad := 0, 0.0
	for _, s := range m.f.steps {
		switch s.op {
		case push:
			fill(m.stack[top][:len(out)], s.value)
			top++
		case load:
			copy(m.stack[top][:len(out)], x[s.index])
			top++
		case negate:
			for k, v := range m.stack[top-1][:len(out)] {
				m.stack[top-1][k] = -v
			}
		case call:
			bad += apply(functions[s.index].f, m.stack[top-1][:len(out)])
		default:
			top--
			bad += combine(s.op, m.stack[top-1][:len(out)], m.stack[top])
		}
	}
	copy(out, m.stack[0])
	if bad == 0 {
		return nil
	}
	return m.locate(x, len(out))
}

// locate finds the first trial without a value; the sum of y − y is NaN exactly if some y is not finite.
func (m *Machine) locate(x [][]float64, n int) error {
	at := make([]float64, len(x))
	for k := range n {
		for i := range x {
			at[i] = x[i][k]
		}
		if _, err := m.f.Value(at); err != nil {
			return err
		}
	}
	return nil
}

func fill(column []float64, v float64) {
	for k := range column {
		column[k] = v
	}
}

func apply(f func(float64) float64, a []float64) (bad float64) {
	for k, v := range a {
		y := f(v)
		a[k] = y
		bad += y - y
	}
	return bad
}

// combine puts a∘b into a and returns 0, or NaN if any result is not finite.
func combine(o op, a, b []float64) (bad float64) {
	b = b[:len(a)]
	switch o {
	case add:
		for k, v := range b {
			a[k] += v
		}
	case subtract:
		for k, v := range b {
			a[k] -= v
		}
	case multiply:
		for k, v := range b {
			a[k] *= v
		}
	case divide:
		for k, v := range b {
			a[k] /= v
		}
	default:
		raise(a, b)
	}
	for _, v := range a {
		bad += v - v
	}
	return bad
}

// raise is a^b; squares, by far the most frequent, are multiplied.
func raise(a, b []float64) {
	for k, v := range b {
		if v == 2 {
			a[k] *= a[k]
		} else {
			a[k] = math.Pow(a[k], v)
		}
	}
}
