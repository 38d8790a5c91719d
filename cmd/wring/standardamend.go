package main

import (
	"fmt"
	"io"
	"strconv"

	"github.com/urfave/cli/v2"

	"example.org/wring/calib"
	"example.org/wring/registry"
)

// An amendedAnswer is what --json says of the amendment of a standard's record
// or of a certificate.
type amendedAnswer struct {
	Entry   uint64            `json:"entry"`
	Amends  uint64            `json:"amends"` // entry whose place it takes
	Subject string            `json:"standard"`
	Changes []registry.Change `json:"changes"`
	Resting []restingRow      `json:"checks_resting_on_the_old"` // that stand

	what string // of the standard is amended; empty for its record
}

func (a amendedAnswer) write(out io.Writer) error {
	return first(line(out, "entry %d: %s%s, entry %d, amended: %s", a.Entry, a.what, a.Subject, a.Amends, changeText(a.Changes)),
		writeResting(out, a.Subject, a.Resting))
}

func runStandardAmend(d desk, c *cli.Context) error {
	w, err := words(c, "STANDARD")
	if err != nil {
		return err
	}
	if reasonOf(c) == "" {
		return usagef("standard amend: --reason is missing; want why the record changes")
	}
	if err := reasonFits(reasonOf(c)); err != nil {
		return err
	}
	a := amendedAnswer{Subject: w[0]}
	if err := d.update(func(tx *registry.Tx) error {
		old, err := tx.Standard(w[0])
		if err != nil {
			return err
		}
		m := registry.StandardAmendment{Standard: old.Standard, Reason: reasonOf(c)}
		if err := first(standardFrom(c, &m.Standard), d.shape.Check(m.Standard)); err != nil {
			return err
		}
		m.Changes = factChanges(standardFacts(old.Standard), standardFacts(m.Standard))
		head, err := tx.AmendStandard(m)
		if err != nil {
			return err
		}
		a.Entry, a.Amends, a.Changes = head.Seq, old.Entry, m.Changes
		if a.Resting = []restingRow{}; countsInBudgets(m.Changes) {
			a.Resting, err = restingOn(tx, w[0], old.Entry)
		}
		return err
	}); err != nil {
		return err
	}
	return d.answer(a, a.write)
}

// countsInBudgets reports whether a change of a standard's record changes what
// is worked out with it.
func countsInBudgets(list []registry.Change) bool {
	for _, ch := range list {
		switch ch.Field {
		case "grade", "material", "density", "resolution":
			return true
		}
	}
	return false
}

// factChanges compares two lists of the same facts.
func factChanges(old, now [][2]string) (list []registry.Change) {
	for i, f := range now {
		if f[1] != old[i][1] {
			list = append(list, registry.Change{Field: f[0], Old: old[i][1], New: f[1]})
		}
	}
	return list
}

// standardFrom writes the options that were given into a standard's record.
func standardFrom(c *cli.Context, s *calib.Standard) error {
	for name, field := range map[string]*string{"grade": &s.Grade, "description": &s.Description, "maker": &s.Maker,
		"serial": &s.Serial, "place": &s.Place, "owner": &s.Owner} {
		if c.IsSet(name) {
			*field = c.String(name)
		}
	}
	if n, err := months(c, "interval"); err != nil {
		return err
	} else if n > 0 {
		s.IntervalMonths = n
	}
	if err := first(gradeFits(s.Grade, s.Kind), materialFits(c, s.Kind), materialFrom(c, &s.Material)); err != nil {
		return err
	}
	if c.IsSet("resolution") {
		if err := resolutionFrom(c, s); err != nil {
			return err
		}
	}
	if c.IsSet("density") || c.IsSet("density-half-width") {
		return densityFrom(c, s)
	}
	return nil
}

// amendCertificate enters the amendment of a certificate: what options give
// takes the place of what the old one has.
func (d desk) amendCertificate(c *cli.Context, id string) error {
	seq, err := strconv.ParseUint(c.String("amends"), 10, 64)
	switch {
	case err != nil:
		return usagef("--amends %q: want the number of the certificate's entry, see wring history %s", c.String("amends"), id)
	case reasonOf(c) == "":
		return usagef("standard certificate: --reason is missing; want why the certificate is amended")
	case c.IsSet("attach"):
		return usagef("--attach: the file of the old entry stays with the new one; want another file by wring attachment add")
	}
	if err := reasonFits(reasonOf(c)); err != nil {
		return err
	}
	a := amendedAnswer{Subject: id, Amends: seq, what: "certificate of "}
	if err := d.update(func(tx *registry.Tx) error {
		m, err := d.amendedCertificate(tx, c, id, seq)
		if err != nil {
			return err
		}
		head, err := tx.AmendCertificate(m)
		if err != nil {
			return err
		}
		a.Entry, a.Changes = head.Seq, m.Changes
		a.Resting, err = restingOn(tx, id, seq)
		return err
	}); err != nil {
		return err
	}
	return d.answer(a, a.write)
}

func (d desk) amendedCertificate(tx *registry.Tx, c *cli.Context, id string, seq uint64) (registry.CertificateAmendment, error) {
	m := registry.CertificateAmendment{Amends: seq, Reason: reasonOf(c)}
	s, err := tx.Standard(id)
	if err != nil {
		return m, err
	}
	old, err := tx.CertificateAt(seq)
	if err != nil {
		return m, err
	}
	if old.Certificate.Standard != id {
		return m, fmt.Errorf("entry %d: is a certificate of %s; want one of %s", seq, old.Certificate.Standard, id)
	}
	if m.Certificate, err = d.certificateWith(c, old.Certificate, s.Standard); err != nil {
		return m, err
	}
	m.Changes = certificateChanges(old.Certificate, m.Certificate)
	return m, first(certificateDates(m.Certificate, d.today()), d.shape.Check(m.Certificate))
}

// certificateWith puts the options that were given in the place of what a
// certificate has. A due date that followed from its date follows the new one.
func (d desk) certificateWith(c *cli.Context, old calib.Certificate, s calib.Standard) (calib.Certificate, error) {
	now := old
	for name, field := range map[string]*string{"number": &now.Number, "laboratory": &now.Laboratory, "accreditation": &now.Accreditation, "remarks": &now.Remarks} {
		if c.IsSet(name) {
			*field = c.String(name)
		}
	}
	route, err := choice(c, "route", calib.Routes())
	if err != nil {
		return now, err
	}
	if route != "" {
		now.Route = route
	}
	if now.Date, err = date(c, "date", old.Date); err != nil {
		return now, err
	}
	byInterval := s.IntervalMonths > 0 && old.Due == old.Date.AddMonths(s.IntervalMonths)
	if byInterval && !c.IsSet("due") {
		now.Due = now.Date.AddMonths(s.IntervalMonths)
	} else if now.Due, err = date(c, "due", old.Due); err != nil {
		return now, err
	}
	if c.IsSet("values") {
		if now.Values, err = valuesFrom(d, c.String("values"), s.Kind); err != nil {
			return now, err
		}
	}
	if c.IsSet("piston") {
		now.Piston, err = pistonFrom(d, c.String("piston"), s.Kind)
	}
	return now, err
}

// certificateChanges compares two certificates as they are printed, row by row.
func certificateChanges(old, now calib.Certificate) []registry.Change {
	facts := func(c calib.Certificate) [][2]string {
		return [][2]string{{"number", c.Number}, {"laboratory", c.Laboratory}, {"accreditation", c.Accreditation}, {"route", string(c.Route)},
			{"date", c.Date.String()}, {"due", c.Due.String()}, {"remarks", c.Remarks}, {"piston", pistonText(c.Piston)}}
	}
	list := factChanges(facts(old), facts(now))
	rows := func(c calib.Certificate) map[string]string {
		out := map[string]string{}
		for _, v := range c.Values {
			out[v.Nominal.String()+" "+v.Serial] = valueText(v)
		}
		return out
	}
	before, after := rows(old), rows(now)
	said := map[string]bool{}
	for _, v := range append(append([]calib.Value{}, old.Values...), now.Values...) {
		key := v.Nominal.String() + " " + v.Serial
		if !said[key] && before[key] != after[key] {
			list = append(list, registry.Change{Field: "value of " + spaced(v.Nominal.String(), v.Serial), Old: before[key], New: after[key]})
		}
		said[key] = true
	}
	return list
}

func spaced(a, b string) string {
	if b == "" {
		return a
	}
	return a + " " + b
}

// valueText is one row of a certificate in words.
func valueText(v calib.Value) string {
	text := "grade " + v.Grade
	if v.Calibrated() {
		text = v.Deviation.String()
		if !v.Expanded.IsZero() {
			text += ", U " + v.Expanded.String() + ", k " + v.K
		}
		if v.DoF != "" {
			text += ", dof " + v.DoF
		}
		if v.Grade != "" {
			text += ", grade " + v.Grade
		}
	}
	return text
}

func pistonText(p *calib.Piston) string {
	if p == nil {
		return ""
	}
	return fmt.Sprintf("area %s, U %s, k %s, distortion %s, U %s, expansion %s, U %s, tension %s ± %s, carrier %s, U %s, head %s ± %s, fluid %s ± %s",
		p.Area, p.AreaExpanded, p.K, p.Distortion, p.DistortionExpanded, p.Expansion, p.ExpansionExpanded, p.Tension, p.TensionHalfWidth,
		p.Carrier, p.CarrierExpanded, p.Head, p.HeadHalfWidth, p.Fluid, p.FluidHalfWidth)
}
