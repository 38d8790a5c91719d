package main

import (
	"errors"
	"fmt"

	"example.org/wring/calib"
	"example.org/wring/certs"
	"example.org/wring/registry"
)

// labelNamed is what the label of a gauge or a standard says today, what more it
// may say where there is room, and whose it is with the entry that it shows.
func labelNamed(tx *registry.Tx, name string, today calib.Date) (l certs.Label, more string, p registry.LabelPrint, err error) {
	var missing *registry.NotFoundError
	std, err := tx.Standard(name)
	if err == nil {
		p.Standard = name
		l, more, p.Shows, err = standardLabel(tx, std.Standard, today)
		return l, more, p, err
	}
	if !errors.As(err, &missing) {
		return l, "", p, err
	}
	p.Gauge = name
	s, err := tx.Gauge(name)
	if err != nil {
		return l, "", p, noSubject(tx, "gauge or standard", name, err)
	}
	l, p.Shows, err = gaugeLabel(tx, s, today)
	if l.Word != "" {
		more = s.Reason
	}
	return l, more, p, err
}

// standardLabel is by the certificate that counts. The day until which it counts
// is the house's own, which it keeps to itself: no laboratory recommends it (ISO/IEC
// 17025:2017, 7.8.4.3; from memory).
func standardLabel(tx *registry.Tx, s calib.Standard, today calib.Date) (l certs.Label, more string, shows uint64, err error) {
	refuse := func(found, want string) error { return fmt.Errorf("label of %s: %s; want %s", s.ID, found, want) }
	k, found, err := tx.CertificateOn(s.ID, today)
	c := k.Certificate
	switch {
	case err != nil:
		return l, "", 0, err
	case !found:
		return l, "", 0, refuse("no certificate of it counts", "its certificate first")
	case !c.Due.IsZero() && c.Due.Before(today):
		return l, "", 0, refuse(fmt.Sprintf("certificate %s counts until %s only", c.Number, c.Due), "a new one first")
	}
	l.Identity, l.Lines = s.ID, []string{"calibrated\u00a0" + c.Date.String()}
	if !c.Due.IsZero() {
		l.Lines = append(l.Lines, "due\u00a0"+c.Due.String())
	}
	l.Lines = append(l.Lines, "certificate "+c.Number)
	return l, c.Remarks, k.Entry, nil
}

// gaugeLabel is what a gauge's label says, and the entry that it shows.
func gaugeLabel(tx *registry.Tx, s registry.GaugeState, today calib.Date) (certs.Label, uint64, error) {
	l := certs.Label{Identity: s.Gauge.ID}
	if word, rest := tagOf(s.Status); word != "" {
		head, err := tx.StatusEntry(s.Gauge.ID)
		l.Word, l.Lines = word, []string{rest, "since\u00a0" + s.Since.String()}
		return l, head.Seq, err
	}
	if err := mayBeLabelled(tx, s, today); err != nil {
		return l, 0, err
	}
	l.Lines = []string{"checked\u00a0" + s.Last.Date.String()}
	if s.Gauge.DueAgreed && !s.Due.IsZero() {
		l.Lines = append(l.Lines, "due\u00a0"+s.Due.String())
	}
	if s.Status == calib.LimitedUse {
		l.Lines = append(l.Lines, "limits of use: "+s.Reason)
	}
	return l, s.Last.Entry, nil
}

// tagOf is the word of a tag, and what it forbids; none for a status in which a
// gauge is used or its label stays.
func tagOf(s calib.Status) (word, rest string) {
	switch s {
	case calib.Failed:
		return "FAILED", "do not use"
	case calib.Quarantined:
		return "QUARANTINED", "do not use"
	case calib.Stored:
		return "STORED", "check before use"
	case calib.IndicationOnly:
		return "INDICATION ONLY", "not for acceptance, no standard"
	}
	return "", ""
}

// mayBeLabelled refuses a label that would say more than the record.
func mayBeLabelled(tx *registry.Tx, s registry.GaugeState, today calib.Date) error {
	refuse := func(found, want string) error { return fmt.Errorf("label of %s: %s; want %s", s.Gauge.ID, found, want) }
	switch {
	case s.Status.Withdrawn():
		return refuse("it is "+string(s.Status), "a gauge that is there")
	case s.Last == nil:
		return refuse("it was never checked", "a check first")
	case !s.Last.Verdict.Passed():
		return refuse(fmt.Sprintf("its last check, entry %d, says: %s", s.Last.Entry, s.Last.Verdict), "a check that it passes")
	case !s.Due.IsZero() && s.Due.Before(today):
		return refuse("it has been overdue since "+s.Due.String(), "a check first")
	}
	required, err := tx.ReleaseRequired(s.Last.Entry)
	if err != nil || !required {
		return err
	}
	release, _, err := tx.ReleaseOf(s.Last.Entry)
	if err == nil && release == nil {
		err = refuse(fmt.Sprintf("its last check, entry %d, is not released", s.Last.Entry), "its release first")
	}
	return err
}
