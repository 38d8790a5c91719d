package certs

import "fmt"

// A Label is what is stuck on a gauge, or tied to it where it has a word. Every
// string is finished text in one line.
type Label struct {
	Word     string // in a band across the top: "FAILED"; empty: none
	Identity string
	Lines    []string // what stands under the identity
	Foot     string   // smallest, last: the entry that it shows
	Code     string   // what the code says, in ASCII
	CodeOnly bool     // nothing but the code and, where there is room, the identity
}

// A LabelRun is labels and the paper they are set on.
type LabelRun struct {
	Labels []Label
	Title  string // of the file
	Issued string // ISO date
	House  string
	Maker  string // program and version that made it

	// Width and Height are those of one label, in mm, 8 to 120.
	Width, Height float64
	Stock         Stock
}

// Stock is how labels lie on their carrier. The zero Stock is a roll: each label
// is a page of its own.
type Stock struct {
	Paper Paper // of a sheet
	Start int   // place of the first label, counted by rows from 1

	// Left and Top are the upper left corner of place 1, in mm; both 0: the
	// labels lie in the middle of the sheet.
	Left, Top float64

	// Across and Down are the distances from one label to the next, in mm; 0: a
	// label's own size.
	Across, Down float64
}

// The sizes that a label may have, mm (house rule): below, no code is read;
// above, it is no label.
const (
	leastLabel = 8
	mostLabel  = 120
)

// Check finds what cannot be set: no labels, a size out of bounds, a distance
// smaller than the label.
func (r LabelRun) Check() error {
	if len(r.Labels) == 0 {
		return fmt.Errorf("labels: none; want one at least")
	}
	for _, side := range []float64{r.Width, r.Height} {
		if !(side >= leastLabel && side <= mostLabel) {
			return fmt.Errorf("labels: a side of %g mm; want %d to %d mm", side, leastLabel, mostLabel)
		}
	}
	s := r.Stock
	if s.Paper == "" {
		return nil
	}
	if s.Paper != A4 && s.Paper != Letter {
		return fmt.Errorf("labels: paper %q; want %s or %s", string(s.Paper), A4, Letter)
	}
	if s.Across != 0 && !(s.Across >= r.Width) || s.Down != 0 && !(s.Down >= r.Height) {
		return fmt.Errorf("labels: %g × %g mm from one to the next; want no less than a label, %g × %g mm", s.Across, s.Down, r.Width, r.Height)
	}
	if !(s.Left >= 0 && s.Top >= 0) {
		return fmt.Errorf("labels: corner at %g × %g mm; want a place on the sheet", s.Left, s.Top)
	}
	return nil
}

// MapText returns a copy of the run in which every text that is set as letters
// has passed through change. The first error of change is returned unchanged.
func (r LabelRun) MapText(change func(place, text string) (string, error)) (LabelRun, error) {
	m := mapper{change: change}
	m.put("title", &r.Title)
	m.put("house name", &r.House)
	m.put("program", &r.Maker)
	labels := make([]Label, len(r.Labels))
	for i, l := range r.Labels {
		place := fmt.Sprintf("label of %s", l.Identity)
		m.put(place, &l.Word)
		m.put(place, &l.Identity)
		m.put(place, &l.Foot)
		l.Lines = m.list(place+", line", l.Lines)
		labels[i] = l
	}
	r.Labels = labels
	return r, m.err
}
