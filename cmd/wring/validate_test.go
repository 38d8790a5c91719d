package main

import (
	"errors"
	"fmt"
	"os"
	"strings"
	"testing"

	"example.org/wring/calib/evidence"
	"example.org/wring/certs"
	"example.org/wring/certs/pdf"
	rendered "example.org/wring/certs/text"
)

// planted is the report of GUM H.3 in which one printed figure is another.
func planted(t *testing.T) validationAnswer {
	t.Helper()
	figures, err := evidence.Examples("H.3")
	if err != nil || len(figures) != 9 {
		t.Fatalf("%d figures, %v; want the nine of H.3", len(figures), err)
	}
	if a := validationOf(figures, machine{"go", "system"}, "2026-11-25", "H.3"); !a.Agrees {
		t.Fatalf("%+v does not agree before anything is planted", a)
	}
	f := &figures[3]
	f.Published, f.Agrees, f.Agreement = "0.00068", false, "no: rounds to 0.00067"
	return validationOf(figures, machine{"go", "system"}, "2026-11-25", "H.3")
}

func TestADisagreementIsAnsweredNo(t *testing.T) {
	a := planted(t)
	if a.Agrees || a.Published != (countAnswer{Figures: 9, Agree: 8}) {
		t.Errorf("agrees %v, %+v; want 8 of 9", a.Agrees, a.Published)
	}
	for _, c := range []struct {
		name string
		json bool
		want []string
	}{
		{"text", false, []string{"no: rounds", "8 of 9 published figures agree", "JCGM 100:2008 (GUM), H.3, thermometer's line, u(y₂): printed 0.00068, computed 0.00066794: no: rounds to 0.00067"}},
		{"json", true, []string{`"agrees": false`, `"agreement": "no: rounds to 0.00067"`}},
	} {
		e, out, _ := deskForTest("")
		err := desk{env: e, json: c.json}.report(nil, a, "", "")
		if !errors.Is(err, errNo) || exitCode(err) != exitNo {
			t.Errorf("%s: %v, status %d; want no and %d", c.name, err, exitCode(err), exitNo)
		}
		for _, want := range c.want {
			if text := strings.Join(strings.Fields(out.String()), " "); !strings.Contains(text, want) {
				t.Errorf("%s lacks %q:\n%s", c.name, want, out)
			}
		}
	}
}

func TestTheReadmeCountsThePublishedFigures(t *testing.T) {
	figures, err := evidence.Examples("")
	if err != nil {
		t.Fatal(err)
	}
	a := validationOf(figures, machine{}, "", "")
	text, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	if want := fmt.Sprintf("works %d published figures out", a.Published.Figures); !strings.Contains(string(text), want) {
		t.Errorf("README.md lacks %q", want)
	}
}

func TestThePaperLiftsADisagreementOut(t *testing.T) {
	a := planted(t)
	text, err := rendered.Render(a.document("EK", certs.A4), 100)
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"not all agree", "8 of 9", "does not agree: no: rounds to 0.00067", "EK", "built with", "system"} {
		if !strings.Contains(oneLine(text), strings.ToLower(want)) {
			t.Errorf("the paper lacks %q:\n%s", want, text)
		}
	}
	r, err := pdf.New()
	if err != nil {
		t.Fatal(err)
	}
	if data, err := r.Render(a.document("EK", certs.A4)); err != nil || len(data) == 0 {
		t.Errorf("%d bytes of PDF, %v; want some", len(data), err)
	}
}
