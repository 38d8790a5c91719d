package calib

import (
	"fmt"
	"testing"

	"example.org/wring/uncertainty/unit"
)

func TestAChainBreaksWhereALinkIsNotDocumented(t *testing.T) {
	mm := func(s string) unit.Quantity { return unit.Must(s, unit.Length) }
	good := Certificate{Standard: "GB-1", Number: "26-1", Laboratory: "L", Accreditation: "A 1", Route: ByAccredited,
		Date: MustDate("2026-02-03"), Due: MustDate("2028-02-03"), Values: []Value{
			{Nominal: mm("10 mm"), Deviation: mm("0.03 um"), Expanded: mm("0.06 um"), K: "2"},
			{Nominal: mm("20 mm"), Grade: "1"},
			{Nominal: mm("30 mm"), Deviation: mm("0.1 um")},
			{Nominal: mm("40 mm"), Deviation: mm("0 um"), Expanded: mm("0.12 um"), K: "2.4"},
		}}
	with := func(fn func(*Certificate)) Certificate { c := good; fn(&c); return c }
	for _, c := range []struct {
		name  string
		cert  Certificate
		day   string
		used  []int64
		files int
		want  string
	}{
		{"whole", good, "2026-11-16", []int64{10, 40}, 0, ""},
		{"first and last day", good, "2028-02-03", nil, 0, ""},
		{"none", Certificate{}, "2026-11-16", []int64{10}, 0, "no certificate: no certificate counts on 2026-11-16; want one"},
		{"out of date", good, "2028-02-04", []int64{10}, 0, "out of date: certificate 26-1 was due on 2028-02-03, before 2028-02-04; want one that covers the day"},
		{"not on it", good, "2026-11-16", []int64{11}, 0, "no value: 11 mm is not on certificate 26-1; want a row for it"},
		{"grade only", good, "2026-11-16", []int64{20}, 0, "no value: 20 mm has a grade and no value on certificate 26-1; want a value with its uncertainty"},
		{"no uncertainty", good, "2026-11-16", []int64{30}, 0, "no uncertainty: 30 mm has no uncertainty on certificate 26-1; want U and k"},
		{"accreditation", with(func(c *Certificate) { c.Accreditation = "" }), "2026-11-16", nil, 0, "route not shown: no accreditation of L is recorded; want body and number, as on the certificate"},
		{"institute", with(func(c *Certificate) { c.Accreditation, c.Route = "", ByInstitute }), "2026-11-16", nil, 0, ""},
		{"no evidence", with(func(c *Certificate) { c.Route = ByEvidence }), "2026-11-16", nil, 0, "route not shown: no evidence is kept for L, which is not accredited; want it attached"},
		{"evidence", with(func(c *Certificate) { c.Route = ByEvidence }), "2026-11-16", nil, 1, ""},
		{"unknown route", with(func(c *Certificate) { c.Route = "a friend" }), "2026-11-16", nil, 1, `route not shown: the route "a friend" is not known; want one of those in the registry's list`},
	} {
		var used []unit.Quantity
		for _, n := range c.used {
			used = append(used, mm(fmt.Sprint(n, " mm")))
		}
		got := ""
		for _, b := range (StandardOnDay{Certificate: c.cert}).Breaks(MustDate(c.day), used, c.files) {
			got += fmt.Sprintf("%s: %s", b.Kind, b.Text)
		}
		if got != c.want {
			t.Errorf("%s:\ngot  %s\nwant %s", c.name, got, c.want)
		}
	}
}

// By hand: 0.06 µm / 2 = 0.03 µm and 0.12 µm / 2.4 = 0.05 µm.
func TestStandardUncertaintyIsTheExpandedOneOverItsFactor(t *testing.T) {
	q := func(s string) unit.Quantity { return unit.Must(s, unit.Length) }
	c := Certificate{Values: []Value{{Expanded: q("0.12 um"), K: "2.4"}, {Expanded: q("0.06 um"), K: "2"}, {Grade: "1"}, {Expanded: q("1 um"), K: "0"}}}
	least, most, n := c.StandardUncertainties()
	if n != 2 || least.Shortest() != "0.00003" || most.Shortest() != "0.00005" {
		t.Errorf("%s to %s mm in %d rows, want 0.00003 to 0.00005 mm in 2", least.Shortest(), most.Shortest(), n)
	}
}
