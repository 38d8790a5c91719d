package main

import (
	"cmp"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"example.org/wring/calib"
	"example.org/wring/certs"
	"example.org/wring/certs/pdf"
	"example.org/wring/registry"
	"example.org/wring/registry/journal"
)

func newLabel(e env) *cli.Command {
	return &cli.Command{
		Name:      "label",
		Usage:     "print labels and tags for gauges and standards; each printing is an entry",
		ArgsUsage: "GAUGE|STANDARD...",
		UsageText: "wring label CAL-003\nwring label CAL-003 GB-1 --size 50x25 --sheet A4 --start 7",
		Description: "A gauge in use gets a label by its last check: when it was checked, when it is due if its owner agreed to that, and its limits of use. " +
			"One that failed, is quarantined, stored, or for indication only gets a tag that says so, with the reason where there is room. " +
			"A standard's label is by the certificate that counts today: its number, when it was calibrated, until when it counts in this house, and its remarks where there is room, else that there are some. " +
			"The code holds the identity, the number of the entry that the label shows, and the first 12 digits of that entry's hash; a label that shows an older entry than wring history is out of date. " +
			"Without --sheet each label is a page of its own, as rolls want it.",
		Flags: []cli.Flag{
			text("size", "WIDTHxHEIGHT", "of a label in mm (38x19)"),
			text("form", "FORM", "full (if left out), or code: for small gauges, the code alone (10x12 mm)"),
			text("sheet", "PAPER", "A4 or Letter, with as many labels as it has room for"),
			text("start", "PLACE", "on the sheet of the first label, counted by rows from 1"),
			text("corner", "LEFTxTOP", "of place 1 on the sheet in mm (labels in the middle of the sheet)"),
			text("pitch", "ACROSSxDOWN", "from one label to the next in mm (a label's own size)"),
			text("out", "FILE", "to write; - for standard output; else label-ENTRY.pdf"),
			switchOn("replace", "write over a file that is there"),
		},
		Action: entering(e, runLabel),
	}
}

// A printedLabel is a label, and what the journal keeps of it.
type printedLabel struct {
	label certs.Label
	print registry.LabelPrint
	entry uint64 // of the printing
}

// A labelAnswer is what --json says of labels that were printed.
type labelAnswer struct {
	File   string        `json:"file"`
	Bytes  int           `json:"bytes"`
	Labels []labelPrints `json:"labels"`
}

type labelPrints struct {
	Entry uint64 `json:"entry"`
	registry.LabelPrint
}

func runLabel(d desk, c *cli.Context) error {
	names := c.Args().Slice()
	if len(names) == 0 {
		return usagef("label: GAUGE or STANDARD is missing; want wring label GAUGE|STANDARD...")
	}
	run, err := labelRunOf(c)
	if err != nil {
		return err
	}
	form, err := choice(c, "form", []string{"full", "code"})
	if err != nil {
		return err
	}
	file := c.String("out")
	switch _, err := os.Stat(file); {
	case file == "-" && d.Terminal:
		return usagef("--out -: standard output is a terminal; want a file or a pipe for a PDF")
	case file != "" && file != "-" && err == nil && !c.Bool("replace"):
		return &hinted{fmt.Errorf("%s: is there already", file), "nothing was kept; name another --out FILE, or add --replace"}
	}
	var labels []printedLabel
	var data []byte
	// The pages are made before the entries are durable: one that cannot be set
	// was not printed. A few labels take milliseconds.
	err = d.update(func(tx *registry.Tx) (err error) {
		if labels, err = enterLabels(tx, names, run, form == "code", d.today()); err != nil {
			return err
		}
		data, err = setLabels(tx, run, labels, d.today())
		return err
	})
	if err != nil {
		return err
	}
	return d.handOut(c, cmp.Or(file, fmt.Sprintf("label-%d.pdf", labels[0].entry)), data, labels)
}

// handOut writes the labels that the journal has already.
func (d desk) handOut(c *cli.Context, file string, data []byte, labels []printedLabel) error {
	if file == "-" {
		_, err := d.Out.Write(data)
		return err
	}
	if err := writePaper(file, data, c.Bool("replace")); err != nil {
		return &hinted{err, fmt.Sprintf("entry %d says that it was printed; print it again, which is its next print", labels[0].entry)}
	}
	a := labelAnswer{File: file, Bytes: len(data)}
	for _, l := range labels {
		a.Labels = append(a.Labels, labelPrints{l.entry, l.print})
	}
	return d.answer(a, func(out io.Writer) error {
		for _, l := range labels {
			if err := line(out, "entry %d: %s of %s, %s: %s", l.entry, l.print.Form, l.print.Subject(), printNumber(l.print.Number), l.print.Says); err != nil {
				return err
			}
		}
		return line(out, "%s: %s", file, plural(len(labels), "label"))
	})
}

// tellLabel says what was printed.
func (a *historyAnswer) tellLabel(e journal.Entry) error {
	var p registry.LabelPrint
	err := json.Unmarshal(e.Payload, &p)
	a.Text = fmt.Sprintf("%s printed, %s: %s", p.Form, printNumber(p.Number), p.Says)
	return err
}

func printNumber(n int) string {
	if n == 1 {
		return "first print"
	}
	return fmt.Sprintf("print %d", n)
}

// labelRunOf reads the options of size and stock.
func labelRunOf(c *cli.Context) (run certs.LabelRun, err error) {
	usual := "38x19"
	if c.String("form") == "code" {
		usual = "10x12"
	}
	if run.Width, run.Height, err = sides(c, "size", usual); err != nil {
		return run, err
	}
	if run.Stock.Paper, err = choice(c, "sheet", []certs.Paper{certs.A4, certs.Letter}); err != nil {
		return run, err
	}
	for _, name := range []string{"start", "corner", "pitch"} {
		if c.IsSet(name) && run.Stock.Paper == "" {
			return run, usagef("--%s: means nothing without --sheet; want both", name)
		}
	}
	if given := c.String("start"); given != "" {
		if run.Stock.Start, err = strconv.Atoi(given); err != nil || run.Stock.Start < 1 {
			return run, usagef("--start %q: not a place; want a whole number from 1", given)
		}
	}
	if run.Stock.Left, run.Stock.Top, err = sides(c, "corner", "0x0"); err != nil {
		return run, err
	}
	run.Stock.Across, run.Stock.Down, err = sides(c, "pitch", "0x0")
	return run, err
}

// sides reads two lengths in mm, as 38x19.
func sides(c *cli.Context, name, usual string) (w, h float64, err error) {
	given := cmp.Or(c.String(name), usual)
	left, right, ok := strings.Cut(given, "x")
	plain := func(s string) bool { return s != "" && strings.Trim(s, "0123456789.") == "" }
	w, errW := strconv.ParseFloat(left, 64)
	h, errH := strconv.ParseFloat(right, 64)
	if !ok || !plain(left) || !plain(right) || errW != nil || errH != nil {
		return 0, 0, usagef("--%s %q: not two lengths; want millimetres as %s", name, given, "38x19")
	}
	return w, h, nil
}

// enterLabels makes the label of each gauge or standard and enters its printing.
func enterLabels(tx *registry.Tx, names []string, run certs.LabelRun, code bool, today calib.Date) ([]printedLabel, error) {
	r, err := pdf.New()
	if err != nil {
		return nil, err
	}
	var out []printedLabel
	for _, name := range names {
		l, more, p, err := labelNamed(tx, name, today)
		if err != nil {
			return nil, err
		}
		_, head, err := tx.Entry(p.Shows)
		if err != nil {
			return nil, err
		}
		digits := hex.EncodeToString(head.Hash[:6])
		l.Foot = fmt.Sprintf("entry\u00a0%d %s", head.Seq, digits)
		l.Code, l.CodeOnly = fmt.Sprintf("%s %d %s", l.Identity, head.Seq, digits), code
		if roomy := l; more != "" {
			roomy.Lines = append(slices.Clone(l.Lines), more)
			switch {
			case r.HasRoom(roomy, run.Width, run.Height):
				l = roomy
			case p.Standard != "": // what restricts a standard is not passed over
				l.Lines = append(l.Lines, "see its remarks")
			}
		}
		p.Form, p.Digits = "label", digits
		switch {
		case code:
			p.Form, p.Says = "code", l.Code
		case l.Word != "":
			p.Form = "tag"
			fallthrough
		default:
			p.Says = strings.ReplaceAll(strings.Join(append([]string{strings.TrimSpace(l.Word + " " + l.Identity)}, append(l.Lines, l.Foot)...), "; "), "\u00a0", " ")
		}
		p, at, err := tx.AddLabel(p)
		if err != nil {
			return nil, err
		}
		out = append(out, printedLabel{l, p, at.Seq})
	}
	return out, nil
}

func setLabels(tx *registry.Tx, run certs.LabelRun, labels []printedLabel, today calib.Date) ([]byte, error) {
	o, err := tx.House()
	if err != nil {
		return nil, err
	}
	run.Title, run.Issued, run.House, run.Maker = fmt.Sprintf("Labels, entry %d", labels[0].entry), today.String(), o.House.Organisation, version
	for _, l := range labels {
		run.Labels = append(run.Labels, l.label)
	}
	r, err := pdf.New()
	if err != nil {
		return nil, err
	}
	data, err := r.Labels(run)
	var glyph *pdf.GlyphError
	if errors.As(err, &glyph) {
		return nil, glyph
	}
	return data, err
}
