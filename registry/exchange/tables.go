package exchange

import (
	"strconv"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/calib/table"
	"example.org/wring/registry"
	"example.org/wring/registry/journal"
	"example.org/wring/uncertainty/unit"
)

// A gather fills one table from the registry.
type gather func(*registry.Tx, *table.Table) error

// tables lists every table that is written, those that can be read again
// first. The table entries holds every kind of entry, those too that have no
// table of their own.
func tables() []struct {
	name string
	from gather
} {
	return []struct {
		name string
		from gather
	}{
		{table.Standards, standards}, {table.Certificates, certificates}, {table.Gauges, gauges}, {table.Checks, checks},
		{table.Lots, lots}, {table.Surveys, surveys},
		{"results", results}, {"plans", plans}, {"people", people}, {"intervals", intervals}, {"look-backs", lookBacks}, {"uses", uses},
		{"dispositions", dispositions}, {"attachments", attachments}, {"methods", methods}, {"thicknesses", thicknesses}, {"studies", studies}, {"study-readings", studyReadings},
		{"comparisons", comparisons}, {"settings", settings}, {"entries", entries},
	}
}

// Tables lists the tables that [Table] gathers, in their order.
func Tables() (out []string) {
	for _, t := range tables() {
		out = append(out, t.name)
	}
	return out
}

// Table gathers one table of what stands in the registry.
func Table(tx *registry.Tx, name string) (table.Table, error) {
	for _, t := range tables() {
		if t.name == name {
			out := table.Table{Name: name}
			return out, t.from(tx, &out)
		}
	}
	return table.Table{}, &Error{"table " + strconv.Quote(name), "no such table", "one of " + strings.Join(Tables(), ", ")}
}

func number(n uint64) string {
	if n == 0 {
		return ""
	}
	return strconv.FormatUint(n, 10)
}

func standards(tx *registry.Tx, t *table.Table) error {
	t.Columns = table.Heading(table.Standards)
	return tx.Standards(func(s registry.StandardState) error { t.Add(table.StandardRow(s.Standard)...); return nil })
}

func certificates(tx *registry.Tx, t *table.Table) error {
	t.Columns = table.Heading(table.Certificates)
	return tx.Standards(func(s registry.StandardState) error {
		list, err := tx.Certificates(s.Standard.ID)
		for _, k := range list {
			if k.AmendedBy > 0 { // or withdrawn: it counts no more
				continue
			}
			for _, row := range table.CertificateRows(k.Certificate) {
				t.Add(row...)
			}
		}
		return err
	})
}

func gauges(tx *registry.Tx, t *table.Table) error {
	t.Columns = table.Heading(table.Gauges)
	return tx.Gauges(func(s registry.GaugeState) error {
		l := table.GaugeLine{Gauge: s.Gauge, Status: calib.StatusChange{Status: s.Status, Date: s.Since, Reason: s.Reason}}
		switch {
		case s.Last != nil:
			l.Earlier = calib.EarlierCheck{Date: s.Last.Date, Verdict: plainVerdict(s.Last.Verdict), Certificate: certificateNumber(s.Last.Entry)}
		case s.Earlier != nil:
			e, _, err := tx.Entry(s.Earlier.Entry)
			if err != nil {
				return err
			}
			if err := decode(e, &l.Earlier); err != nil {
				return err
			}
		}
		t.Add(table.GaugeRow(l)...)
		return nil
	})
}

// plainVerdict is pass or fail for one who does not know how it was decided;
// nothing for what lies between.
func plainVerdict(v calib.Verdict) calib.Verdict {
	for _, plain := range calib.EarlierVerdicts() {
		if v == plain {
			return v
		}
	}
	return ""
}

func certificateNumber(seq uint64) string {
	return registry.Kept{Head: journal.Head{Seq: seq}}.CertificateNumber()
}

// standing calls fn with every check that stands, by gauge and in the order of
// dates.
func standing(tx *registry.Tx, fn func(registry.Kept, calib.Gauge) error) error {
	return tx.Gauges(func(s registry.GaugeState) error {
		rows, err := tx.Series(s.Gauge.ID)
		if err != nil {
			return err
		}
		for _, r := range rows {
			k, err := tx.Check(r.Entry)
			if err != nil {
				return err
			}
			if err := fn(k, s.Gauge); err != nil {
				return err
			}
		}
		return nil
	})
}

// checks writes the readings of every part.
func checks(tx *registry.Tx, t *table.Table) error {
	most := 1
	if err := standing(tx, func(k registry.Kept, _ calib.Gauge) error {
		most = max(most, table.MostReadings(k.Check.Check))
		return nil
	}); err != nil {
		return err
	}
	t.Columns = table.CheckHeading(most)
	return standing(tx, func(k registry.Kept, g calib.Gauge) error {
		for _, row := range table.CheckRows(number(k.Head.Seq), k.Check.Check, g.ReadIn(), most) {
			t.Add(row...)
		}
		return nil
	})
}

func results(tx *registry.Tx, t *table.Table) error {
	t.Columns = []string{"gauge", "date", "check", "certificate", "stage", "purpose", "part", "quantity", "at", "unit", "value", "expanded", "k", "limit_low", "limit_high",
		"probability_to_conform", "verdict"}
	return standing(tx, func(k registry.Kept, _ calib.Gauge) error {
		c, r := k.Check.Check, k.Check.Result
		head := []string{c.Gauge, c.Date.String(), number(k.Head.Seq), k.CertificateNumber(), string(c.Stage), string(c.Purpose)}
		add := func(cells ...string) { t.Add(append(append([]string{}, head...), cells...)...) }
		for _, p := range r.Points {
			limit := decimal(p.Limit)
			add(string(calib.LengthPart), "error of indication", decimal(p.Nominal), "mm", decimal(p.Error), float(p.Expanded), float(p.K), "-"+limit, limit,
				float(p.Conformance), string(p.Verdict))
		}
		for _, part := range []struct {
			name   calib.Part
			result *calib.PartResult
		}{{calib.FootPart, r.Foot}, {calib.ForcePart, r.Force}, {calib.LoadPart, r.Load}} {
			if part.result == nil {
				continue
			}
			for _, f := range part.result.Figures {
				low, high := "", ""
				if f.Low != nil {
					low = decimal(*f.Low)
				}
				if f.High != nil {
					high = decimal(*f.High)
				}
				add(string(part.name), f.Name, f.At.String(), f.Unit, decimal(f.Value), float(f.Expanded), float(f.K), low, high, float(f.Conformance), string(f.Verdict))
			}
		}
		return nil
	})
}

// decimal writes a computed number for a spreadsheet: exact where that ends,
// else to the digits of a double, since a ratio would be taken for text.
func decimal(e unit.Exact) string {
	if text := e.Shortest(); !strings.Contains(text, "/") {
		return text
	}
	return float(e.Float())
}

// float writes a number with all its digits and no exponent.
func float(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

func plans(tx *registry.Tx, t *table.Table) error {
	t.Columns = []string{"plan", "revision", "title", "kind", "unit", "points", "readings", "zero", "limit_origin", "rule", "probability", "digits", "interval", "intermediate", "entry"}
	list, err := tx.Plans()
	for _, newest := range list {
		all, other := tx.Revisions(newest.Plan.Name)
		if other != nil {
			return other
		}
		for _, k := range all {
			p := k.Plan
			var points []string
			for _, q := range p.Points {
				points = append(points, q.Number())
			}
			t.Add(p.Name, strconv.Itoa(p.Revision), p.Title, string(p.Kind), p.Unit, strings.Join(points, " "), strconv.Itoa(p.Readings), string(p.Zero), p.Limit.Origin,
				p.Rule.Name, float(p.Probability), strconv.Itoa(p.Digits), number(uint64(p.IntervalMonths)), number(uint64(p.IntermediateMonths)), number(k.Entry))
		}
	}
	return err
}
