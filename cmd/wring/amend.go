package main

import (
	"fmt"
	"strings"
	"unicode"

	"github.com/urfave/cli/v2"

	"example.org/wring/calib"
	"example.org/wring/calib/assess"
	"example.org/wring/certs"
	"example.org/wring/registry"
)

func newAmend(e env) *cli.Command {
	return &cli.Command{
		Name:        "amend",
		Usage:       "amend a check that was recorded wrongly; the old one stays",
		ArgsUsage:   "CHECK",
		UsageText:   `wring amend 85 --temperature 20.9 --reason "the thermometer had not settled"`,
		Description: "What surrounds the readings can be amended, and a reading can be rejected with a reason; what was read is never changed: log a new check for that, and wring withdraw the old one. The result is worked out again and takes the place of the old one in due dates and series; its certificate has a number of its own and names the one it replaces. POINT is a size of the plan, or zero; of a part by force \"foot lowering 1\", \"foot diameter\", \"force in 2\", \"load up 20\", \"load zero\". --standard GB-1=GB-1 looks again which certificate of GB-1 counts.",
		Flags: []cli.Flag{
			text("reason", "TEXT", "why it is amended (wanted)"),
			text("remarks", "TEXT", "kept with the check"), text("site", "PLACE", "where it was made"), text("condition", "TEXT", "of the gauge as it came"),
			text("person", "NAME", "who performed it"),
			text("gauge", "GAUGE", "that was checked in truth"), text("date", "DATE", "of the check"),
			text("stage", "STAGE", "as-found or as-left"), text("purpose", "PURPOSE", "full or intermediate"),
			text("temperature", "T", "of gauge and blocks"), text("block-temperature", "T", "of the blocks"), text("humidity", "H", "in per cent"),
			texts("blocks", "POINT=STACK", "that were wrung in truth, as 5.1=1.1+4"),
			texts("standard", "OLD=NEW", "the standard that was used in truth in the place of another"),
			texts("reject", "POINT:READING=REASON", "a reading that does not count, as 5.1:2=dropped"),
		},
		Action: entering(e, runAmend),
	}
}

// An amending is a check that is being amended.
type amending struct {
	old      registry.Kept
	check    calib.Check // as it will stand
	gauge    calib.Gauge
	refs     registry.Refs
	basis    calib.Basis
	again    []string // standards whose certificate is looked for again
	changes  []registry.Change
	rejected []registry.Rejection
}

func runAmend(d desk, c *cli.Context) error {
	w, err := words(c, "CHECK")
	if err != nil {
		return err
	}
	if reasonOf(c) == "" {
		return usagef("amend: --reason is missing; want why the check is amended")
	}
	a, err := d.amend(c, w[0])
	if err != nil {
		return err
	}
	result, err := assess.Check(a.check, a.basis)
	if err != nil {
		return fmt.Errorf("check %d, amended: %w", a.old.Head.Seq, err)
	}
	entry := registry.CheckAmendment{Amends: a.old.Head.Seq, Reason: reasonOf(c), Changes: a.changes, Rejected: a.rejected,
		KeptCheck: registry.KeptCheck{Check: a.check, Basis: a.refs, Result: result}}
	if err := amendmentFits(entry); err != nil {
		return err
	}
	var seq uint64
	if err := d.update(func(tx *registry.Tx) error {
		head, err := tx.AmendCheck(entry)
		seq = head.Seq
		return err
	}); err != nil {
		return err
	}
	job := &checkJob{check: a.check, basis: a.basis, refs: a.refs, result: result}
	if d.json {
		return first(d.answer(shownCheck(job, seq), nil), verdictStatus(result))
	}
	return first(writeCheck(d.Out, shownCheck(job, seq), ""),
		line(d.Out, "entry %d: check %d amended: %s; its certificate: wring certificate %d", seq, a.old.Head.Seq, amendmentText(entry), seq),
		verdictStatus(result))
}

// amendmentFits bounds what a person typed for an amendment (house rules, as
// for every other text of a record).
func amendmentFits(a registry.CheckAmendment) error {
	for _, text := range append(rejectReasons(a), a.Reason) {
		if err := reasonFits(text); err != nil {
			return err
		}
	}
	return nil
}

func reasonFits(text string) error {
	const most = 400 // characters
	if len([]rune(text)) > most || containsBreak(text) {
		return usagef("reason %.60q: want one line of at most %d characters", text, most)
	}
	return nil
}

func rejectReasons(a registry.CheckAmendment) (out []string) {
	for _, r := range a.Rejected {
		out = append(out, r.Reason)
	}
	return out
}

// containsBreak reports a text that is not one plain line.
func containsBreak(text string) bool {
	return strings.ContainsFunc(text, func(r rune) bool { return unicode.IsControl(r) || r == '\u2028' || r == '\u2029' })
}

// amend reads the check and lets the options change it.
func (d desk) amend(c *cli.Context, word string) (*amending, error) {
	a := &amending{}
	if err := d.view(func(tx *registry.Tx) error { return a.read(tx, word) }); err != nil {
		return nil, err
	}
	if err := first(a.texts(c), a.place(c, d.today()), a.conditions(c), a.swap(c.StringSlice("standard"))); err != nil {
		return nil, err
	}
	// The standards are known now, and the blocks are looked for in them.
	if err := d.view(a.rest); err != nil {
		return nil, err
	}
	for _, s := range a.basis.Standards {
		if s.Standard.Kind.OfLength() && s.Certificate.Number == "" {
			return nil, fmt.Errorf("standard %s: has no certificate that counts on %s; want one, or another standard", s.Standard.ID, a.check.Date)
		}
	}
	if err := first(a.blocks(c.StringSlice("blocks")), a.reject(c.StringSlice("reject"))); err != nil {
		return nil, err
	}
	if len(a.changes) == 0 && len(a.rejected) == 0 {
		return nil, usagef("amend: nothing is changed; want a new value or a reading to reject, see wring amend --help")
	}
	return a, d.shape.Check(a.check)
}

func (a *amending) read(tx *registry.Tx, word string) error {
	seq, err := checkNamed(tx, word)
	if err != nil {
		return err
	}
	if a.old, err = tx.Check(seq); err != nil {
		return err
	}
	fate, err := tx.FateOf(a.old)
	switch {
	case err != nil:
		return err
	case fate.Withdrawn:
		return fmt.Errorf("check %d: was withdrawn by entry %d; want a check that stands", seq, fate.By)
	case fate.By > 0:
		return fmt.Errorf("check %d: was amended by entry %d; want that one amended, %d", seq, fate.By, fate.By)
	}
	basis, err := tx.Resolve(a.old.Check.Basis)
	a.gauge, a.check = basis.Gauge, a.old.Check.Check.Clone()
	return err
}

func (a *amending) change(field, old, now string) {
	if old != now {
		a.changes = append(a.changes, registry.Change{Field: field, Old: old, New: now})
	}
}

// replacedBy says which certificate that of an amended check replaces, and what
// was amended since the check was first kept.
func replacedBy(tx *registry.Tx, k registry.Kept) (*certs.Replaced, error) {
	list, err := tx.Amendments(k)
	if err != nil || len(list) == 0 {
		return nil, err
	}
	old, err := tx.Check(k.Amendment.Amends)
	r := &certs.Replaced{Number: old.CertificateNumber()}
	for _, m := range list {
		r.Changes = append(r.Changes, fmt.Sprintf("%s, %s: %s. Reason: %s.", calib.DateOf(m.Entry.At), m.Entry.Person,
			amendmentText(*m.Amendment), strings.TrimSuffix(m.Amendment.Reason, ".")))
	}
	return r, err
}
