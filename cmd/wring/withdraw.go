package main

import (
	"cmp"
	"errors"
	"fmt"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"example.org/wring/calib"
	"example.org/wring/certs"
	"example.org/wring/certs/pdf"
	"example.org/wring/registry"
)

func newWithdraw(e env) *cli.Command {
	return &cli.Command{
		Name:        "withdraw",
		Usage:       "take back a check, a standard's certificate, a survey, a study or a comparison that should not have been entered",
		ArgsUsage:   "ENTRY",
		UsageText:   `wring withdraw 85 --reason "entered twice, from two copies of one sheet"`,
		Description: "The entry stays and is shown as withdrawn; it counts no more for due dates, series, status and the choice of certificates. A gauge that the check had failed returns, and one that had returned by it is doubted again. The certificate of the check is withdrawn with it: wring certificate with the number of the withdrawal writes the notice, and wring told says who was told. A survey, a study or a comparison that is withdrawn is no use of its gauge any more, and no look-back asks about it. Where checks want release, who is not registered withdraws none, and a released one only who may release.",
		Flags:       []cli.Flag{text("reason", "TEXT", "why it is withdrawn (wanted)")},
		Action:      entering(e, runWithdraw),
	}
}

func runWithdraw(d desk, c *cli.Context) error {
	w, err := words(c, "ENTRY")
	if err != nil {
		return err
	}
	reason := reasonOf(c)
	if reason == "" {
		return usagef("withdraw: --reason is missing; want why it is withdrawn")
	}
	if err := reasonFits(reason); err != nil {
		return err
	}
	var a withdrawAnswer
	if err := d.update(func(tx *registry.Tx) (err error) {
		a.Withdrawn, err = checkNamed(tx, w[0])
		if err != nil {
			return err
		}
		head, err := tx.Withdraw(a.Withdrawn, reason)
		if err != nil {
			return err
		}
		a.Entry = head.Seq
		return a.fill(tx)
	}); err != nil {
		return err
	}
	return d.answer(a, a.write)
}

// A withdrawAnswer is what --json says of a withdrawal.
type withdrawAnswer struct {
	Entry     uint64       `json:"entry"`
	Withdrawn uint64       `json:"withdrawn"`         // entry
	Subject   string       `json:"subject"`           // gauge or standard
	Number    string       `json:"number"`            // of its certificate
	Status    calib.Status `json:"status,omitempty"`  // of the gauge, as it is now
	Due       calib.Date   `json:"due,omitzero"`      // of the gauge, as it is now
	LookBacks []uint64     `json:"look_backs"`        // that the check opened, and that stay
	Resting   []restingRow `json:"checks_resting_on"` // that stand, and rest on what was withdrawn
	Surveys   []uint64     `json:"surveys_resting_on"`

	Of          string   `json:"of,omitempty"`                     // kind of a survey, a study or a comparison
	Comparisons []uint64 `json:"comparisons_resting_on,omitempty"` // that stand, and took its figures
}

func (a *withdrawAnswer) fill(tx *registry.Tx) error {
	if t, ok, err := tx.TakenBackAt(a.Entry); ok || err != nil {
		a.Of, a.Subject, a.LookBacks, a.Surveys, a.Resting = t.Of, t.Lot, []uint64{}, []uint64{}, []restingRow{}
		if a.Subject == "" {
			a.Subject = strings.Join(t.Gauges, " and ")
		}
		if err == nil {
			a.Comparisons, err = tx.ComparisonsOf(t.Entry)
		}
		return err
	}
	w, _, _, err := tx.WithdrawalAt(a.Entry)
	if err != nil {
		return err
	}
	a.Subject, a.Number, a.LookBacks, a.Surveys = w.Subject, w.Number, []uint64{}, []uint64{}
	if a.Resting, err = restingOn(tx, w.Subject, w.Entry); err != nil {
		return err
	}
	if _, err := tx.Check(w.Entry); err != nil { // a certificate
		return nil
	}
	s, err := tx.Gauge(w.Subject)
	if err != nil {
		return err
	}
	a.Status, a.Due = s.Status, s.Due
	surveys, err := tx.SurveysResting(w.Subject, w.Entry)
	if err != nil {
		return err
	}
	for _, one := range surveys {
		a.Surveys = append(a.Surveys, one.Head.Seq)
	}
	open, err := tx.LookBacks(w.Subject)
	for _, l := range open {
		if l.Check == w.Entry {
			a.LookBacks = append(a.LookBacks, l.Entry)
		}
	}
	return err
}

func noticeOf(a withdrawAnswer) string {
	if a.Of != "" {
		return fmt.Sprintf("%s %d%s withdrawn; it counts no more", a.Of, a.Withdrawn, yes(a.Subject != "", " of "+a.Subject, ""))
	}
	if a.Status == "" {
		return fmt.Sprintf("certificate %s of %s withdrawn; it counts no more", a.Number, a.Subject)
	}
	due := "was never checked otherwise"
	if !a.Due.IsZero() {
		due = "due " + a.Due.String()
	}
	return fmt.Sprintf("check %d of %s withdrawn, and its certificate %s; %s is %s, %s", a.Withdrawn, a.Subject, a.Number, a.Subject, a.Status, due)
}

// withdrawalPaper is the notice that a certificate was withdrawn, for those who
// hold it.
func withdrawalPaper(tx *registry.Tx, seq uint64) (certs.Document, bool, error) {
	w, e, ok, err := tx.WithdrawalAt(seq)
	if err != nil || !ok {
		return certs.Document{}, false, err
	}
	k, err := tx.Check(w.Entry)
	if err != nil {
		return certs.Document{}, false, nil // a standard's certificate: its laboratory's paper, not this house's
	}
	o, err := tx.HouseAt(seq)
	if err != nil {
		return certs.Document{}, false, err
	}
	_, head, err := tx.Entry(seq)
	if err != nil {
		return certs.Document{}, false, err
	}
	day := calib.DateOf(e.At)
	c := k.Check.Check
	doc := recordPaper("Notice of withdrawal", fmt.Sprintf("V-%06d", seq), "certificate "+w.Number, o, head.String(), day)
	doc.Program, doc.End = e.Program, "End of notice"
	doc.Parts = []certs.Part{
		certs.Statement{Title: "Withdrawn", Paragraphs: []string{
			fmt.Sprintf("Certificate %s is withdrawn and counts no more. It is not replaced by this notice.", w.Number),
			"Whoever holds it is asked to mark it as withdrawn, and to look at what was decided on the strength of it.",
		}},
		certs.Facts{Title: "Certificate", Pairs: []certs.Fact{{Label: "Number", Value: w.Number}, {Label: "Gauge", Value: w.Subject},
			{Label: "Check", Value: fmt.Sprintf("%s, %s, by %s", c.Date, c.Stage, c.Person)}, {Label: "Verdict stated", Value: string(k.Check.Result.Verdict)},
			{Label: "Withdrawn on", Value: day.String()}, {Label: "By", Value: e.Person}, {Label: "Reason", Value: w.Reason}}},
	}
	return doc, true, nil
}

// noticeNamed is the notice that a word names; nil where it names something
// else.
func noticeNamed(tx *registry.Tx, word string) (*certs.Document, error) {
	seq, err := strconv.ParseUint(word, 10, 64)
	if err != nil {
		return nil, nil
	}
	doc, ok, err := withdrawalPaper(tx, seq)
	var missing *registry.NotFoundError
	if errors.As(err, &missing) || err == nil && !ok {
		return nil, nil // what it is instead is said by who looks for a check
	}
	return &doc, err
}

func (d desk) writeNotice(c *cli.Context, doc certs.Document, paper certs.Paper) error {
	doc.Paper = cmp.Or(paper, doc.Paper, certs.A4)
	r, err := pdf.New()
	if err != nil {
		return err
	}
	data, err := r.Render(doc)
	if err != nil {
		return err
	}
	return d.writePDF(c, cmp.Or(c.String("out"), doc.Number+".pdf"), data, "notice that "+doc.Subject+" was withdrawn")
}

// sayFate says beside a paper, which is as it was issued, that it counts no
// more.
func (d desk) sayFate(number string, f registry.Fate) error {
	switch {
	case f.By == 0:
		return nil
	case f.Withdrawn:
		return line(d.Err, "wring: certificate %s was withdrawn by entry %d; its notice: wring certificate %d", number, f.By, f.By)
	}
	return line(d.Err, "wring: certificate %s was replaced by that of entry %d: wring certificate %d", number, f.By, f.By)
}
