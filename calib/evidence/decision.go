package evidence

import (
	"fmt"
	"math/big"

	"example.org/wring/uncertainty"
	"example.org/wring/uncertainty/conformity"
)

// decimal is an exact number as it is typed.
func (w *workings) decimal(s string) *big.Rat {
	r, ok := new(big.Rat).SetString(s)
	if !ok {
		w.note(fmt.Errorf("%q: not a number; want a decimal", s))
		return new(big.Rat)
	}
	return r
}

func (w *workings) decide(r conformity.Rule, m conformity.Measured, l conformity.Limits) conformity.Decision {
	d, err := r.Decide(m, l)
	w.note(err)
	return d
}

func conformance(w *workings) {
	d := w.decide(conformity.SimpleAcceptance(),
		conformity.Measured{Error: w.decimal("13.6"), Expanded: 3.6, Deviation: conformity.Normal(1.8)},
		conformity.Limits{Lower: w.decimal("12.5"), Upper: w.decimal("16.3")})
	w.put("p_c", d.Conformance)
}

// resistorRisks is in Ω.
func resistorRisks(w *workings) {
	consumer, producer, err := conformity.Process{Mean: 1500, Spread: 0.12, Standard: 0.04, Lower: 1499.8, Upper: 1500.2,
		AcceptLower: 1499.82, AcceptUpper: 1500.18}.Risks()
	w.note(err)
	w.put("consumer's risk", consumer)
	w.put("producer's risk", producer)
}

// guardFactors finds the greatest error that the rule by risk accepts against
// an upper limit of zero, for U = 1, by halving.
func guardFactors(w *workings) {
	for _, c := range []struct {
		name string
		risk float64
	}{{"risk 5 %", 0.05}, {"risk 2.5 %", 0.025}, {"risk 1 %", 0.01}, {"risk 0.1 %", 0.001}} {
		accepted, refused := big.NewRat(-2, 1), new(big.Rat)
		for range 40 {
			middle := new(big.Rat).Add(accepted, refused)
			middle.Quo(middle, big.NewRat(2, 1))
			d := w.decide(conformity.AtRisk(c.risk), conformity.Measured{Error: middle, Expanded: 1}, conformity.Limits{Upper: new(big.Rat)})
			if d.Verdict == conformity.Pass {
				accepted = middle
			} else {
				refused = middle
			}
		}
		f, _ := accepted.Float64()
		w.put(c.name, -f)
	}
}

func fourVerdicts(w *workings) {
	for _, c := range []struct {
		err      string
		expanded float64
	}{{"3.0", 1}, {"3.5", 1}, {"4.0", 1}, {"4.5", 1}, {"5.1", 1}, {"0.0", 4.5}} {
		d := w.decide(conformity.Four(1), conformity.Measured{Error: w.decimal(c.err), Expanded: c.expanded}, conformity.Symmetric(w.decimal("4.0")))
		w.say(c.err+", U "+roundTo(c.expanded, 1), string(d.Verdict))
	}
}

func roundedU(w *workings) {
	for _, u := range []string{"58.5235", "92.4666", "10.47", "28.05", "1.049", "0.0996", "9.96"} {
		w.rounded(u, 2)
	}
}

func roundedOnce(w *workings) { w.rounded("1.43", 1) }

func (w *workings) rounded(u string, digits int) {
	v, _ := w.decimal(u).Float64()
	r, err := uncertainty.Round(v, digits)
	w.note(err)
	w.say(u, r.Text)
}

func roundedEstimate(w *workings) {
	shown, _, err := uncertainty.FormatFloat(10.05762, 0.027, 2)
	w.note(err)
	w.say("10.05762, u 0.027", shown)
}
