package evidence

import (
	"errors"

	"example.org/wring/uncertainty"
)

// value is what a quantity came out as: a number, or a text.
type value struct {
	number float64
	text   string // in place of a number
}

// workings is what an example writes its results on. It keeps the first
// refusal, so that the working reads as a list.
type workings struct {
	found map[string]value
	err   error
}

func (w *workings) note(err error) {
	if w.err == nil {
		w.err = err
	}
}

// put enters a number under the name that the table calls it by.
func (w *workings) put(quantity string, v float64) { w.found[quantity] = value{number: v} }

// say enters a word or a text.
func (w *workings) say(quantity, text string) {
	if text == "" {
		w.note(errors.New("nothing to say; want a text"))
	}
	w.found[quantity] = value{text: text}
}

// got enters the result of a function that may refuse.
func (w *workings) got(quantity string) func(float64, error) {
	return func(v float64, err error) {
		w.note(err)
		w.put(quantity, v)
	}
}

// sum is a budget of these distributions, each of sensitivity 1.
func sum(ds ...uncertainty.Distribution) uncertainty.Budget {
	var b uncertainty.Budget
	for i, d := range ds {
		b.Inputs = append(b.Inputs, uncertainty.Input{Name: string(rune('a' + i)), Knowledge: d, Sensitivity: 1})
	}
	return b
}

// evaluate returns the statement of a budget, an empty one where it is refused.
func (w *workings) evaluate(b uncertainty.Budget, p float64, m uncertainty.Method) uncertainty.Statement {
	s, err := b.Evaluate(p, m)
	w.note(err)
	return s
}

// Seed and number of the trials that are drawn, the same on every machine.
const (
	seed   = 1
	trials = 1_000_000
)

// draw evaluates a budget by a million trials.
func (w *workings) draw(b uncertainty.Budget, p float64) uncertainty.Statement {
	s, err := b.Simulate(p, uncertainty.Drawing{Seed: seed, Most: trials, Fixed: true})
	w.note(err)
	return s
}

// model makes a formula of the budget's inputs its measurand.
func (w *workings) model(b *uncertainty.Budget, text string) {
	f, err := b.Parse(text)
	w.note(err)
	b.Model = f
}
