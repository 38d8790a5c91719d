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

	// For a paper, which asks for nothing: Found is what was found, a clause. Where At
	// names a nominal value, Found says of it what follows "is".
	At    string `json:"-"`
	Found string `json:"-"`
}

// broken is a break that is not about one nominal value.
func broken(kind BreakKind, want, found string, about ...any) Break {
	found = fmt.Sprintf(found, about...)
	return Break{Kind: kind, Text: found + "; want " + want, Found: found}
}

// Breaks says where the link from a use of the standard on a day to the SI does
// not hold; nothing if it does. Used are the nominal values that were used;
// files is how many files are kept with the certificate, which
// is the evidence where the laboratory is not accredited.
func (s StandardOnDay) Breaks(day Date, used []unit.Quantity, files int) []Break {
	c := s.Certificate
	if c.Number == "" {
		return []Break{broken(BreakNoCertificate, "one", "no certificate counts on %s", day)}
	}
	var out []Break
	if !c.Covers(day) {
		out = append(out, broken(BreakOutOfDate, "one that covers the day", "certificate %s was due on %s, before %s", c.Number, c.Due, day))
	}
	for _, nominal := range used {
		v, found := c.Find(nominal.Inner())
		at := nominal.String()
		switch {
		case !found:
			out = append(out, Break{BreakNoValue, fmt.Sprintf("%s is not on certificate %s; want a row for it", at, c.Number), at, "not on certificate " + c.Number})
		case !v.Calibrated():
			out = append(out, Break{BreakNoValue, fmt.Sprintf("%s has a grade and no value on certificate %s; want a value with its uncertainty", at, c.Number), at, "without a value, by grade only, on certificate " + c.Number})
		case v.Expanded.IsZero():
			out = append(out, Break{BreakNoUncertainty, fmt.Sprintf("%s has no uncertainty on certificate %s; want U and k", at, c.Number), at, "without an uncertainty on certificate " + c.Number})
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
		return []Break{broken(BreakRoute, "body and number, as on the certificate", "no accreditation of %s is recorded", c.Laboratory)}
	case c.Route == ByEvidence && files == 0:
		return []Break{broken(BreakRoute, "it attached", "no evidence is kept for %s, which is not accredited", c.Laboratory)}
	case c.Route != ByAccredited && c.Route != ByEvidence:
		return []Break{broken(BreakRoute, "one of those in the registry's list", "the route %q is not known", string(c.Route))}
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
