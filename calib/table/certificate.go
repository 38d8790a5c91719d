package table

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/calib/sheet"
	"example.org/wring/uncertainty/unit"
)

// The columns that are the same on every line of a certificate, those of its
// rows, and those of a piston as the table and as a piston's sheet have them.
func certificateHead() []string {
	return []string{"laboratory", "route", "date", "due", "accreditation", "remarks"}
}

func certificateValue() []string {
	return []string{"nominal", "deviation", "value", "expanded", "k", "dof", "grade", "serial"}
}

func pistonColumns() [][2]string {
	return [][2]string{{"area", "area"}, {"area_expanded", "area_expanded"}, {"area_k", "k"}, {"distortion", "distortion"}, {"piston_expansion", "expansion"},
		{"carrier", "carrier"}, {"carrier_expanded", "carrier_expanded"}, {"head", "head"}, {"head_half_width", "head_half_width"}, {"fluid", "fluid"}, {"fluid_half_width", "fluid_half_width"},
		{"distortion_expanded", "distortion_expanded"}, {"piston_expansion_expanded", "expansion_expanded"}, {"tension", "tension"}, {"tension_half_width", "tension_half_width"}}
}

// Certificate reads the lines of one certificate of a standard of that kind. A
// single line without a nominal value is a certificate without values.
func (g Group) Certificate(kind calib.StandardKind) (calib.Certificate, error) {
	r := g.First()
	c := calib.Certificate{Standard: r.ID(), Number: r.text("number"), Laboratory: r.text("laboratory"), Accreditation: r.text("accreditation"), Remarks: r.text("remarks")}
	var errs [3]error
	errs[0] = word(r, "route", calib.Routes(), &c.Route)
	c.Date, errs[1] = r.date("date")
	c.Due, errs[2] = r.date("due")
	if err := first(append([]error{g.agree(certificateHead()...)}, errs[:]...)...); err != nil {
		return c, r.fault(err)
	}
	for _, column := range []string{"number", "laboratory", "route", "date"} {
		if r.text(column) == "" {
			return c, r.fault(fmt.Errorf("%s: nothing given; want it as on the certificate", column))
		}
	}
	if !c.Due.IsZero() && c.Due.Before(c.Date) {
		return c, r.fault(fmt.Errorf("due: %s lies before its date, %s; want a later one", c.Due, c.Date))
	}
	var err error
	if c.Piston, err = g.piston(kind); err != nil {
		return c, err
	}
	c.Values, err = g.values(kind)
	return c, err
}

func (g Group) values(kind calib.StandardKind) ([]calib.Value, error) {
	given := slices.DeleteFunc(certificateValue(), func(c string) bool {
		return !slices.ContainsFunc(g.records, func(r Record) bool { return r.text(c) != "" })
	})
	switch {
	case len(given) == 0 && kind.OfLength():
		return nil, g.First().fault(errors.New("nominal: nothing given; want a line for each block, with its grade where the certificate states no values"))
	case len(given) == 0:
		return nil, nil
	case !slices.Contains(given, "nominal"):
		return nil, g.First().fault(errors.New("nominal: nothing given; want the nominal value"))
	}
	text, err := g.sheetOf(given, "")
	if err != nil {
		return nil, err
	}
	values, err := sheet.ReadValues(g.First().file.Name, []byte(text), kind, unit.Unit{})
	return values, g.Placed(err)
}

// piston reads what the certificate of a pressure tester states, which no other
// kind has.
func (g Group) piston(kind calib.StandardKind) (*calib.Piston, error) {
	var text strings.Builder
	r := g.First()
	for _, c := range pistonColumns() {
		if r.count(c[0]) > 0 {
			v, err := r.sheetCell(c[0], 0)
			if err != nil {
				return nil, err
			}
			fmt.Fprintf(&text, "%s = %q\n", c[1], v)
		}
	}
	switch tester := kind == calib.PressureTester; {
	case tester && text.Len() == 0:
		return nil, r.fault(errors.New("area: nothing given; want the effective area of its certificate"))
	case !tester && text.Len() > 0:
		return nil, r.fault(fmt.Errorf("area: belongs to a pressure tester, not to the kind %s; want none", kind))
	case !tester:
		return nil, nil
	}
	p, err := sheet.ReadPiston(r.file.Name, []byte("format = 1\n"+text.String()))
	var at *sheet.LineError
	if errors.As(err, &at) {
		err = fmt.Errorf("%s: %w", at.Where, at.Err)
	}
	return &p, r.fault(err)
}

// CertificateRows is the inverse of [Group.Certificate].
func CertificateRows(c calib.Certificate) [][]string {
	head := []string{c.Standard, c.Number, c.Laboratory, string(c.Route), c.Date.String(), c.Due.String(), c.Accreditation, c.Remarks}
	var piston []string
	if p := c.Piston; p != nil {
		piston = []string{p.Area.String(), p.AreaExpanded.String(), p.K, p.Distortion.String(), p.Expansion.String(), p.Carrier.String(),
			p.CarrierExpanded.String(), p.Head.String(), p.HeadHalfWidth.String(), p.Fluid.String(), p.FluidHalfWidth.String(),
			p.DistortionExpanded.String(), p.ExpansionExpanded.String(), p.Tension.String(), p.TensionHalfWidth.String()}
	}
	if len(c.Values) == 0 {
		const ofValues = 10 // columns
		return [][]string{append(append(head, make([]string, ofValues)...), piston...)}
	}
	var out [][]string
	for _, v := range c.Values {
		out = append(out, slices.Concat(head, []string{v.Nominal.Number(), v.Nominal.Unit().Symbol(), bare(v.Deviation, v.Deviation.Unit()), v.Deviation.Unit().Symbol(), "",
			bare(v.Expanded, v.Deviation.Unit()), v.K, v.DoF, v.Grade, v.Serial}, piston))
	}
	return out
}
