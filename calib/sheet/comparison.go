package sheet

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/calib/agreement"
	"example.org/wring/uncertainty/unit"
)

// A ComparisonSheet is a comparison as it was handed in, every value still
// text. A caller may replace any field by one with only its Text set.
type ComparisonSheet struct {
	Name string // as handed in, for messages

	Title, Date, Person, Remarks, Unit, PerDoubling Field

	A, B      PartySheet
	Specimens []SpecimenRow
}

// A PartySheet is what a sheet says of one party.
type PartySheet struct {
	Name, Gauge, Instrument, Method, Foot, FootArea, Pressure, Dwell Field

	Lines []LineSheet
}

// A LineSheet is one line of a party's budget: its part of the standard
// uncertainty, or of the expanded one with its k.
type LineSheet struct{ Name, Standard, Expanded, K, Source Field }

// A SpecimenRow is what a sheet says of one specimen.
type SpecimenRow struct{ Name, A, UA, KA, B, UB, KB Field }

func (s *ComparisonSheet) refuse(at Field, format string, args ...any) error {
	return at.fault(s.Name, fmt.Errorf(format, args...))
}

// ReadComparison reads a comparison sheet, CSV where the name ends so or the
// first line is its heading, else TOML; the package comment shows both. It
// looks at form only: [ComparisonSheet.Comparison] resolves the values.
// Refusals are [*LineError].
func ReadComparison(name string, data []byte) (*ComparisonSheet, error) {
	data, err := clean(name, data)
	if err != nil {
		return nil, err
	}
	if startsWith(name, string(data), "specimen") {
		return readComparisonCSV(name, string(data))
	}
	f, err := openTOML(name, "a comparison sheet", data)
	if err != nil {
		return nil, err
	}
	s := &ComparisonSheet{Name: name, Title: f.field("title"), Date: f.field("date"), Person: f.field("person"), Remarks: f.field("remarks"),
		Unit: f.field("unit"), PerDoubling: f.field("per_doubling"), A: readParty(f.sub("a", "a party")), B: readParty(f.sub("b", "a party"))}
	for _, t := range f.subs("specimen", "a specimen") {
		s.Specimens = append(s.Specimens, SpecimenRow{t.need("name"), t.need("a"), t.need("a_expanded"), t.field("a_k"), t.need("b"), t.need("b_expanded"), t.field("b_k")})
		t.close()
	}
	f.close()
	return s, f.fault.err
}

func readParty(f *form) PartySheet {
	p := PartySheet{Name: f.need("name"), Gauge: f.field("gauge"), Instrument: f.field("instrument"), Method: f.field("method"),
		Foot: f.field("foot"), FootArea: f.field("foot_area"), Pressure: f.field("pressure"), Dwell: f.field("dwell")}
	for _, t := range f.subs("line", "a line of a budget") {
		p.Lines = append(p.Lines, LineSheet{t.need("name"), t.field("standard"), t.field("expanded"), t.field("k"), t.field("source")})
		t.close()
	}
	f.close()
	return p
}

func readComparisonCSV(name, text string) (*ComparisonSheet, error) {
	s := &ComparisonSheet{Name: name}
	k := keyed{name, "a comparison sheet", []string{"title", "date", "person", "remarks", "unit", "per_doubling"},
		[]*Field{&s.Title, &s.Date, &s.Person, &s.Remarks, &s.Unit, &s.PerDoubling}}
	for side, p := range map[string]*PartySheet{"a": &s.A, "b": &s.B} {
		k.keys = append(k.keys, side)
		k.fields = append(k.fields, &p.Name)
		for key, field := range map[string]*Field{"gauge": &p.Gauge, "instrument": &p.Instrument, "method": &p.Method, "foot": &p.Foot,
			"foot_area": &p.FootArea, "pressure": &p.Pressure, "dwell": &p.Dwell} {
			k.keys, k.fields = append(k.keys, side+"_"+key), append(k.fields, field)
		}
	}
	k.sorted()
	if err := k.read(text); err != nil {
		return nil, err
	}
	rows, err := readRows(name, text)
	if err != nil {
		return nil, err
	}
	may := []string{"specimen", "a", "a_expanded", "a_k", "b", "b_expanded", "b_k"}
	columns, err := k.heading(rows[0], may, nil)
	if err != nil {
		return nil, err
	}
	for _, need := range []string{"specimen", "a", "a_expanded", "b", "b_expanded"} {
		if !slices.Contains(columns, need) {
			return nil, s.refuse(Field{line: rows[0].line}, "no column %s; want specimen,a,a_expanded,b,b_expanded", need)
		}
	}
	for _, r := range rows[1:] {
		if err := s.takeRow(r, columns); err != nil {
			return nil, err
		}
	}
	return s, nil
}

// sorted puts the keys in one order, for messages.
func (k *keyed) sorted() {
	type pair struct {
		key   string
		field *Field
	}
	var all []pair
	for i, key := range k.keys {
		all = append(all, pair{key, k.fields[i]})
	}
	slices.SortFunc(all, func(a, b pair) int { return cmp.Compare(a.key, b.key) })
	for i, p := range all {
		k.keys[i], k.fields[i] = p.key, p.field
	}
}

func (s *ComparisonSheet) takeRow(r row, columns []string) error {
	where := fmt.Sprintf("specimen %d", len(s.Specimens)+1)
	if len(r.cells) > len(columns) {
		return s.refuse(Field{line: r.line, where: where}, "%d cells under %d columns; want no decimal comma", len(r.cells), len(columns))
	}
	var x SpecimenRow
	into := map[string]*Field{"specimen": &x.Name, "a": &x.A, "a_expanded": &x.UA, "a_k": &x.KA, "b": &x.B, "b_expanded": &x.UB, "b_k": &x.KB}
	for i, cell := range r.cells {
		if columns[i] != "specimen" && zeroLed(cell) {
			return s.refuse(Field{line: r.line, where: where}, zeroLedFault, cell)
		}
		*into[columns[i]] = Field{Text: cell, line: r.line, where: where + ": " + strings.ReplaceAll(columns[i], "_", " ")}
	}
	for _, need := range []string{"specimen", "a", "a_expanded", "b", "b_expanded"} {
		if strings.TrimSpace(into[need].Text) == "" {
			return s.refuse(Field{line: r.line, where: where}, "no %s; want it in every row", strings.ReplaceAll(need, "_", " "))
		}
	}
	s.Specimens = append(s.Specimens, x)
	return nil
}

// Comparison turns the sheet into a comparison. Sizes without a unit are in the
// unit of the sheet, which must then have one. It refuses, with a [*LineError],
// what [agreement.Comparison.Sound] does.
func (s *ComparisonSheet) Comparison() (agreement.Comparison, error) {
	out := agreement.Comparison{Title: s.Title.Text, Person: s.Person.Text, Remarks: s.Remarks.Text}
	switch {
	case !s.Date.Given():
		return out, s.refuse(Field{}, "date: nothing given; write year-month-day, as 2026-03-02")
	case !s.Person.Given():
		return out, s.refuse(Field{}, "person: nothing given; want who compared")
	}
	day, err := calib.ParseDate(s.Date.Text)
	if err != nil {
		return out, plain(s.Date).fault(s.Name, err)
	}
	out.Date = day
	r := comparisonReader{name: s.Name}
	if s.Unit.Given() {
		r.unit(s.Unit)
	}
	out.A, out.B = r.party(s.A), r.party(s.B)
	for _, row := range s.Specimens {
		out.Specimens = append(out.Specimens, agreement.Specimen{Name: strings.TrimSpace(row.Name.Text),
			A: agreement.Value{Size: r.size(row.A), Expanded: r.size(row.UA), K: r.number(row.KA)},
			B: agreement.Value{Size: r.size(row.B), Expanded: r.size(row.UB), K: r.number(row.KB)}})
	}
	if s.PerDoubling.Given() {
		out.PerDoubling = r.size(s.PerDoubling)
	}
	if r.err != nil {
		return out, r.err
	}
	if err := out.Sound(); err != nil {
		return out, Field{}.fault(s.Name, err)
	}
	return out, nil
}

// A comparisonReader reads values and keeps the first fault.
type comparisonReader struct {
	name string
	in   unit.Unit
	err  error
}

func (r *comparisonReader) keep(at Field, err error) {
	if err != nil && r.err == nil {
		r.err = at.fault(r.name, err)
	}
}

// dimensions are what a gauge can be read in.
func dimensions() []unit.Dimension {
	return []unit.Dimension{unit.Length, unit.Force, unit.Mass, unit.Pressure}
}

func (r *comparisonReader) unit(v Field) {
	for _, d := range dimensions() {
		if u, ok := unit.Lookup(strings.TrimSpace(v.Text), d); ok {
			r.in = u
			return
		}
	}
	r.keep(v, fmt.Errorf("%q: no unit that a gauge is read in; want one, as mm or in", clip(v.Text)))
}

func (r *comparisonReader) size(v Field) unit.Quantity {
	q, err := unit.ParseAny(v.Text, dimensions(), r.in)
	r.keep(v, err)
	return q
}

func (r *comparisonReader) given(v Field, d unit.Dimension) unit.Quantity {
	if !v.Given() {
		return unit.Quantity{}
	}
	q, err := unit.Parse(v.Text, d, unit.Unit{})
	r.keep(v, err)
	return q
}

// number reads a bare number above 0; 0 where none is given.
func (r *comparisonReader) number(v Field) float64 {
	if strings.TrimSpace(v.Text) == "" {
		return 0
	}
	n, err := bareNumber(v.Text)
	if err == nil && n.Sign() <= 0 {
		err = fmt.Errorf("%q: not above 0; want a number above it", clip(v.Text))
	}
	r.keep(v, err)
	return n.Float()
}

func (r *comparisonReader) party(p PartySheet) agreement.Party {
	out := agreement.Party{Name: p.Name.Text, Gauge: p.Gauge.Text, Instrument: p.Instrument.Text, Method: p.Method.Text,
		FootDiameter: r.given(p.Foot, unit.Length), FootArea: r.given(p.FootArea, unit.Area), Pressure: r.given(p.Pressure, unit.Pressure)}
	if p.Name.Text == "" {
		r.keep(p.Name, fmt.Errorf("a party without a name; want both named"))
	}
	dwell := p.Dwell
	dwell.Text = strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(dwell.Text), "s"))
	out.Dwell = r.number(dwell)
	for _, l := range p.Lines {
		out.Budget = append(out.Budget, r.line(l))
	}
	return out
}

func (r *comparisonReader) line(l LineSheet) agreement.BudgetLine {
	out := agreement.BudgetLine{Name: l.Name.Text, Source: l.Source.Text}
	switch {
	case l.Standard.Given() == l.Expanded.Given():
		r.keep(l.Name, fmt.Errorf("%s: want a standard uncertainty, or an expanded one with its k", clip(l.Name.Text)))
	case l.Standard.Given():
		out.Standard = r.size(l.Standard)
	default:
		whole, k := r.size(l.Expanded), r.number(l.K)
		if !(k > 0) {
			r.keep(l.Expanded, fmt.Errorf("%q: an expanded uncertainty without k; want both", clip(l.Expanded.Text)))
			return out
		}
		out.Standard = unit.Of(unit.Decimal(whole.Value().Float()/k), whole.Unit())
	}
	return out
}
