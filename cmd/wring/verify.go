package main

import (
	"errors"
	"fmt"
	"io"

	"github.com/urfave/cli/v2"

	"example.org/wring/cmd/internal/screen"
	"example.org/wring/registry"
)

func newVerify(e env) *cli.Command {
	return &cli.Command{
		Name:        "verify",
		Usage:       "prove that the registry is as it was written, and each result as computed",
		UsageText:   "wring verify\nwring verify --head 8-3f9c0d51b2a7e644\nwring verify --chain",
		Description: "The chain of hashes, every view, every attachment and the pages of the file are checked, and every kept result is computed again. Exit status 4 is damage; 3 says that a result differs or that the head is not contained. The chain shows what was changed in the file; that its owner did not write another history shows only a head that was kept elsewhere, on a certificate. With --chain the hashes alone are computed: in a registry of millions of entries that takes seconds, and the whole minutes.",
		Flags: []cli.Flag{
			text("head", "HEAD", "from a certificate or a screen: is its history contained?"),
			switchOn("chain", "prove the chain of hashes alone, and nothing else"),
			switchOn("rebuild", "make the views again from the journal, if they differ from it"),
		},
		Action: reading(e, runVerify),
	}
}

// A verifyAnswer is what --json says of a registry that was verified.
type verifyAnswer struct {
	File        string               `json:"file"`
	Sound       bool                 `json:"sound"`
	Damage      string               `json:"damage,omitempty"` // the first that was found
	Registry    string               `json:"registry,omitempty"`
	Head        string               `json:"head,omitempty"`
	Entries     uint64               `json:"entries"`
	Checks      int                  `json:"checks"`
	Surveys     int                  `json:"surveys,omitempty"`
	Studies     int                  `json:"studies,omitempty"` // and comparisons
	Program     string               `json:"program"`           // that computed again
	Differences []resultDifference   `json:"differences"`
	Attachments int                  `json:"attachments"`
	Files       []registry.FileFault `json:"attachment_faults"`
	Views       []registry.ViewFault `json:"view_faults"`
	Rebuilt     bool                 `json:"rebuilt"`
	Pages       string               `json:"pages"` // sound, or why they were not checked
	Lone        bool                 `json:"one_meta_page"`
	Backward    []registry.ClockStep `json:"clock_backward"`
	askedHead

	short string // of Head
}

func runVerify(d desk, c *cli.Context) error {
	if _, err := words(c); err != nil {
		return err
	}
	var mark registry.Mark
	if given := c.String("head"); given != "" {
		var err error
		if mark, err = registry.ParseMark(given); err != nil {
			return inOption("head", err)
		}
	}
	if c.Bool("chain") {
		return d.proveChain(mark)
	}
	a, err := d.verify(mark)
	if err == nil && c.Bool("rebuild") && len(a.Views) > 0 {
		if err = d.rebuild(); err == nil {
			a, err = d.verify(mark)
			a.Rebuilt = true
		}
	}
	if err != nil {
		return d.damaged(a, err)
	}
	if err := d.answer(a, a.write); err != nil {
		return err
	}
	return first(a.fault(), d.remind())
}

// damaged says what ended the search, and what to do about damage.
func (d desk) damaged(a verifyAnswer, err error) error {
	var h *hinted
	if errors.As(err, &h) || exitCode(err) != exitDamaged {
		return err
	}
	a.Damage = err.Error()
	err = &hinted{err, "bring back the last backup: wring restore FILE --replace"}
	if !d.json {
		return err
	}
	return first(d.answer(a, nil), err)
}

// verify looks at everything and says what it found; its error is damage that
// ends the search, or that there is no registry.
func (d desk) verify(mark registry.Mark) (verifyAnswer, error) {
	a := verifyAnswer{File: d.registry, Program: version, Pages: "sound",
		Differences: []resultDifference{}, Files: []registry.FileFault{}, Views: []registry.ViewFault{}, Backward: []registry.ClockStep{}}
	r, err := registry.OpenReading(d.registry)
	if err != nil {
		return a, d.opening(err)
	}
	again := newRecomputer()
	p := d.watch("verify", entriesIn(r))
	take := func(tx *registry.Tx, k registry.Kept) error {
		p.reached(k.Head.Seq)
		return again.take(tx, k)
	}
	proof, err := r.VerifyEach(registry.Each{Check: take, Survey: again.takeSurvey, Study: again.takeStudy, Comparison: again.takeComparison})
	a.Differences = append(a.Differences, again.differences()...)
	p.end()
	if err == nil {
		a.take(proof)
		err = r.View(func(tx *registry.Tx) error { return a.ask(tx, mark) })
	}
	if err := first(err, r.Close()); err != nil {
		return a, err
	}
	err = d.checkStructure(d.registry)
	var damage *registry.FileDamageError
	if err != nil && !errors.As(err, &damage) {
		a.Pages, err = "not checked: "+err.Error(), nil
	}
	return a, err
}

func (a *verifyAnswer) take(p registry.Proof) {
	a.Sound, a.Registry, a.Head, a.short, a.Entries = p.Sound(), p.Registry, p.Head.String(), p.Head.Short(), p.Head.Seq
	a.Checks, a.Surveys, a.Studies, a.Attachments, a.Lone = p.Checks, p.Surveys, p.Studies, p.Attachments, p.Lone
	a.Files, a.Views, a.Backward = append(a.Files, p.Files...), append(a.Views, p.Views...), append(a.Backward, p.Backward...)
}

// rebuild makes the views again; the journal was proved before.
func (d desk) rebuild() error {
	r, err := registry.Open(d.registry, d.hand())
	if err != nil {
		return d.opening(err)
	}
	return first(r.Rebuild(), r.Close())
}

// fault is the worst that was found, as an exit status.
func (a verifyAnswer) fault() error {
	switch {
	case len(a.Files) > 0:
		f := a.Files[0]
		return &registry.DamageError{Seq: f.Entry, Reason: "attachment " + f.SHA256 + ": " + f.Reason}
	case len(a.Views) > 0:
		return &hinted{&registry.FileDamageError{Path: a.File, Reason: a.Views[0].String() + "; want them as the journal gives them"},
			"the journal is whole; wring verify --rebuild makes the views again from it"}
	case len(a.Differences) > 0:
		return errNo
	}
	return a.askedHead.fault()
}

func (a verifyAnswer) write(out io.Writer) error {
	what := plural(a.Checks, "check")
	if a.Surveys > 0 {
		what += " and " + plural(a.Surveys, "survey")
	}
	if a.Studies > 0 {
		what += yes(a.Studies == 1, ", 1 study or comparison", fmt.Sprintf(", %d studies and comparisons", a.Studies))
	}
	results := fmt.Sprintf("%s computed again by %s, as kept", what, a.Program)
	if n := len(a.Differences); n > 0 {
		results = fmt.Sprintf("%s computed again by %s, %d other than kept", what, a.Program, n)
	}
	views := "as the journal gives them"
	if a.Rebuilt {
		views = "made again from the journal"
	}
	if n := len(a.Views); n > 0 {
		views = fmt.Sprintf("%d other than the journal gives them", n)
	}
	files := "none"
	if a.Attachments > 0 {
		files = plural(a.Attachments, "file") + ", each as its SHA-256 says"
	}
	if n := len(a.Files); n > 0 {
		files = fmt.Sprintf("%s, %d not as entered", plural(a.Attachments, "file"), n)
	}
	pages := a.Pages
	if a.Lone {
		pages += "; the last commit was interrupted or damaged later: compare the head on the last certificate"
	}
	err := screen.Facts(out, [][2]string{
		{"registry", a.File}, {"journal", plural(int(a.Entries), "entry") + ", the chain is whole"}, {"head", a.short},
		{"results", results}, {"views", views}, {"attachments", files}, {"pages", pages}, {"clock", a.clock()}, {"asked", a.askedHead.text(a.Entries)},
	}...)
	return first(err, a.writeFaults(out))
}

func (a verifyAnswer) clock() string {
	if len(a.Backward) == 0 {
		return "never ran backward"
	}
	b := a.Backward[0]
	const minute = "2006-01-02 15:04"
	return fmt.Sprintf("ran backward at %s; first at entry %d, from %s to %s", plural(len(a.Backward), "entry"), b.Entry, b.Before.Format(minute), b.At.Format(minute))
}

// writeFaults lists what is not as it should be, each in a line.
func (a verifyAnswer) writeFaults(out io.Writer) error {
	for _, d := range a.Differences {
		if err := line(out, "\n%s:", d); err != nil {
			return err
		}
		for _, f := range d.Figures {
			if err := screen.Paragraph(out, "  "+f, "    "); err != nil {
				return err
			}
		}
	}
	for _, f := range a.Files {
		at := ""
		if f.Entry > 0 {
			at = fmt.Sprintf("entry %d: ", f.Entry)
		}
		if err := line(out, "\n%sattachment %s: %s", at, f.SHA256, f.Reason); err != nil {
			return err
		}
	}
	for _, v := range a.Views {
		if err := line(out, "\n%s", v); err != nil {
			return err
		}
	}
	return nil
}

// remind says on standard error that a backup is overdue; of a demonstration
// nobody keeps one.
func (d desk) remind() error {
	var text string
	if err := d.view(func(tx *registry.Tx) (err error) { text, err = d.reminder(tx); return err }); err != nil {
		return err
	}
	return d.saying(text)
}

// reminder is the text of it; empty where there is nothing to be reminded of.
func (d desk) reminder(tx *registry.Tx) (string, error) {
	last, err := tx.LastBackup()
	if err != nil {
		return "", err
	}
	o, err := tx.House()
	late := last.Late(d.Now())
	if err != nil || late == 0 || o.House.Invented {
		return "", err
	}
	when := "no backup was ever made"
	if last.Entry > 0 {
		when = "the last backup is of " + last.At.Format("2006-01-02")
	}
	return fmt.Sprintf("wring: reminder: %s, %s overdue; wring backup FILE makes one", when, plural(late, "day")), nil
}

// saying writes a text to standard error, if it is one.
func (d desk) saying(text string) error {
	if text == "" {
		return nil
	}
	return line(d.Err, "%s", text)
}
