package calib

import (
	"fmt"
	"math/big"

	"example.org/wring/uncertainty/unit"
)

// A BreakKind says what is missing at a link of a chain of calibrations.
type BreakKind string

// The kinds. A chain is whole where each link is documented and contributes to
// the uncertainty (metrological traceability, JCGM 200:2012, 2.41).
const (
	BreakNoCertificate BreakKind = "no certificate"
	BreakOutOfDate     BreakKind = "out of date"
	BreakNoValue       BreakKind = "no value"
	BreakNoUncertainty BreakKind = "no uncertainty"
	BreakRoute         BreakKind = "route not shown"

	// BreakReplaced is that of a certificate which was amended or withdrawn
	// after it was used: only the registry knows it.
	BreakReplaced BreakKind = "counts no more"
)

// A Break is a link at which a chain does not hold.
type Break struct {
	Kind BreakKind `json:"kind"`
	Text string    `json:"text"` // what was found and what is wanted
}

// Breaks says where the link from a use of the standard on a day to the SI does
// not hold; nothing if it does. Used are the nominal values that were used;
// files is how many files are kept with the certificate, which
// is the evidence where the laboratory is not accredited.
func (s StandardOnDay) Breaks(day Date, used []unit.Quantity, files int) []Break {
	c := s.Certificate
	if c.Number == "" {
		return []Break{{BreakNoCertificate, fmt.Sprintf("no certificate counts on %s; want one", day)}}
	}
	var out []Break
	if !c.Covers(day) {
		out = append(out, Break{BreakOutOfDate, fmt.Sprintf("certificate %s was due on %s, before %s; want one that covers the day", c.Number, c.Due, day)})
	}
	for _, nominal := range used {
		v, found := c.Find(nominal.Inner())
		at := nominal.String()
		switch {
		case !found:
			out = append(out, Break{BreakNoValue, fmt.Sprintf("%s is not on certificate %s; want a row for it", at, c.Number)})
		case !v.Calibrated():
			out = append(out, Break{BreakNoValue, fmt.Sprintf("%s has a grade and no value on certificate %s; want a value with its uncertainty", at, c.Number)})
		case v.Expanded.IsZero():
			out = append(out, Break{BreakNoUncertainty, fmt.Sprintf("%s has no uncertainty on certificate %s; want U and k", at, c.Number)})
		}
	}
	return append(out, c.routeBreaks(files)...)
}

// routeBreaks holds the certificate to its route (ILAC-P10:07/2020; clauses
// from memory): an accredited laboratory by its accreditation, another one by
// evidence that is kept.
func (c Certificate) routeBreaks(files int) []Break {
	switch {
	case c.Route == ByInstitute, c.Route == ByHouse:
		return nil
	case c.Route == ByAccredited && c.Accreditation == "":
		return []Break{{BreakRoute, fmt.Sprintf("no accreditation of %s is recorded; want body and number, as on the certificate", c.Laboratory)}}
	case c.Route == ByEvidence && files == 0:
		return []Break{{BreakRoute, fmt.Sprintf("no evidence is kept for %s, which is not accredited; want it attached", c.Laboratory)}}
	case c.Route != ByAccredited && c.Route != ByEvidence:
		return []Break{{BreakRoute, fmt.Sprintf("the route %q is not known; want one of those in the registry's list", string(c.Route))}}
	}
	return nil
}

// StandardUncertainties returns the smallest and the largest U/k of the
// certificate's rows, in the inner unit of its quantity, and how many rows have
// one. Exact: k is taken as typed.
func (c Certificate) StandardUncertainties() (least, most unit.Exact, n int) {
	for _, v := range c.Values {
		k, ok := new(big.Rat).SetString(v.K)
		if v.Expanded.IsZero() || !ok || k.Sign() <= 0 {
			continue
		}
		u := v.Expanded.Inner().Quo(unit.FromRat(k))
		if n == 0 || u.Cmp(least) < 0 {
			least = u
		}
		if n == 0 || u.Cmp(most) > 0 {
			most = u
		}
		n++
	}
	return least, most, n
}
