package main

import (
	"fmt"
	"io"
	"runtime"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"example.org/wring/calib/evidence"
	"example.org/wring/certs"
	"example.org/wring/cmd/internal/screen"
)

func newValidate(e env) *cli.Command {
	return &cli.Command{
		Name:      "validate",
		Usage:     "work published examples out on this machine, beside what is printed",
		UsageText: "wring validate\nwring validate --source 'JCGM 101'\nwring validate --out validation.pdf",
		Description: "The examples of guides and standards, and certified reference data, are built\n" +
			"in, and worked out by the code that checks use. Where a figure does not agree,\n" +
			"exit status is 3. The mark says where a printed figure comes from: read in the\n" +
			"document or its data, from memory of it, or own, which nobody published.\n" +
			"No registry is needed.",
		Flags: []cli.Flag{
			text("source", "WORD", "of a document, clause or example: only these"),
			text("out", "FILE", "to write the report to as PDF; - for standard output"),
			text("paper", "PAPER", "A4 (if left out) or Letter"),
			switchOn("replace", "write over a file that is there"),
		},
		Action: reading(e, runValidate),
	}
}

// A validationAnswer is the whole report in the form that other tools read.
type validationAnswer struct {
	Program   string         `json:"program"`
	Compiler  string         `json:"go"`
	System    string         `json:"system"` // operating system and architecture
	Date      string         `json:"date"`
	Source    string         `json:"source,omitempty"` // the word that was asked for
	Published countAnswer    `json:"published"`
	Own       countAnswer    `json:"own"` // figures that nobody published
	Agrees    bool           `json:"agrees"`
	Notes     []string       `json:"notes,omitempty"`
	Figures   []figureAnswer `json:"figures"`
}

// A countAnswer is how many of so many agree.
type countAnswer struct {
	Figures int `json:"figures"`
	Agree   int `json:"agree"`
}

// A figureAnswer is one figure, printed and computed.
type figureAnswer struct {
	Document  string        `json:"document"`
	Clause    string        `json:"clause"`
	Example   string        `json:"example"`
	Quantity  string        `json:"quantity"`
	Unit      string        `json:"unit,omitempty"`
	Mark      evidence.Mark `json:"mark"`
	Published string        `json:"published"`
	Computed  string        `json:"computed"`
	Value     *float64      `json:"value"` // in Unit, all digits; null for a word
	Agrees    bool          `json:"agrees"`
	Agreement string        `json:"agreement"`
	Reason    string        `json:"reason,omitempty"` // of a tolerance
}

// A machine is what the program was built for and with, which a validation
// holds for.
type machine struct{ compiler, system string }

func thisMachine() machine {
	return machine{runtime.Version(), runtime.GOOS + "/" + runtime.GOARCH}
}

func runValidate(d desk, c *cli.Context) error {
	if _, err := words(c); err != nil {
		return err
	}
	paper, err := choice(c, "paper", []certs.Paper{certs.A4, certs.Letter})
	if err != nil {
		return err
	}
	word := strings.TrimSpace(c.String("source"))
	figures, err := evidence.Examples(word)
	if err != nil {
		return err
	}
	if len(figures) == 0 {
		return usagef("--source %q: no example is named so; want a word of a document, a clause or an example, as GUM, H.1 or caliper", word)
	}
	a := validationOf(figures, thisMachine(), d.today().String(), word)
	return d.report(c, a, c.String("out"), paper)
}

// report answers on the screen or on paper, and says no where a figure does not
// agree.
func (d desk) report(c *cli.Context, a validationAnswer, file string, paper certs.Paper) error {
	var err error
	if file != "" {
		err = d.validationPaper(c, a, file, paper)
	} else {
		err = d.answer(a, a.write)
	}
	if err == nil && !a.Agrees {
		return errNo
	}
	return err
}

func validationOf(figures []evidence.Figure, m machine, date, word string) validationAnswer {
	a := validationAnswer{Program: version, Compiler: m.compiler, System: m.system, Date: date, Source: word, Notes: evidence.Notes(figures), Agrees: true}
	for _, f := range figures {
		count := &a.Own
		if f.Mark.Published() {
			count = &a.Published
		}
		count.Figures++
		if f.Agrees {
			count.Agree++
		}
		a.Agrees = a.Agrees && f.Agrees
		a.Figures = append(a.Figures, figureAnswer{Document: f.Document, Clause: f.Clause, Example: f.Example, Quantity: f.Quantity, Unit: f.Unit, Mark: f.Mark,
			Published: f.Published, Computed: f.Computed, Value: f.Value, Agrees: f.Agrees, Agreement: f.Agreement, Reason: f.Reason})
	}
	return a
}

// write sets a table for each document, then what it comes to.
func (a validationAnswer) write(out io.Writer) error {
	for document := range a.documents() {
		if err := first(line(out, "%s", document[0].Document), tableOf(document).Write(out)); err != nil {
			return err
		}
		for _, r := range whyTolerated(document) {
			if err := screen.Paragraph(out, r, "  "); err != nil {
				return err
			}
		}
		if err := line(out, ""); err != nil {
			return err
		}
	}
	for _, n := range a.Notes {
		if err := screen.Paragraph(out, n, "  "); err != nil {
			return err
		}
	}
	if err := line(out, "%s, built with %s for %s, %s", a.Program, a.Compiler, a.System, a.Date); err != nil {
		return err
	}
	for _, s := range a.summary() {
		if err := screen.Paragraph(out, s, "  "); err != nil {
			return err
		}
	}
	return nil
}

// documents walks through the figures of one document after the other.
func (a validationAnswer) documents() func(yield func([]figureAnswer) bool) {
	return func(yield func([]figureAnswer) bool) {
		for rest := a.Figures; len(rest) > 0; {
			n := 1
			for n < len(rest) && rest[n].Document == rest[0].Document {
				n++
			}
			if !yield(rest[:n]) {
				return
			}
			rest = rest[n:]
		}
	}
}

// summary names what does not agree, and says how much does.
func (a validationAnswer) summary() (lines []string) {
	for _, f := range a.Figures {
		if !f.Agrees {
			lines = append(lines, fmt.Sprintf("%s, %s, %s: printed %s, computed %s: %s", f.Document, f.source(), f.name(), f.Published, f.Computed, f.Agreement))
		}
	}
	if a.Own.Figures > 0 {
		lines = append(lines, fmt.Sprintf("%d of %s of our own agree.", a.Own.Agree, plural(a.Own.Figures, "figure")))
	}
	if a.Published.Figures > 0 {
		lines = append(lines, fmt.Sprintf("%d of %d published figures agree: %s.", a.Published.Agree, a.Published.Figures, a.marks()))
	}
	return lines
}

// marks says where the printed figures were taken from.
func (a validationAnswer) marks() string {
	count := map[evidence.Mark]int{}
	for _, f := range a.Figures {
		count[f.Mark]++
	}
	var parts []string
	if n := count[evidence.Read]; n > 0 {
		parts = append(parts, fmt.Sprintf("%d read in a copy", n))
	}
	if n := count[evidence.Memory]; n > 0 {
		parts = append(parts, fmt.Sprintf("%d from memory", n))
	}
	return strings.Join(parts, ", ")
}

func (f figureAnswer) name() string {
	if f.Unit == "" {
		return f.Quantity
	}
	return f.Quantity + ", " + f.Unit
}

// source names the example in its document.
func (f figureAnswer) source() string { return f.Clause + ", " + f.Example }

// Widths of the column that names the example, in characters: where figures
// are short, and where they have fifteen digits.
const (
	sourceWidth  = 18
	narrowSource = 10
	longFigure   = 14
)

// tableOf sets the figures of one document. The name of an example runs down
// beside its figures.
func tableOf(figures []figureAnswer) screen.Table {
	align, width := screen.Decimal, sourceWidth
	if wordy(figures) {
		align = screen.Left
	}
	if slices.ContainsFunc(figures, func(f figureAnswer) bool { return len(f.Published) > longFigure }) {
		align, width = screen.Left, narrowSource
	}
	t := screen.Table{Columns: []screen.Column{{Title: "source"}, {Title: "quantity", Wrap: true}, {Title: "published", Align: align},
		{Title: "computed", Align: align}, {Title: "mark"}, {Title: "agrees", Wrap: true}}}
	var source []string
	for i, f := range figures {
		if i == 0 || f.source() != figures[i-1].source() {
			for _, rest := range source {
				t.Add(rest)
			}
			source = screen.Wrap(f.source(), width)
		}
		name := ""
		if len(source) > 0 {
			name, source = source[0], source[1:]
		}
		t.Add(name, f.name(), f.Published, f.Computed, string(f.Mark), f.Agreement)
	}
	for _, rest := range source {
		t.Add(rest)
	}
	return t
}

// wordy reports whether a figure is a word, for which no decimal point lines up.
func wordy(figures []figureAnswer) bool {
	return slices.ContainsFunc(figures, func(f figureAnswer) bool { return f.Agrees && f.Value == nil })
}

// whyTolerated says for the figures that need not round to the printed one why not.
func whyTolerated(figures []figureAnswer) (lines []string) {
	named := map[string][]string{}
	var order []string
	for _, f := range figures {
		if f.Reason == "" {
			continue
		}
		if named[f.Reason] == nil {
			order = append(order, f.Reason)
		}
		named[f.Reason] = append(named[f.Reason], f.Clause+", "+f.Quantity)
	}
	for _, r := range order {
		who := strings.Join(named[r], "; ")
		if n := len(named[r]); n > 2 {
			who = plural(n, "figure")
		}
		lines = append(lines, who+": "+r)
	}
	return lines
}
