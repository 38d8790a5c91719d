package certs

import (
	"fmt"
	"time"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/conformity"
	"example.org/wring/uncertainty/unit"
)

// A KeptCheck is a check with its result, as one entry of the journal holds
// them.
type KeptCheck struct {
	Sequence uint64    // number of the entry
	Recorded time.Time // by the clock, UTC
	Check    calib.Check
	Result   calib.Result
}

// A CertificateOf is everything that a certificate of one length check states.
type CertificateOf struct {
	House    House
	Customer string // who it is for, where that is not the gauge's owner
	Site     string // where the house makes its checks, if not at its address; a check's own place goes before

	Number  string     // of the certificate
	Issued  calib.Date // not before the check
	Paper   Paper
	Program string // program and version
	Head    string // of the journal when it was issued, as it is printed

	// Basis is what the check rests on, as it stood on its day.
	Basis calib.Basis
	Kept  KeptCheck

	// Evidence counts, by a standard's identity, the files that were kept with
	// its certificate when the check was: the evidence for a laboratory that is
	// not accredited.
	Evidence map[string]int

	// AsFound is the check before the adjustment, where Kept is the one after
	// it. Both results are then stated.
	AsFound *KeptCheck

	// Replaces is the certificate that this one takes the place of; nil for a
	// first one.
	Replaces *Replaced

	Received calib.Date // zero: not stated
	Due      calib.Date // printed only where the gauge says that it is agreed
	Released string     // who released it; empty: nobody but who performed

	// Unreleased says that the house wants a second person to release the
	// result, and that nobody has: the paper says so where the result stands.
	Unreleased bool
}

// A Replaced is an earlier certificate of the same check that no longer holds,
// with what was amended since and why (ISO/IEC 17025:2017, 7.8.8; clause from
// memory).
type Replaced struct {
	Number  string
	Changes []string // each with its old and new value, its reason and who made it
}

// A MismatchError says which parts of a certificate do not belong together.
type MismatchError struct {
	Number string // of the certificate
	Found  string
	Want   string
}

func (e *MismatchError) Error() string {
	return fmt.Sprintf("certificate %q: %s; want %s", e.Number, e.Found, e.Want)
}

// LengthCertificate writes the certificate of a kept length check: every item
// of ISO/IEC 17025:2017, 7.8.2 and 7.8.4 (clauses from memory) that an internal
// verification has.
// Numbers are the result's, in the gauge's own unit, rounded at the last place
// of U; readings are as typed; verdicts are repeated, never made.
//
// It returns a [*MismatchError] where check, result and basis are not of one
// piece, and an error where a figure of the result cannot be rounded.
func LengthCertificate(in CertificateOf) (Document, error) {
	if err := in.check(); err != nil {
		return Document{}, err
	}
	w := writing{in: in, unit: in.Basis.Gauge.ReadIn(), stages: in.stages()}
	// The first page answers what most readers ask: which gauge, which verdict,
	// which errors. How it was done follows.
	parts := []Part{w.outcome(), w.item()}
	for _, k := range w.stages {
		results, err := w.results(k)
		if err != nil {
			return Document{}, fmt.Errorf("certificate %q: %w", in.Number, err)
		}
		figure, err := w.errorFigure(k)
		if err != nil {
			return Document{}, err
		}
		parts = append(parts, results, figure)
	}
	parts = append(parts, w.circumstances())
	for _, k := range w.stages {
		parts = append(parts, w.readings(k))
	}
	parts = append(parts, w.standards())
	parts = append(parts, w.statements()...)
	g := in.Basis.Gauge
	return Document{
		Title: "Verification certificate", Number: in.Number, Subject: w.subject(g), House: in.House, Paper: in.Paper,
		Issued: in.Issued.String(), Head: in.Head, Program: in.Program, End: "End of certificate", Parts: parts,
		Foot: []string{"This certificate relates only to the item named in it. It may be reproduced in full only, unless the house agrees in writing."},
	}, nil
}

// writing is one certificate being written.
type writing struct {
	in     CertificateOf
	unit   unit.Unit   // the gauge's own
	stages []KeptCheck // as found first
}

func (in CertificateOf) stages() []KeptCheck {
	if in.AsFound == nil {
		return []KeptCheck{in.Kept}
	}
	return []KeptCheck{*in.AsFound, in.Kept}
}

// belongs holds a check to the gauge, the plan and the day of the certificate.
func (in CertificateOf) belongs(c calib.Check) error {
	refuse := func(found, want string) error { return &MismatchError{in.Number, found, want} }
	g, p := in.Basis.Gauge, in.Basis.Plan
	switch {
	case c.Gauge != g.ID:
		return refuse(fmt.Sprintf("the check is of %q, the gauge is %q", c.Gauge, g.ID), "one gauge")
	case c.Plan != p.Name || c.Revision != p.Revision:
		return refuse(fmt.Sprintf("the check followed %s revision %d, the plan given is %s revision %d", c.Plan, c.Revision, p.Name, p.Revision), "the revision that was followed")
	case in.Issued.Before(c.Date):
		return refuse(fmt.Sprintf("issued %s, before the check of %s", in.Issued, c.Date), "a date of issue on or after it")
	}
	return nil
}

// check holds the parts to each other.
func (in CertificateOf) check() error {
	refuse := func(found, want string) error { return &MismatchError{in.Number, found, want} }
	g := in.Basis.Gauge
	if g.ReadIn().IsZero() {
		return refuse(fmt.Sprintf("gauge %s is read in %q", g.ID, g.Unit), "a unit of length")
	}
	for _, k := range in.stages() {
		c := k.Check
		if err := in.belongs(c); err != nil {
			return err
		}
		if len(c.Points) == 0 || len(c.Points) != len(k.Result.Points) {
			return refuse(fmt.Sprintf("%d points were checked and %d have results", len(c.Points), len(k.Result.Points)), "one result for each point")
		}
		for i, r := range k.Result.Points {
			if !conformity.Verdict(r.Verdict).Known() {
				return refuse(fmt.Sprintf("the verdict on point %d is %q", i+1, r.Verdict), "one that a rule gives")
			}
		}
	}
	if in.AsFound != nil && (in.AsFound.Check.Stage != calib.AsFound || in.Kept.Check.Stage != calib.AsLeft) {
		return refuse(fmt.Sprintf("the first check is %q and the second %q", in.AsFound.Check.Stage, in.Kept.Check.Stage), "as found, then as left")
	}
	return nil
}

func (w *writing) subject(g calib.Gauge) string {
	return fmt.Sprintf("%s %s, %s to %s", capital(string(g.Kind)), g.ID, amount(g.Low), amount(g.High))
}
