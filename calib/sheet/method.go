package sheet

import (
	"strconv"

	"example.org/wring/calib"
	"example.org/wring/calib/survey"
	"example.org/wring/uncertainty/unit"
)

// ReadMethod reads a method of thickness from its written form; the package
// comment shows it. Every size carries its unit. The revision is not written
// and stays 0. A method that cannot be used is refused with a [*LineError].
func ReadMethod(name string, data []byte) (survey.Method, error) {
	top, err := openTOML(name, "a method", data)
	if err != nil {
		return survey.Method{}, err
	}
	m := readMethod(top)
	top.close()
	if top.fault.err != nil {
		return survey.Method{}, top.fault.err
	}
	if err := m.Sound(); err != nil {
		return survey.Method{}, &LineError{Name: name, Err: err}
	}
	return m, nil
}

func readMethod(f *form) survey.Method {
	m := survey.Method{
		Name: f.need("name").Text, Title: f.need("title").Text, Material: f.field("material").Text,
		Source: f.need("source").Text, Mark: word(f, f.need("mark"), survey.Marks()), Note: f.field("note").Text,
		Report: survey.ReportMean, Resolution: aboveZero(f, f.field("resolution"), unit.Length, unit.Unit{}),
		Accuracy: aboveZero(f, f.field("accuracy"), unit.Length, unit.Unit{}),
	}
	if v := f.field("report"); v.Given() {
		m.Report = word(f, v, survey.Reports())
	}
	foot := f.sub("foot", "a foot")
	m.Foot.Shape = foot.field("shape").Text
	m.Foot.Diameter = bandOf(foot, "diameter", unit.Length)
	m.Foot.Area = bandOf(foot, "area", unit.Area)
	foot.close()
	readPressure(f, &m)
	dwell := f.sub("dwell", "a dwell")
	if f.has("dwell") {
		seconds, tolerance := dwell.need("seconds"), dwell.field("tolerance")
		m.Dwell = survey.Dwell{Seconds: dwell.number(seconds, 0), Tolerance: dwell.number(tolerance, 0), Origin: dwell.field("origin").Text}
		if !(m.Dwell.Seconds > 0 && m.Dwell.Seconds <= 3600) {
			dwell.refuse(seconds, "%q: want seconds, above 0 and at most an hour", clip(seconds.Text))
		}
	}
	dwell.close()
	m.Places = readPlaces(f.sub("places", "the places"))
	millimetre, _ := unit.Lookup("mm", unit.Length)
	for _, t := range f.subs("contribution", "a contribution") {
		c := readContribution(t, millimetre)
		if c.Kind != calib.OtherEffect && c.Kind != calib.Mechanical {
			t.refuse(t.place(), "%q: gauge, places and pressure have lines of their own; want %q or %q", clip(string(c.Kind)), calib.OtherEffect, calib.Mechanical)
		}
		m.Contributions = append(m.Contributions, c)
	}
	return m
}

// bandOf reads a table of limits that may be left out.
func bandOf(f *form, key string, d ...unit.Dimension) calib.Band {
	t := f.sub(key, "limits")
	if !f.has(key) {
		return calib.Band{}
	}
	return readBand(t, d)
}

func readPressure(f *form, m *survey.Method) {
	t := f.sub("pressure", "a pressure")
	if !f.has("pressure") {
		return
	}
	dims := []unit.Dimension{unit.Pressure, unit.Force, unit.Mass}
	nominal := t.field("nominal")
	m.Nominal = t.anyQuantity(nominal, dims, unit.Unit{})
	m.Pressure = readBand(t, dims)
	switch {
	case m.Nominal.IsZero() || m.Pressure.IsZero():
	case m.Nominal.Unit().Dimension() != m.Pressure.Dimension():
		t.refuse(nominal, "%q: of another kind than the band; want a %s", clip(nominal.Text), m.Pressure.Dimension())
	}
}

func readPlaces(f *form) survey.Places {
	least := f.need("least")
	p := survey.Places{Least: f.whole(least, 1), Readings: f.whole(f.field("readings"), 1), EdgeFree: aboveZero(f, f.field("edge_free"), unit.Length, unit.Unit{}),
		Layout: f.field("layout").Text, Origin: f.field("origin").Text}
	if p.Least < 1 {
		f.refuse(least, "%q: want 1 or more", clip(least.Text))
	}
	for i, t := range f.subs("by_width", "a width") {
		upTo := t.field("up_to")
		row := survey.WidthRow{UpTo: aboveZero(t, upTo, unit.Length, unit.Unit{}), Least: t.whole(t.need("least"), 1)}
		if i > 0 && !row.UpTo.IsZero() && row.UpTo.Inner().Cmp(p.ByWidth[i-1].UpTo.Inner()) <= 0 {
			t.refuse(upTo, "%s: not above %s before it; want the widths ascending", row.UpTo, p.ByWidth[i-1].UpTo)
		}
		t.close()
		p.ByWidth = append(p.ByWidth, row)
	}
	f.close()
	return p
}

// WriteMethod writes a method so that [ReadMethod] reads it back. The revision
// stands in a comment only.
func WriteMethod(m survey.Method) []byte {
	w := &writer{}
	if m.Revision > 0 {
		w.WriteString("# revision " + strconv.Itoa(m.Revision) + "\n")
	}
	w.bare("format", "1")
	w.text("name", m.Name)
	w.text("title", m.Title)
	w.text("material", m.Material)
	w.text("source", m.Source)
	w.text("mark", string(m.Mark))
	w.text("note", m.Note)
	w.text("report", string(m.Report))
	w.quantity("resolution", m.Resolution)
	w.quantity("accuracy", m.Accuracy)
	if !m.Foot.IsZero() {
		w.table("[foot]")
		w.text("shape", m.Foot.Shape)
		w.band("[foot.diameter]", m.Foot.Diameter)
		w.band("[foot.area]", m.Foot.Area)
	}
	if !m.Pressure.IsZero() {
		w.band("[pressure]", m.Pressure)
		w.quantity("nominal", m.Nominal)
	}
	if !m.Dwell.IsZero() {
		w.table("[dwell]")
		w.float("seconds", m.Dwell.Seconds)
		w.float("tolerance", m.Dwell.Tolerance)
		w.text("origin", m.Dwell.Origin)
	}
	w.table("[places]")
	w.bare("least", strconv.Itoa(m.Places.Least))
	w.bare("readings", strconv.Itoa(m.Places.Readings))
	w.quantity("edge_free", m.Places.EdgeFree)
	w.text("layout", m.Places.Layout)
	w.text("origin", m.Places.Origin)
	for _, r := range m.Places.ByWidth {
		w.table("[[places.by_width]]")
		w.quantity("up_to", r.UpTo)
		w.bare("least", strconv.Itoa(r.Least))
	}
	for _, c := range m.Contributions {
		w.contribution("[[contribution]]", c)
	}
	return w.Bytes()
}
