package sheet

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/calib/limits"
	"example.org/wring/uncertainty/unit"
)

// implausible is how many times the limit of the widest grade a block may be
// off before its row is taken for one in the wrong unit (house rule: the usual
// slip, µm read as mm, is a factor of a thousand).
const implausible = 10

// mostValues is how many rows a certificate may have, as [calib.Certificate]
// says.
const mostValues = 400

// ReadValues reads the values of a certificate from CSV; the package comment
// shows its columns. Nominal and value without a unit, in cell or heading, are
// in fallback; deviation and expanded must have one.
//
// All lines that cannot be used are reported, each a [*LineError], joined.
func ReadValues(name string, data []byte, kind calib.StandardKind, fallback unit.Unit) ([]calib.Value, error) {
	data, err := clean(name, data)
	if err != nil {
		return nil, err
	}
	rows, err := readRows(name, string(data))
	if err != nil {
		return nil, err
	}
	t := valueTable{name: name, kind: kind, firstOn: map[string]int{}}
	if err := t.heading(rows[0], fallback); err != nil {
		return nil, err
	}
	switch n := len(rows) - 1; {
	case n == 0:
		return nil, &LineError{Name: name, Err: errors.New("no row under the heading; want one for each value")}
	case n > mostValues:
		return nil, &LineError{Name: name, Err: fmt.Errorf("%d rows; want at most %d in one certificate", n, mostValues)}
	}
	var out []calib.Value
	for _, r := range rows[1:] {
		v, err := t.value(r)
		if err != nil {
			t.faults = append(t.faults, &LineError{Name: name, Line: r.line, Err: err})
		}
		out = append(out, v)
	}
	if len(t.faults) > 0 {
		return nil, errors.Join(t.faults...)
	}
	return out, nil
}

// A valueTable reads rows under one heading.
type valueTable struct {
	name    string
	kind    calib.StandardKind
	columns []valueColumn
	firstOn map[string]int // line of each nominal value, by its exact text
	faults  []error
}

// A valueColumn is one column of the heading; unit is zero where none is known.
type valueColumn struct {
	name      string
	dimension unit.Dimension // empty for columns that are no quantity
	unit      unit.Unit
}

// heading reads the names of the columns and their units.
func (t *valueTable) heading(h row, fallback unit.Unit) error {
	at := Field{line: h.line}
	for _, cell := range h.cells {
		c, err := t.column(cell, fallback)
		switch {
		case err != nil:
			return at.fault(t.name, err)
		case t.has(c.name):
			return at.fault(t.name, fmt.Errorf("column %q for the second time; want it once", c.name))
		}
		t.columns = append(t.columns, c)
	}
	switch {
	case !t.has("nominal"):
		return at.fault(t.name, errors.New("no column nominal; want nominal, deviation or value, expanded, k, or nominal and grade"))
	case t.has("deviation") && t.has("value"):
		return at.fault(t.name, errors.New("columns for deviation and value; want one of them"))
	}
	return nil
}

func (t *valueTable) has(name string) bool {
	return slices.ContainsFunc(t.columns, func(c valueColumn) bool { return c.name == name })
}

// column reads one heading, as "deviation (um)".
func (t *valueTable) column(cell string, fallback unit.Unit) (valueColumn, error) {
	name, symbol, inUnit := strings.Cut(cell, "(")
	name = strings.ToLower(strings.TrimSpace(name))
	switch name {
	case "u":
		name = "expanded"
	case "length", "mass", "indication":
		name = "value"
	case "class":
		name = "grade"
	case "mark":
		name = "serial"
	}
	c := valueColumn{name: name, dimension: t.kind.Dimension()}
	apart := c.dimension
	if apart == unit.Temperature {
		apart = unit.TemperatureDifference
	}
	switch name {
	case "nominal", "value":
		c.unit = fallback
	case "deviation", "expanded":
		c.dimension = apart
	case "k", "dof", "grade", "serial":
		c.dimension = ""
	default:
		return c, fmt.Errorf("column %q: want nominal, deviation or value, expanded, k, dof, grade, serial", clip(cell))
	}
	if !inUnit {
		return c, nil
	}
	symbol = strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(symbol), ")"))
	u, ok := unit.Lookup(symbol, c.dimension)
	if !ok {
		return c, fmt.Errorf("column %q: no unit of a %s; want one, as %s", clip(cell), cmp.Or(string(c.dimension), "bare number"), c.example())
	}
	c.unit = u
	return c, nil
}

func (c valueColumn) example() string {
	switch c.dimension {
	case unit.Length:
		return c.name + " (um)"
	case unit.Temperature, unit.TemperatureDifference:
		return c.name + " (°C)"
	case unit.Mass:
		return c.name + " (mg)"
	case unit.Force:
		return c.name + " (N)"
	default:
		return c.name
	}
}

// cells are the cells of one row by the name of their column.
type cells map[string]string

func (t *valueTable) value(r row) (calib.Value, error) {
	if len(r.cells) > len(t.columns) {
		return calib.Value{}, fmt.Errorf("%d cells under %d columns; want no decimal comma", len(r.cells), len(t.columns))
	}
	in := cells{}
	for i, c := range r.cells {
		if name := t.columns[i].name; name != "serial" && name != "grade" && zeroLed(c) {
			return calib.Value{}, fmt.Errorf("%s "+zeroLedFault, name, c)
		}
		in[t.columns[i].name] = c
	}
	v := calib.Value{K: in["k"], Grade: in["grade"], Serial: in["serial"]}
	for _, step := range []func(*calib.Value, cells) error{t.nominal, t.deviation, t.expanded, coverage, t.grade, t.plausible} {
		if err := step(&v, in); err != nil {
			return calib.Value{}, err
		}
	}
	key := v.Nominal.Inner().Shortest()
	if t.kind == calib.WeightSet { // two alike are told apart by their marks
		key += " " + v.Serial
	}
	if first, twice := t.firstOn[key]; twice {
		return calib.Value{}, fmt.Errorf("nominal %s for the second time, first on line %d; want each once", v.Nominal, first)
	}
	t.firstOn[key] = r.line
	return v, nil
}

// quantity reads one cell; an empty one is not given.
func (t *valueTable) quantity(in cells, name string) (unit.Quantity, error) {
	if in[name] == "" {
		return unit.Quantity{}, nil
	}
	i := slices.IndexFunc(t.columns, func(c valueColumn) bool { return c.name == name })
	c := t.columns[i]
	q, err := unit.Parse(in[name], c.dimension, c.unit)
	if err != nil {
		return q, fmt.Errorf("%s %w", name, err)
	}
	return q, nil
}

func (t *valueTable) nominal(v *calib.Value, in cells) (err error) {
	v.Nominal, err = t.quantity(in, "nominal")
	switch {
	case err != nil:
		return err
	case v.Nominal.IsZero():
		return errors.New("nominal: nothing given; want the nominal value")
	case t.kind.OfLength() && v.Nominal.Inner().Sign() <= 0:
		return fmt.Errorf("nominal %q: not above 0; want a length", clip(in["nominal"]))
	}
	return nil
}

// deviation reads the deviation, or takes it from the value, exactly.
func (t *valueTable) deviation(v *calib.Value, in cells) (err error) {
	if v.Deviation, err = t.quantity(in, "deviation"); err != nil || !v.Deviation.IsZero() {
		return err
	}
	value, err := t.quantity(in, "value")
	if err != nil || value.IsZero() {
		return err
	}
	u := value.Unit()
	if u.Dimension() == unit.Temperature {
		u, _ = unit.Lookup(u.Symbol(), unit.TemperatureDifference)
	}
	difference := value.Inner().Sub(v.Nominal.Inner())
	v.Deviation = unit.Of(difference.Quo(u.Factor()), u)
	return nil
}

func (t *valueTable) expanded(v *calib.Value, in cells) (err error) {
	v.Expanded, err = t.quantity(in, "expanded")
	switch {
	case err != nil:
		return err
	case v.Deviation.IsZero() && v.Expanded.IsZero() && v.K == "" && v.Grade == "":
		return errors.New("neither a value nor a grade; want deviation, expanded and k, or a grade")
	case v.Deviation.IsZero() && !v.Expanded.IsZero():
		return fmt.Errorf("expanded %q without a deviation; want both", clip(in["expanded"]))
	case !v.Deviation.IsZero() && v.Expanded.IsZero():
		return errors.New("expanded: nothing given; want the expanded uncertainty of the deviation")
	case !v.Expanded.IsZero() && v.Expanded.Inner().Sign() <= 0:
		return fmt.Errorf("expanded %q: not above 0; want the expanded uncertainty", clip(in["expanded"]))
	}
	return nil
}

// coverage reads k and the degrees of freedom, which both belong to expanded.
func coverage(v *calib.Value, in cells) error {
	switch {
	case v.Expanded.IsZero() && v.K != "":
		return fmt.Errorf("k %q without an expanded uncertainty; want both", clip(v.K))
	case v.Expanded.IsZero() && in["dof"] != "":
		return fmt.Errorf("dof %q without an expanded uncertainty; want both", clip(in["dof"]))
	case v.Expanded.IsZero():
		return nil
	case v.K == "":
		return errors.New("k: nothing given; want the coverage factor of expanded, above 0")
	}
	k, err := bareNumber(v.K)
	switch {
	case err != nil:
		return fmt.Errorf("k %w", err)
	case k.Sign() <= 0:
		return fmt.Errorf("k %q: not above 0; want the coverage factor", clip(v.K))
	case slices.Contains([]string{"", "inf", "∞"}, in["dof"]):
		return nil // U/k is taken as exact
	}
	dof, err := bareNumber(in["dof"])
	switch {
	case err != nil:
		return fmt.Errorf("dof %w", err)
	case dof.Cmp(unit.Whole(1)) < 0:
		return fmt.Errorf("dof %q: below 1; want the degrees of freedom, or inf", clip(in["dof"]))
	}
	v.DoF = in["dof"]
	return nil
}

func (t *valueTable) grade(v *calib.Value, _ cells) error {
	switch {
	case v.Grade == "":
	case t.kind == calib.WeightSet:
		if v.Deviation.IsZero() { // of a weight that has a value the class says nothing more
			_, err := limits.Weight(v.Grade, v.Nominal)
			return err
		}
		if !slices.Contains(calib.WeightClasses(), v.Grade) {
			return fmt.Errorf("class %q: want one of %s", clip(v.Grade), strings.Join(calib.WeightClasses(), ", "))
		}
	case !slices.Contains([]string{"K", "0", "1", "2"}, v.Grade):
		return fmt.Errorf("grade %q: want K, 0, 1 or 2", clip(v.Grade))
	}
	return nil
}

// plausible refuses a block that is off by more than any grade could explain.
func (t *valueTable) plausible(v *calib.Value, in cells) error {
	if !t.kind.OfLength() {
		return nil
	}
	most := widest(v.Nominal.Inner()).Mul(unit.Whole(implausible))
	for _, part := range []struct {
		name string
		q    unit.Quantity
	}{{"deviation", v.Deviation}, {"expanded", v.Expanded}} {
		if part.q.Inner().Abs().Cmp(most) > 0 {
			return fmt.Errorf("%s %s: more than %d times what grade 2 allows at %s; want another unit, or the row looked at again",
				part.name, part.q, implausible, v.Nominal)
		}
	}
	return nil
}

// widest is the limit of grade 2 at a length in mm, that of the table's nearest
// row where the length lies outside it.
func widest(length unit.Exact) unit.Exact {
	low, high := unit.Ratio(1, 2), unit.Whole(1000) // the ends of ISO 3650:1998, table 5
	switch {
	case length.Cmp(low) < 0:
		length = low
	case length.Cmp(high) > 0:
		length = high
	}
	te, _, _ := limits.BlockGrade("2", length)
	return te
}
