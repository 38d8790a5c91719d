package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"example.org/wring/calib"
	"example.org/wring/certs"
	"example.org/wring/cmd/internal/screen"
	"example.org/wring/registry"
	"example.org/wring/registry/journal"
	"example.org/wring/uncertainty/unit"
)

func newHistory(e env) *cli.Command {
	return &cli.Command{
		Name:        "history",
		Usage:       "everything that happened to a gauge, a standard, a plan or a lot, newest last",
		ArgsUsage:   "[NAME]",
		UsageText:   "wring history MIC-014",
		Description: "Each entry with its number, when it was entered by the clock, the date that was stated, who made it, and what: old and new values of what was amended, with the reason. An entry is late where it was stated for an earlier day than the one on which it was entered. Without NAME, what happened to the registry itself: its opening, backups, restores, people and rules.",
		Flags:       paperFlags(),
		Action:      reading(e, runHistory),
	}
}

// A historyAnswer is one entry about a gauge, a standard or a plan.
type historyAnswer struct {
	Entry     uint64          `json:"entry"`
	At        time.Time       `json:"at"` // by the clock, UTC
	Person    string          `json:"person"`
	Kind      string          `json:"kind"`
	Date      calib.Date      `json:"date,omitzero"`        // as stated
	Late      bool            `json:"late"`                 // stated for another day than the clock's
	AmendedBy uint64          `json:"amended_by,omitempty"` // entry that took the place of this check or certificate, or withdrew it
	Withdrawn bool            `json:"withdrawn,omitempty"`
	Text      string          `json:"text"`
	Program   string          `json:"program"`
	Payload   json.RawMessage `json:"payload"`
}

func runHistory(d desk, c *cli.Context) error {
	w, err := words(c, "[NAME]")
	if err != nil {
		return err
	}
	var h pastOf
	if err := d.view(func(tx *registry.Tx) (err error) { h, err = historyOf(tx, w[0]); return err }); err != nil {
		return err
	}
	if c.String("pdf") != "" {
		return d.setPaper(c, h.document(d.today()), h.title())
	}
	return d.answer(h.list, func(out io.Writer) error {
		t := screen.Table{Columns: []screen.Column{{Title: "entry", Align: screen.Right}, {Title: "entered"}, {Title: "stated for"}, {Title: "by"}, {Title: "what", Wrap: true}}}
		for _, a := range h.list {
			t.Add(a.cells()...)
		}
		return t.Write(out)
	})
}

// A pastOf is what happened to one thing, or to the registry itself.
type pastOf struct {
	name  string // empty for the registry
	list  []historyAnswer
	house registry.Opening
	head  string
}

func historyOf(tx *registry.Tx, name string) (pastOf, error) {
	h := pastOf{name: name, list: []historyAnswer{}}
	entries, u, err := entriesAbout(tx, name)
	if err != nil {
		return h, err
	}
	for _, e := range entries {
		a, err := tell(tx, u, e)
		if err != nil {
			return h, err
		}
		h.list = append(h.list, a)
	}
	head, err := tx.Head()
	if err != nil {
		return h, err
	}
	h.head = head.String()
	h.house, err = tx.House()
	return h, err
}

func (h pastOf) title() string {
	if h.name == "" {
		return "history of the registry"
	}
	return "history of " + h.name
}

// cells is one entry as a line of a table.
func (a historyAnswer) cells() []string {
	text := a.Text + yes(a.Late, "; entered late", "")
	if a.AmendedBy > 0 {
		text += fmt.Sprintf("; %s by entry %d", yes(a.Withdrawn, "WITHDRAWN", "AMENDED"), a.AmendedBy)
	}
	return []string{strconv.FormatUint(a.Entry, 10), a.At.Format(time.DateOnly), a.Date.String(), a.Person, text}
}

func (h pastOf) document(today calib.Date) certs.Document {
	doc := recordPaper("Record of history", h.title(), plural(len(h.list), "entry")+", oldest first", h.house, h.head, today)
	t := certs.Table{Title: "Entries", Columns: []certs.Column{{Heading: "Entry", Align: certs.Right}, {Heading: "Entered"}, {Heading: "Stated for"}, {Heading: "By"}, {Heading: "What"}},
		Notes: []string{"Entered: by the clock of the machine, UTC. Stated for: the date that was given. An entry is late where it was stated for an earlier day than the one on which it was entered."}}
	for _, a := range h.list {
		t.Rows = append(t.Rows, certs.Row{Cells: a.cells()})
	}
	doc.Parts = []certs.Part{t}
	return doc
}

// entriesAbout returns the entries about what a name names, with the unit that
// a gauge is read in.
func entriesAbout(tx *registry.Tx, name string) ([]journal.Entry, unit.Unit, error) {
	if name == "" {
		list, err := tx.HouseEntries()
		return list, unit.Unit{}, err
	}
	list, err := tx.Entries(name)
	var missing *registry.NotFoundError
	if errors.As(err, &missing) {
		plan, other := tx.PlanEntries(name)
		if other != nil || len(plan) > 0 {
			return plan, unit.Unit{}, other
		}
		if lot, other := lotEntries(tx, name); other != nil || len(lot) > 0 {
			return lot, unit.Unit{}, other
		}
		return nil, unit.Unit{}, noSubject(tx, "gauge, standard, plan, lot or method", name, err)
	}
	if err != nil {
		return nil, unit.Unit{}, err
	}
	s, err := tx.Gauge(name)
	if errors.As(err, &missing) {
		return list, unit.Unit{}, nil // a standard
	}
	return list, s.Gauge.ReadIn(), err
}

// tell says in one line what an entry holds, sizes in the gauge's unit.
func tell(tx *registry.Tx, u unit.Unit, e journal.Entry) (historyAnswer, error) {
	a := historyAnswer{Entry: e.Seq, At: e.At, Person: e.Person, Kind: e.Kind, Program: e.Program, Payload: e.Payload}
	var err error
	switch e.Kind {
	case registry.KindGauge:
		var g calib.Gauge
		err = json.Unmarshal(e.Payload, &g)
		a.Text = fmt.Sprintf("registered: %s, %s", g.Kind, rangeOf(g))
		if g.Plan != "" {
			a.Text += ", plan " + g.Plan
		}
	case registry.KindAmendment:
		var m registry.Amendment
		err = json.Unmarshal(e.Payload, &m)
		a.Text = "amended: " + changeText(m.Changes) + " (" + m.Reason + ")"
	case registry.KindStatus:
		var s calib.StatusChange
		err = json.Unmarshal(e.Payload, &s)
		a.Date, a.Text = s.Date, "is "+string(s.Status)+" ("+s.Reason+")"
	case registry.KindCheck, registry.KindCheckAmended:
		err = a.tellCheck(tx, u, e)
	case registry.KindCertificate, registry.KindCertificateAmended:
		err = a.tellCertificate(tx, e)
	case registry.KindLabel:
		err = a.tellLabel(e)
	case registry.KindInterval, registry.KindLookBack, registry.KindDisposition, registry.KindEarlier:
		err = a.tellLead(e)
	case registry.KindMethod, registry.KindLot, registry.KindSurvey:
		err = a.tellLot(e)
	case registry.KindStudy, registry.KindComparison:
		err = a.tellStudied(e)
	case registry.KindTakenBack:
		var t registry.TakenBack
		err = json.Unmarshal(e.Payload, &t)
		a.Text = fmt.Sprintf("%s %d withdrawn (%s)", t.Of, t.Entry, t.Reason)
	default:
		err = a.tellOther(e)
	}
	if err == nil && (e.Kind == registry.KindSurvey || e.Kind == registry.KindStudy || e.Kind == registry.KindComparison) {
		var f registry.Fate
		f, err = tx.FateOfMeasured(e)
		a.AmendedBy, a.Withdrawn = f.By, f.Withdrawn
	}
	a.Late = e.Kind != registry.KindCheckAmended && e.Kind != registry.KindCertificateAmended && e.Kind != registry.KindEarlier && !a.Date.IsZero() && a.Date.DaysSince(calib.DateOf(e.At)) < -1 // a day's grace for the clock's zone
	return a, err
}

func (a *historyAnswer) tellCheck(tx *registry.Tx, u unit.Unit, e journal.Entry) error {
	o, err := registry.OutlineOf(e)
	if err != nil {
		return err
	}
	fate, err := tx.FateOfCheck(o.Check.Gauge, e.Seq)
	if err != nil {
		return err
	}
	a.AmendedBy, a.Withdrawn = fate.By, fate.Withdrawn
	a.Date = o.Check.Date
	if a.Text, err = checkText(tx, u, o); err != nil || o.Amendment == nil {
		return err
	}
	m := o.Amendment
	a.Text = fmt.Sprintf("amendment of check %d: %s (%s); now %s", m.Amends, amendmentText(*m), m.Reason, a.Text)
	return nil
}

// tellCertificate says what a standard's certificate states, or what was
// amended in it, and what became of it.
func (a *historyAnswer) tellCertificate(tx *registry.Tx, e journal.Entry) error {
	k, err := tx.CertificateAt(e.Seq)
	if err != nil {
		return err
	}
	c := k.Certificate
	a.Date, a.AmendedBy, a.Withdrawn = c.Date, k.AmendedBy, k.Withdrawn
	a.Text = fmt.Sprintf("certificate %s by %s, %s: %s", c.Number, c.Laboratory, c.Route, plural(len(c.Values), "value"))
	if !c.Due.IsZero() {
		a.Text += ", due " + c.Due.String()
	}
	if e.Kind == registry.KindCertificate {
		return nil
	}
	var m registry.CertificateAmendment
	err = json.Unmarshal(e.Payload, &m)
	a.Text = fmt.Sprintf("amendment of certificate, entry %d: %s (%s); now %s", m.Amends, changeText(m.Changes), m.Reason, a.Text)
	return err
}

// amendmentText lists the changes of a check and the readings that were
// rejected.
func amendmentText(m registry.CheckAmendment) string {
	var parts []string
	if len(m.Changes) > 0 {
		parts = append(parts, changeText(m.Changes))
	}
	for _, r := range m.Rejected {
		parts = append(parts, r.String())
	}
	return strings.Join(parts, "; ")
}

// tellOther says what an entry about a standard, a plan or the registry holds.
func (a *historyAnswer) tellOther(e journal.Entry) error {
	var err error
	switch e.Kind {
	case registry.KindStandard:
		var s calib.Standard
		err = json.Unmarshal(e.Payload, &s)
		a.Text = "registered: " + string(s.Kind) + yes(s.Description != "", ", "+s.Description, "")
	case registry.KindStandardAmended:
		var m registry.StandardAmendment
		err = json.Unmarshal(e.Payload, &m)
		a.Text = "amended: " + changeText(m.Changes) + " (" + m.Reason + ")"
	case registry.KindWithdrawal:
		var w registry.Withdrawal
		err = json.Unmarshal(e.Payload, &w)
		a.Text = fmt.Sprintf("entry %d withdrawn, and its certificate %s (%s)", w.Entry, w.Number, w.Reason)
	case registry.KindTold:
		var t registry.Telling
		err = json.Unmarshal(e.Payload, &t)
		a.Date, a.Text = t.On, toldText(t)
	case registry.KindPlan:
		var p calib.Plan
		err = json.Unmarshal(e.Payload, &p)
		a.Text = fmt.Sprintf("revision %d: %s", p.Revision, p.Title)
	case registry.KindAttachment:
		var f registry.Attachment
		err = json.Unmarshal(e.Payload, &f)
		a.Text = "attached: " + f.String()
	case registry.KindHouse:
		var o registry.Opening
		err = json.Unmarshal(e.Payload, &o)
		a.Text = "registry " + o.Registry + " opened by " + o.House.Organisation
	case registry.KindHouseAmended:
		var h registry.HouseAmendment
		err = json.Unmarshal(e.Payload, &h)
		a.Text = "house amended: " + changeText(h.Changes) + " (" + h.Reason + ")"
	case registry.KindBackup:
		var b registry.Backup
		err = json.Unmarshal(e.Payload, &b)
		a.Text = fmt.Sprintf("backup %s up to head %s, %d bytes, SHA-256 %.16s…", b.Name, shortHead(b.Head), b.Bytes, b.SHA256)
	case registry.KindPerson:
		var p registry.Person
		err = json.Unmarshal(e.Payload, &p)
		a.Text = p.ID + yes(p.Name != "", ", "+p.Name, "") + ": may " + mayText(p.May) + yes(p.Reason != "", " ("+p.Reason+")", "")
	case registry.KindReleaseRule:
		var r registry.ReleaseRule
		err = json.Unmarshal(e.Payload, &r)
		a.Text = "checks want " + yes(r.Required, "release by a second person", "no release") + " (" + r.Reason + ")"
	case registry.KindRelease:
		var r registry.Release
		err = json.Unmarshal(e.Payload, &r)
		a.Text = fmt.Sprintf("check %d released", r.Check) + yes(r.Note != "", " ("+r.Note+")", "")
	case registry.KindRestore:
		var r registry.Restore
		err = json.Unmarshal(e.Payload, &r)
		a.Text = fmt.Sprintf("restored from %s, head %s", r.Name, shortHead(r.Head)) + yes(r.Replaced != "", ", in the place of head "+shortHead(r.Replaced), "")
	default:
		a.Text = e.Kind
	}
	return err
}

// checkText says verdict and worst point: the one that uses most of its limit.
func checkText(tx *registry.Tx, u unit.Unit, k registry.Outline) (string, error) {
	digits, err := tx.PlanDigits(k.Check.Plan, k.Check.Revision)
	if err != nil {
		return "", err
	}
	if len(k.Result.Points) == 0 {
		return fmt.Sprintf("checked %s by %s: %s; plan %s revision %d", k.Check.Stage, k.Check.Person, k.Result.Verdict, k.Check.Plan, k.Check.Revision), nil
	}
	worst := k.Result.Points[0]
	for _, p := range k.Result.Points {
		if p.Error.Abs().Mul(worst.Limit).Cmp(worst.Error.Abs().Mul(p.Limit)) > 0 {
			worst = p
		}
	}
	e, expanded, _ := inUnit(u, calib.PointResult{Error: worst.Error, Expanded: worst.Expanded}, digits)
	text := fmt.Sprintf("checked %s by %s: %s; largest error %s, U %s, limit ±%s %s at %s %s; plan %s revision %d",
		k.Check.Stage, k.Check.Person, k.Result.Verdict, e, expanded, u.From(worst.Limit).Shortest(), u.Symbol(),
		u.From(worst.Nominal).Shortest(), u.Symbol(), k.Check.Plan, k.Check.Revision)
	for _, f := range k.Result.Findings {
		text += "; marked: " + string(f.Gate)
	}
	return text, nil
}
