package certs_test

import (
	"slices"
	"strings"
	"testing"

	"example.org/wring/certs"
)

// A certificate that replaces another says which, and what was amended, on its
// first page and in a part of its own (ISO/IEC 17025:2017, 7.8.8; memory).
func TestAnAmendedCertificateNamesTheOneItReplaces(t *testing.T) {
	in := micrometer()
	first, err := certs.LengthCertificate(in)
	if err != nil {
		t.Fatal(err)
	}
	in.Number = "V-000099"
	in.Replaces = &certs.Replaced{Number: "V-000008", Changes: []string{"2026-11-25, QL: temperature: 20.4 °C → 21 °C. Reason: keyed wrongly."}}
	doc, err := certs.LengthCertificate(in)
	if err != nil {
		t.Fatal(err)
	}
	outcome := doc.Parts[0].(certs.Outcome)
	if !slices.Contains(outcome.Lines, "Amended: replaces certificate V-000008, which no longer holds.") {
		t.Errorf("the result does not say what it replaces: %q", outcome.Lines)
	}
	var list *certs.List
	for _, p := range doc.Parts {
		if l, ok := p.(certs.List); ok && l.Title == "Amendment" {
			list = &l
		}
	}
	if list == nil || len(list.Items) != 2 || !strings.Contains(list.Items[0], "replaces certificate V-000008") || list.Items[1] != in.Replaces.Changes[0] {
		t.Errorf("the amendment is told as %+v", list)
	}
	if len(doc.Parts) != len(first.Parts)+1 {
		t.Errorf("%d parts, want those of the first certificate and one more, %d", len(doc.Parts), len(first.Parts)+1)
	}
}

// Where the house wants release, the paper says beside the verdict that nobody
// has released it, or who did.
func TestACertificateSaysThatNobodyReleasedIt(t *testing.T) {
	in := micrometer()
	in.Unreleased = true
	text := write(t, in)
	if !strings.Contains(text, "NOT RELEASED: a second person has yet to release this result.") {
		t.Errorf("it does not say so:\n%.600s", text)
	}
	in.Unreleased, in.Released = false, "Q. Lead"
	if text := write(t, in); strings.Contains(text, "NOT RELEASED") || !strings.Contains(text, "Released by: Q. Lead") {
		t.Errorf("released, it says\n%.600s", text)
	}
}
