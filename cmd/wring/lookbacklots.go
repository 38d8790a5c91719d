package main

import (
	"cmp"
	"fmt"
	"io"
	"slices"

	"example.org/wring/calib"
	"example.org/wring/calib/survey"
	"example.org/wring/cmd/internal/screen"
	"example.org/wring/registry"
	"example.org/wring/uncertainty/unit"
)

// A lotDoubt is what a lot's survey would have said with the errors that the
// check behind a look-back found. Reason says why that could not be worked
// out; it is empty where it could.
type lotDoubt struct {
	Survey uint64 `json:"survey"` // its entry
	Lot    string `json:"lot"`
	survey.Doubt
	Reason string `json:"reason,omitempty"`

	unit unit.Unit
	step unit.Quantity
}

// doubtsOf works every survey with the gauge that failed out again, and puts
// what could wrongly have been accepted first.
func doubtsOf(tx *registry.Tx, l registry.LookBackState, items []registry.Item) ([]lotDoubt, error) {
	if l.Check == 0 {
		return nil, nil
	}
	seq, err := tx.Stands(l.Check)
	if err != nil {
		return nil, err
	}
	later, err := tx.Checked(seq)
	if err != nil || later.Result.VerdictOf(calib.LengthPart) == "" { // another part failed: no errors of size
		return nil, err
	}
	var out []lotDoubt
	for _, i := range items {
		if i.Lot == "" || i.Gauge != l.Subject {
			continue
		}
		k, err := tx.Survey(i.Entry)
		if err != nil {
			return nil, err
		}
		basis, err := tx.ResolveSurvey(k.Survey.Basis)
		if err != nil {
			return nil, err
		}
		d := lotDoubt{Survey: i.Entry, Lot: i.Lot, unit: basis.Gauge.ReadIn(), step: basis.Gauge.Resolution}
		if d.Doubt, err = survey.Reconsider(k.Survey.Survey, basis, k.Survey.Result, *later); err != nil {
			d.Reason = err.Error()
		}
		out = append(out, d)
	}
	slices.SortStableFunc(out, func(a, b lotDoubt) int {
		return cmp.Or(-cmp.Compare(rankOf(a), rankOf(b)), -cmp.Compare(a.Share, b.Share))
	})
	return out, nil
}

func rankOf(d lotDoubt) int {
	switch {
	case d.Wrongly:
		return 2
	case d.Reason != "":
		return 1
	}
	return 0
}

func (d lotDoubt) String() string {
	at := func(mm float64) string { return unit.FromFloat(d.unit.FromFloat(mm)).Text(d.step.Places() + 1) }
	signed := func(mm float64) string { return signedFigure(d.unit.FromFloat(mm), d.step.Places()+1) }
	text := fmt.Sprintf("survey %d, %s: mean %s %s; error there %s, it was corrected for %s", d.Survey, d.Lot, at(d.Thickness), d.unit.Symbol(), signed(d.Found), signed(d.Used))
	if d.Reason != "" {
		return text + "; not worked out again: " + d.Reason
	}
	if d.Share > 0 {
		text += fmt.Sprintf(", which takes %.0f %% of half its tolerance", 100*d.Share)
	}
	switch {
	case d.Wrongly:
		text += fmt.Sprintf("; %s then, %s with it: COULD WRONGLY HAVE BEEN ACCEPTED", d.Kept, d.Now)
	case d.Kept == "":
		text += "; not judged"
	default:
		text += fmt.Sprintf("; %s then, %s with it", d.Kept, d.Now)
	}
	return text
}

func writeDoubts(out io.Writer, list []lotDoubt) error {
	if len(list) == 0 {
		return nil
	}
	text := "Lots, by what could wrongly have been accepted:"
	for _, d := range list {
		text += "\n" + d.String() + "."
	}
	return screen.Paragraph(out, text, "  ")
}
