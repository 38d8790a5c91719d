package main

import (
	"cmp"
	"fmt"
	"io"
	"strconv"

	"github.com/urfave/cli/v2"

	"example.org/wring/calib"
	"example.org/wring/calib/sheet"
	"example.org/wring/cmd/internal/screen"
	"example.org/wring/registry"
	"example.org/wring/uncertainty/unit"
)

func newStandard(e env) *cli.Command {
	return &cli.Command{
		Name:  "standard",
		Usage: "what gauges are checked against: add, list, show, amend, certificate",
		Subcommands: []*cli.Command{
			{Name: "add", Usage: "enter a new standard", ArgsUsage: "STANDARD",
				UsageText: `wring standard add GB-3 --kind "gauge block set" --grade 1 --material steel --interval 24`,
				Flags: append([]cli.Flag{
					text("kind", "KIND", "of standard: "+quotedList(calib.StandardKinds())),
				}, standardFlags()...), Action: entering(e, runStandardAdd)},
			{Name: "list", Usage: "list the standards", UsageText: "wring standard list", Action: reading(e, runStandardList)},
			{Name: "show", Usage: "show one standard with its certificates", ArgsUsage: "STANDARD", UsageText: "wring standard show GB-1 --values",
				Flags: []cli.Flag{switchOn("values", "show the newest certificate's values too")}, Action: reading(e, runStandardShow)},
			{Name: "amend", Usage: "correct or change a standard's record, with the reason", ArgsUsage: "STANDARD",
				UsageText: `wring standard amend GB-1 --material ceramic --reason "the set is the ceramic one"`,
				Flags:     append(standardFlags(), text("reason", "TEXT", "of the change (wanted)")), Action: entering(e, runStandardAmend)},
			{Name: "certificate", Usage: "enter a new certificate, whose values count from its date on, or amend one", ArgsUsage: "STANDARD",
				Description: "With --amends, the certificate in that entry is corrected: what the options give takes the place of what it has, the rest stays. The old entry stays too, and the checks that rest on it are named.",
				UsageText: `wring standard certificate GB-1 --number 26-0417 --laboratory "Length laboratory" --route "accredited laboratory" --date 2026-02-03 --values gb-1.csv
   wring standard certificate GB-1 --amends 5 --date 2026-01-13 --reason "the date was keyed wrongly"`,
				Flags: []cli.Flag{
					text("number", "NUMBER", "of the certificate"), text("laboratory", "NAME", "that issued it"),
					text("accreditation", "TEXT", "body and number, as on the certificate"),
					text("route", "ROUTE", "to the SI: "+quotedList(calib.Routes())),
					text("date", "DATE", "of the calibration"), text("due", "DATE", "after which it does not count; else by the interval"),
					text("values", "FILE", "of its rows in CSV: nominal, deviation or length, expanded, k, dof, grade, serial"),
					text("piston", "FILE", "of a pressure tester's area and coefficients, TOML"),
					text("remarks", "TEXT", "to keep with it"),
					text("attach", "FILE", "of the certificate itself, PDF or picture, to keep with it"),
					text("amends", "ENTRY", "of the certificate that was entered wrongly"), text("reason", "TEXT", "why it is amended"),
				}, Action: entering(e, runStandardCertificate)},
		},
	}
}

// standardFlags are the fields of a standard's record, for add and amend alike.
func standardFlags() []cli.Flag {
	return append([]cli.Flag{
		text("grade", "GRADE", "of gauge blocks, K to 2, or class of weights, E1 to M3"),
		text("density", "DENSITY", "of a set's weights, as \"7950 kg/m³\""),
		text("density-half-width", "DENSITY", "bound of its error"),
		text("resolution", "STEP", "of an instrument that is read, as \"0.1 g\""),
		text("interval", "MONTHS", "from certificate to certificate"),
		text("description", "TEXT", "in the workshop's words"), text("maker", "NAME", "of the standard"),
		text("serial", "TEXT", "number"), text("place", "PLACE", "where it is kept"), text("owner", "NAME", "whose it is"),
	}, materialFlags()...)
}

func runStandardAdd(d desk, c *cli.Context) error {
	w, err := words(c, "STANDARD")
	if err != nil {
		return err
	}
	kind, err := choice(c, "kind", calib.StandardKinds())
	if err != nil {
		return err
	}
	if err := wanted(c, "standard add", map[string]string{"kind": "one of " + quotedList(calib.StandardKinds())}, "kind"); err != nil {
		return err
	}
	if err := gradeFits(c.String("grade"), kind); err != nil {
		return err
	}
	s := calib.Standard{ID: w[0], Kind: kind, Grade: c.String("grade"), Description: c.String("description"),
		Maker: c.String("maker"), Serial: c.String("serial"), Place: c.String("place"), Owner: c.String("owner")}
	if s.IntervalMonths, err = months(c, "interval"); err != nil {
		return err
	}
	if err := first(materialFits(c, kind), materialFrom(c, &s.Material), densityFrom(c, &s), resolutionFrom(c, &s), d.shape.Check(s)); err != nil {
		return err
	}
	var seq uint64
	err = d.update(func(tx *registry.Tx) error {
		head, err := tx.AddStandard(s)
		seq = head.Seq
		return err
	})
	if err != nil {
		return err
	}
	return d.kept(seq, "%s, %s; next: its certificate, wring standard certificate %s", s.ID, s.Kind, s.ID)
}

func runStandardList(d desk, c *cli.Context) error {
	if _, err := words(c); err != nil {
		return err
	}
	list := []registry.StandardState{}
	err := d.view(func(tx *registry.Tx) error {
		return tx.Standards(func(s registry.StandardState) error { list = append(list, s); return nil })
	})
	if err != nil {
		return err
	}
	return d.answer(list, func(out io.Writer) error {
		if len(list) == 0 {
			return line(out, "no standard yet; wring standard add enters one")
		}
		t := screen.Table{Columns: []screen.Column{{Title: "standard"}, {Title: "kind"}, {Title: "grade"}, {Title: "certificate", Wrap: true}, {Title: "of"}, {Title: "due"}, {Title: "values", Align: screen.Right}}}
		for _, s := range list {
			n := cmp.Or(s.Newest, &registry.CertificateHead{Number: "none"})
			t.Add(s.Standard.ID, string(s.Standard.Kind), s.Standard.Grade, n.Number, n.Date.String(), n.Due.String(), strconv.Itoa(n.Values))
		}
		return t.Write(out)
	})
}

// A shownStandard is a standard with all of its certificates, as --json has it.
type shownStandard struct {
	Standard     calib.Standard             `json:"standard"`
	Entry        uint64                     `json:"entry"`
	Certificates []registry.KeptCertificate `json:"certificates"`
}

func runStandardShow(d desk, c *cli.Context) error {
	w, err := words(c, "STANDARD")
	if err != nil {
		return err
	}
	var shown shownStandard
	err = d.view(func(tx *registry.Tx) error {
		s, err := tx.Standard(w[0])
		if err != nil {
			return err
		}
		shown.Standard, shown.Entry = s.Standard, s.Entry
		shown.Certificates, err = tx.Certificates(w[0])
		return err
	})
	if err != nil {
		return err
	}
	return d.answer(shown, func(out io.Writer) error { return writeStandard(out, shown, c.Bool("values")) })
}

func writeStandard(out io.Writer, shown shownStandard, values bool) error {
	err := screen.Facts(out, standardFacts(shown.Standard)...)
	if err != nil || len(shown.Certificates) == 0 {
		return first(err, line(out, "no certificate yet"))
	}
	t := screen.Table{Columns: []screen.Column{{Title: "certificate"}, {Title: "date"}, {Title: "due"}, {Title: "laboratory", Wrap: true}, {Title: "route", Wrap: true}, {Title: "values", Align: screen.Right}, {Title: "entry", Align: screen.Right}, {Title: "fate", Wrap: true}}}
	var newest *calib.Certificate
	for _, k := range shown.Certificates {
		cert := k.Certificate
		t.Add(cert.Number, cert.Date.String(), cert.Due.String(), cert.Laboratory, string(cert.Route), strconv.Itoa(len(cert.Values)), strconv.FormatUint(k.Entry, 10), certificateFate(k))
		if k.AmendedBy == 0 {
			newest = &cert
		}
	}
	if err := first(line(out, ""), t.Write(out)); err != nil || !values || newest == nil {
		return err
	}
	return first(line(out, ""), valuesTable(*newest).Write(out))
}

// certificateFate says what became of a certificate; nothing of one that counts.
func certificateFate(k registry.KeptCertificate) string {
	switch {
	case k.Withdrawn:
		return fmt.Sprintf("withdrawn by entry %d", k.AmendedBy)
	case k.AmendedBy > 0:
		return fmt.Sprintf("amended by entry %d", k.AmendedBy)
	}
	return ""
}

func standardFacts(s calib.Standard) [][2]string {
	interval := ""
	if s.IntervalMonths > 0 {
		interval = plural(s.IntervalMonths, "month")
	}
	return [][2]string{{"standard", s.ID}, {"kind", string(s.Kind)}, {"description", s.Description}, {"maker", s.Maker},
		{"serial number", s.Serial}, {"grade", s.Grade}, {"material", materialText(s.Material)}, {"density", densityText(s)}, {"resolution", s.Resolution.String()}, {"interval", interval},
		{"place", s.Place}, {"owner", s.Owner}}
}

func valuesTable(cert calib.Certificate) screen.Table {
	t := screen.Table{Columns: []screen.Column{{Title: "nominal", Align: screen.Right}, {Title: "deviation", Align: screen.Right}, {Title: "U", Align: screen.Right}, {Title: "k", Align: screen.Decimal}, {Title: "grade"}}}
	for _, v := range cert.Values {
		t.Add(v.Nominal.String(), v.Deviation.String(), v.Expanded.String(), v.K, v.Grade)
	}
	return t
}

func runStandardCertificate(d desk, c *cli.Context) error {
	w, err := words(c, "STANDARD")
	if err != nil {
		return err
	}
	if c.IsSet("amends") {
		return d.amendCertificate(c, w[0])
	}
	if c.IsSet("reason") {
		return usagef("--reason: belongs to an amendment; want --amends ENTRY with it")
	}
	cert, err := certificateOf(d, c, w[0])
	if err != nil {
		return err
	}
	var kind calib.StandardKind
	if err := d.view(func(tx *registry.Tx) error {
		s, err := tx.Standard(cert.Standard)
		kind = s.Standard.Kind
		return err
	}); err != nil {
		return err
	}
	if kind.OfLength() && c.String("values") == "" {
		return usagef("standard certificate: --values is missing; want the rows of its certificate, or nominal and grade of each block where it states no values")
	}
	if cert.Values, err = valuesFrom(d, c.String("values"), kind); err != nil {
		return err
	}
	if cert.Piston, err = pistonFrom(d, c.String("piston"), kind); err != nil {
		return err
	}
	if err := d.shape.Check(cert); err != nil {
		return err
	}
	var paper []byte
	var file registry.Attachment
	if name := c.String("attach"); name != "" {
		if file, paper, err = attaching(name, "", ""); err != nil {
			return err
		}
	}
	var seq uint64
	err = d.update(func(tx *registry.Tx) error {
		head, err := tx.AddCertificate(cert)
		if seq = head.Seq; err != nil || file.Name == "" {
			return err
		}
		file.Subject, file.Entry = cert.Standard, seq
		_, err = tx.Attach(file, paper)
		return err
	})
	if err != nil {
		return err
	}
	return d.kept(seq, "certificate %s of %s counts from %s on, %s", cert.Number, cert.Standard, cert.Date, plural(len(cert.Values), "value"))
}

func certificateOf(d desk, c *cli.Context, id string) (calib.Certificate, error) {
	cert := calib.Certificate{Standard: id, Number: c.String("number"), Laboratory: c.String("laboratory"),
		Accreditation: c.String("accreditation"), Remarks: c.String("remarks")}
	var errs [3]error
	cert.Route, errs[0] = choice(c, "route", calib.Routes())
	cert.Date, errs[1] = date(c, "date", calib.Date{})
	cert.Due, errs[2] = date(c, "due", calib.Date{})
	if err := first(errs[:]...); err != nil {
		return cert, err
	}
	for _, name := range []string{"number", "laboratory", "route", "date"} {
		if c.String(name) == "" {
			return cert, usagef("standard certificate: --%s is missing; want it as on the certificate", name)
		}
	}
	return cert, certificateDates(cert, d.today())
}

func certificateDates(cert calib.Certificate, today calib.Date) error {
	switch {
	case cert.Date.After(today):
		return usagef("--date %s: lies ahead of today, %s; want the date of the calibration", cert.Date, today)
	case !cert.Due.IsZero() && cert.Due.Before(cert.Date):
		return usagef("--due %s: lies before its date, %s; want a later one", cert.Due, cert.Date)
	}
	return nil
}

// valuesFrom reads the rows of a certificate from a file; no file is no rows.
func valuesFrom(d desk, name string, kind calib.StandardKind) ([]calib.Value, error) {
	if name == "" {
		return nil, nil
	}
	shown, data, err := d.readInput(name)
	if err != nil {
		return nil, err
	}
	return sheet.ReadValues(shown, data, kind, unit.Unit{})
}
