package main

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"github.com/urfave/cli/v2"

	"example.org/wring/calib"
	"example.org/wring/calib/assess"
	"example.org/wring/certs"
	"example.org/wring/registry"
	"example.org/wring/uncertainty/unit"
)

func newAmend(e env) *cli.Command {
	return &cli.Command{
		Name:        "amend",
		Usage:       "amend a check that was recorded wrongly; the old one stays",
		ArgsUsage:   "CHECK",
		UsageText:   `wring amend 17 --blocks 5.1=1.1+4 --reason "the stack was written down wrongly"`,
		Description: "What surrounds the readings can be amended, and a reading can be rejected with a reason; what was read is never changed: log a new check for that. The result is worked out again and takes the place of the old one in due dates and series. Its certificate has a number of its own and names the one it replaces. POINT is a size of the plan, or zero.",
		Flags: []cli.Flag{
			text("reason", "TEXT", "why it is amended (wanted)"),
			text("remarks", "TEXT", "kept with the check"), text("condition", "TEXT", "of the gauge as it came"),
			text("person", "NAME", "who performed it"),
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
	const most = 400 // characters
	for _, text := range append(rejectReasons(a), a.Reason) {
		if len([]rune(text)) > most || containsBreak(text) {
			return usagef("reason %.60q: want one line of at most %d characters", text, most)
		}
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
	if err := first(a.texts(c), a.conditions(c), a.swap(c.StringSlice("standard"))); err != nil {
		return nil, err
	}
	// The standards are known now, and the blocks are looked for in them.
	if err := d.view(func(tx *registry.Tx) (err error) {
		if a.refs, err = tx.AmendedBasis(a.old, a.check); err != nil {
			return err
		}
		a.basis, err = tx.Resolve(a.refs)
		return err
	}); err != nil {
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
	by, err := tx.AmendedBy(a.old)
	if err != nil {
		return err
	}
	if by > 0 {
		return fmt.Errorf("check %d: was amended by entry %d; want that one amended, %d", seq, by, by)
	}
	basis, err := tx.Resolve(a.old.Check.Basis)
	a.gauge = basis.Gauge
	a.check = a.old.Check.Check
	a.check.Standards = slices.Clone(a.check.Standards)
	a.check.Zero = slices.Clone(a.check.Zero)
	a.check.Points = slices.Clone(a.check.Points)
	for i := range a.check.Points {
		p := &a.check.Points[i]
		p.Blocks, p.Readings = slices.Clone(p.Blocks), slices.Clone(p.Readings)
	}
	return err
}

func (a *amending) change(field, old, now string) {
	if old != now {
		a.changes = append(a.changes, registry.Change{Field: field, Old: old, New: now})
	}
}

func (a *amending) texts(c *cli.Context) error {
	for _, f := range []struct {
		name string
		into *string
	}{{"remarks", &a.check.Remarks}, {"condition", &a.check.Condition}, {"person", &a.check.Person}} {
		if c.IsSet(f.name) {
			a.change(f.name, *f.into, c.String(f.name))
			*f.into = c.String(f.name)
		}
	}
	if a.check.Person == "" {
		return usagef("--person: nobody; want who performed the check")
	}
	return nil
}

func (a *amending) conditions(c *cli.Context) error {
	celsius, _ := unit.Lookup("°C", unit.Temperature)
	for _, f := range []struct {
		name string
		in   unit.Unit
		into *unit.Quantity
	}{{"temperature", celsius, &a.check.Conditions.Gauge}, {"block-temperature", celsius, &a.check.Conditions.Blocks}, {"humidity", percent(), &a.check.Conditions.Humidity}} {
		if !c.IsSet(f.name) {
			continue
		}
		q, err := size(c, f.name, f.in.Dimension(), f.in)
		if err != nil {
			return err
		}
		a.change(strings.ReplaceAll(f.name, "-", " "), f.into.String(), q.String())
		*f.into = q
	}
	return nil
}

// swap puts standards in the place of those that were named wrongly.
func (a *amending) swap(pairs []string) error {
	for _, p := range pairs {
		old, now, ok := strings.Cut(p, "=")
		i := slices.Index(a.check.Standards, old)
		switch {
		case !ok || now == "":
			return usagef("--standard %q: want OLD=NEW, as GB-1=GB-2", p)
		case i < 0:
			return usagef("--standard %q: the check does not name %s; want one of %s", p, old, strings.Join(a.check.Standards, ", "))
		case slices.Contains(a.check.Standards, now):
			return usagef("--standard %q: the check names %s already; want another one", p, now)
		}
		a.change("standard", old, now)
		a.check.Standards[i] = now
		for _, point := range a.check.Points {
			for n := range point.Blocks {
				if point.Blocks[n].Standard == old {
					point.Blocks[n].Standard = now
				}
			}
		}
	}
	return nil
}

// blocks puts other stacks in the place of those that were written down.
func (a *amending) blocks(stacks []string) error {
	p := &preparation{gauge: a.gauge, sets: a.basis.Standards}
	for _, o := range stacks {
		at, stack, ok := strings.Cut(o, "=")
		if !ok {
			return usagef("--blocks %q: want POINT=STACK, as 5.1=1.1+4", o)
		}
		uses, n, err := p.stack(&a.check, at, stack)
		if err != nil {
			return &usageError{fmt.Sprintf("--blocks %q: %s", o, err)}
		}
		point := &a.check.Points[n]
		a.change("blocks at "+point.Nominal.String(), blockNames(point.Blocks), blockNames(uses))
		point.Blocks = uses
	}
	return nil
}

func blockNames(uses []calib.BlockUse) string {
	var out []string
	for _, b := range uses {
		out = append(out, b.Standard+":"+b.Nominal.String())
	}
	return strings.Join(out, " + ")
}

// reject takes readings out of the result; their numbers are those of the check
// that is amended, so the later ones of a point go first.
func (a *amending) reject(list []string) error {
	for _, text := range list {
		r, err := a.rejection(text)
		if err != nil {
			return err
		}
		if slices.ContainsFunc(a.rejected, func(o registry.Rejection) bool { return o.Point == r.Point && o.Reading == r.Reading }) {
			return usagef("--reject %q: named twice; want each reading once", text)
		}
		a.rejected = append(a.rejected, r)
	}
	last := slices.Clone(a.rejected)
	slices.SortFunc(last, func(x, y registry.Rejection) int { return y.Reading - x.Reading })
	for _, r := range last {
		into := a.readingsAt(r.Point)
		*into = slices.Delete(*into, r.Reading-1, r.Reading)
	}
	return nil
}

// readingsAt returns those of a point counted from 1, or of the zero for 0.
func (a *amending) readingsAt(point int) *[]calib.Reading {
	if point == 0 {
		return &a.check.Zero
	}
	return &a.check.Points[point-1].Readings
}

// rejection reads POINT:READING=REASON.
func (a *amending) rejection(text string) (registry.Rejection, error) {
	where, reason, ok := strings.Cut(text, "=")
	at, number, both := strings.Cut(where, ":")
	n, err := strconv.Atoi(number)
	if !ok || !both || err != nil || strings.TrimSpace(reason) == "" {
		return registry.Rejection{}, usagef("--reject %q: want POINT:READING=REASON, as 5.1:2=dropped", text)
	}
	r := registry.Rejection{Reading: n, Reason: strings.TrimSpace(reason), Nominal: "zero"}
	if at != "zero" {
		q, err := parseLength(at, a.gauge)
		if err != nil {
			return r, inOption("reject", err)
		}
		r.Point = 1 + slices.IndexFunc(a.check.Points, func(p calib.Point) bool { return p.Nominal.Same(q) })
		if r.Point == 0 {
			return r, usagef("--reject %q: %s is no point of this check; want one of its sizes, or zero", text, q)
		}
		r.Nominal = a.check.Points[r.Point-1].Nominal.String()
	}
	readings := *a.readingsAt(r.Point)
	if n < 1 || n > len(readings) {
		return r, usagef("--reject %q: no reading %d at %s; it has %s", text, n, r.Nominal, plural(len(readings), "reading"))
	}
	r.Indication = readings[n-1].Indication.String()
	return r, nil
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
