package main

import (
	"embed"
	"errors"
	"fmt"
	"hash/fnv"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"example.org/wring/calib"
	"example.org/wring/calib/limits"
	"example.org/wring/calib/sheet"
	"example.org/wring/certs"
	"example.org/wring/registry"
	"example.org/wring/uncertainty/unit"
)

//go:embed demo/*.csv
var demoFiles embed.FS

func newDemo(e env) *cli.Command {
	return &cli.Command{
		Name:      "demo",
		Usage:     "build a registry of an invented workshop, to look at and to try things in",
		ArgsUsage: "DIR",
		UsageText: "wring demo --sheet testdata/demo/mic-014.toml demo",
		Flags:     []cli.Flag{text("sheet", "FILE", "of a check to log into it at once, with its certificate")},
		Action:    reading(e, runDemo),
	}
}

func runDemo(d desk, c *cli.Context) error {
	w, err := words(c, "DIR")
	if err != nil {
		return err
	}
	checkSheet, err := demoSheet(d, c.String("sheet"))
	if err != nil {
		return err
	}
	if err := os.MkdirAll(w[0], 0o777); err != nil {
		return plainPathError(err)
	}
	d.registry = filepath.Join(w[0], "workshop.wring")
	b := builder{desk: d}
	err = b.build()
	if errors.Is(err, registry.ErrExists) {
		return &hinted{err, "nothing was changed; give another DIR"}
	}
	if err != nil {
		return err
	}
	a := demoAnswer{Registry: d.registry, Entries: b.entries, Gauges: len(demoGauges), Invented: true}
	if checkSheet == nil {
		return d.answer(a, b.summary)
	}
	if !d.json {
		if err := b.summary(d.Out); err != nil {
			return err
		}
	}
	if err := b.logSheet(checkSheet, w[0], &a); err != nil {
		return &hinted{err, "the registry stands; the check was not kept"}
	}
	return first(d.answer(a, a.writeCheck), verdictStatus(a.Check.result))
}

// A demoAnswer is what --json says of a demonstration.
type demoAnswer struct {
	Registry    string       `json:"registry"`
	Entries     int          `json:"entries"`
	Gauges      int          `json:"gauges"`
	Invented    bool         `json:"invented"`
	Check       *checkAnswer `json:"check,omitempty"`
	Certificate string       `json:"certificate,omitempty"` // file
}

func (a demoAnswer) writeCheck(out io.Writer) error {
	return first(line(out, ""), writeCheck(out, *a.Check, ""),
		line(out, "\nentry %d: check of %s kept\n%s: its certificate", a.Check.Entry, a.Check.Gauge, a.Certificate))
}

// demoSheet reads the sheet that is to be logged, and wants in it what an
// option would give elsewhere.
func demoSheet(d desk, name string) (*sheet.CheckSheet, error) {
	if name == "" {
		return nil, nil
	}
	shown, data, err := d.readInput(name)
	if err != nil {
		return nil, err
	}
	s, err := sheet.ReadCheck(shown, data)
	if err != nil {
		return nil, err
	}
	if !s.Date.Given() || !s.Person.Given() || !s.Gauge.Given() {
		return nil, fmt.Errorf("%s: gauge, date or person is missing; want all three in a sheet for the demonstration", s.Name)
	}
	if _, err := calib.ParseDate(s.Date.Text); err != nil {
		return nil, inSheet(s, s.Date, err)
	}
	if !slices.ContainsFunc(demoGauges, func(g demoGauge) bool { return g.id == s.Gauge.Text }) {
		return nil, inSheet(s, s.Gauge, fmt.Errorf("gauge %q: not in the demonstration; want one of its gauges, as MIC-014", s.Gauge.Text))
	}
	return s, nil
}

// A builder fills the demonstration's registry through the same steps as a
// person, with a clock that stands at each stated date.
type builder struct {
	desk
	entries int
}

// at sets the clock to the morning of a day and says who works.
func (b *builder) at(day, person string) {
	d := calib.MustDate(day)
	morning, _ := time.Parse(time.DateOnly, d.String())
	b.Now = func() time.Time { return morning.Add(9 * time.Hour) }
	b.person = person
}

func (b *builder) build() error {
	b.at("2022-10-03", "MH")
	if err := registry.Create(b.registry, demoHouse, b.hand()); err != nil {
		return err
	}
	b.entries = 1
	if err := first(b.plans(), b.standards()); err != nil {
		return err
	}
	for _, e := range b.story() {
		b.at(e.date, e.person)
		if err := e.do(); err != nil {
			return fmt.Errorf("%s: %w", e.date, err)
		}
	}
	return b.count()
}

// An event is one thing that happened in the invented workshop on a day.
type event struct {
	date, person string
	do           func() error
}

// story lists what happened after the first day, in the order of its dates, so
// that the clock never runs backward.
func (b *builder) story() []event {
	var all []event
	for _, s := range demoStandards {
		for _, day := range s.dates[1:] { // the first ones came with the standards
			all = append(all, event{day, "MH", func() error { return b.certificate(s, day) }})
		}
	}
	for _, g := range demoGauges {
		all = append(all, event{g.registered, "MH", func() error { return b.gauge(g) }})
		for _, c := range g.checks {
			all = append(all, event{c.date, c.person, func() error {
				_, err := b.logCheck(g.id, g.sheet(c))
				return err
			}})
		}
	}
	all = append(all, event{"2026-10-19", "JV", b.incident})
	all = append(all, b.goodsIn()...)
	for _, d := range demoStudies {
		all = append(all, event{d.date, "MH", func() error { return b.studied(d) }})
	}
	slices.SortStableFunc(all, func(x, y event) int { return strings.Compare(x.date, y.date) })
	return all
}

// count sets the number of entries to what the journal has: some brought others
// with them.
func (b *builder) count() error {
	return b.view(func(tx *registry.Tx) error {
		head, err := tx.Head()
		b.entries = int(head.Seq)
		return err
	})
}

// enter makes one transaction of one entry.
func (b *builder) enter(fn func(*registry.Tx) error) error {
	b.entries++
	return b.update(fn)
}

func (b *builder) plans() error {
	for _, name := range demoPlans {
		p, err := presetPlan(name)
		if err != nil {
			return err
		}
		if err := b.enter(func(tx *registry.Tx) error { _, err := tx.AddPlan(p); return err }); err != nil {
			return err
		}
	}
	return nil
}

func (b *builder) standards() error {
	for _, s := range demoStandards {
		b.at("2022-10-03", "MH")
		if s.material != "" {
			s.standard.Material, _ = limits.Material(s.material)
		}
		if err := b.enter(func(tx *registry.Tx) error { _, err := tx.AddStandard(s.standard); return err }); err != nil {
			return err
		}
		if err := b.certificate(s, s.dates[0]); err != nil {
			return err
		}
	}
	return nil
}

func (b *builder) certificate(s demoStandard, day string) error {
	cert := calib.Certificate{Standard: s.standard.ID, Number: fmt.Sprintf("%s-%s", s.standard.ID, day[:4]), Laboratory: s.laboratory,
		Route: s.route, Date: calib.MustDate(day), Remarks: "invented"}
	if s.route == calib.ByAccredited {
		cert.Accreditation = "invented, no. 000"
	}
	if s.values != "" {
		data, err := demoFiles.ReadFile(s.values)
		if err != nil {
			return err
		}
		if cert.Values, err = sheet.ReadValues(s.values, data, s.standard.Kind, unit.Unit{}); err != nil {
			return err
		}
	}
	return b.enter(func(tx *registry.Tx) error { _, err := tx.AddCertificate(cert); return err })
}

func (b *builder) gauge(g demoGauge) error {
	u, _ := unit.Lookup(g.unit, unit.Length)
	parse := func(s string) unit.Quantity { return unit.Must(s+" "+u.Symbol(), unit.Length) }
	record := calib.Gauge{ID: g.id, Kind: g.kind, Description: g.description, Place: g.place, Unit: g.unit,
		Low: parse(g.low), High: parse(g.high), Resolution: parse(g.resolution), Plan: g.plan, DueAgreed: true}
	record.Material, _ = limits.Material("steel")
	if g.id == feltGauge {
		record.FootDiameter, record.FootExpanded = unit.Must("10.00 mm", unit.Length), unit.Must("0.01 mm", unit.Length)
	}
	return b.enter(func(tx *registry.Tx) error { _, err := tx.AddGauge(record); return err })
}

// logCheck works a sheet out and keeps it, as the command check does.
func (b *builder) logCheck(id string, s *sheet.CheckSheet) (*checkJob, error) {
	p := &preparation{sheet: s, day: calib.MustDate(s.Date.Text)}
	if err := b.view(func(tx *registry.Tx) error { return p.lookUp(tx, id) }); err != nil {
		return nil, err
	}
	job, err := p.resolve(b.desk)
	if err != nil {
		return nil, err
	}
	return job, b.enter(func(tx *registry.Tx) error {
		_, err := tx.KeepCheck(job.kept())
		return err
	})
}

// sheet writes the readings that a gauge with such an error curve would show.
// They hang on nothing but the gauge's identity and the date.
func (g demoGauge) sheet(c demoCheck) *sheet.CheckSheet {
	h := fnv.New64a()
	io.WriteString(h, g.id+c.date+string(c.stage))
	draw := rand.New(rand.NewPCG(h.Sum64(), 0))
	f := func(s string) sheet.Field { return sheet.Field{Text: s} }
	s := &sheet.CheckSheet{Name: g.id, Gauge: f(g.id), Date: f(c.date), Person: f(c.person), Stage: f(string(c.stage)),
		Temperature: f(c.temperature), Standards: []sheet.Field{f(g.set), f("TH-1")}}
	p, err := presetPlan(g.plan)
	if err != nil {
		panic(err) // presets are held whole by a test
	}
	u, _ := unit.Lookup(g.unit, unit.Length)
	step := unit.Must(g.resolution+" "+u.Symbol(), unit.Length)
	low := unit.Must(g.low+" "+u.Symbol(), unit.Length)
	if p.Zero != calib.ZeroNone {
		for range 3 {
			s.Zero = append(s.Zero, f(low.In(u).Text(step.Places())))
		}
	}
	for _, at := range p.Points {
		row := sheet.PointRow{At: f(at.String())}
		for range p.Readings {
			mm := at.Inner().Float()
			off := c.zeroUM + c.perMM*(mm-low.Inner().Float()) + c.spreadUM*draw.NormFloat64()
			steps := unit.FromFloat((mm + off/micrometres) / step.Inner().Float()).Text(0)
			whole, _ := unit.Parse(steps, unit.Percent, percent())
			row.Readings = append(row.Readings, f(u.From(whole.Value().Mul(step.Inner())).Text(step.Places())))
		}
		s.Points = append(s.Points, row)
	}
	return s
}

// incident is what happened to one gauge between two checks.
func (b *builder) incident() error {
	return b.enter(func(tx *registry.Tx) error {
		_, err := tx.ChangeStatus(calib.StatusChange{Gauge: "THK-005", Status: calib.Quarantined, Date: calib.MustDate("2026-10-19"), Reason: "fell from the goods-in table"})
		return err
	})
}

func (b *builder) summary(out io.Writer) error {
	return line(out, `%s:
the registry of an invented workshop, %s from 2022 to 2026.
House, people, gauges, laboratories and every figure in it are made up.
%s, %s, %s. Look around:
   wring --registry %s due
   wring --registry %s drift
   wring --registry %s history MIC-021
   wring --registry %s lot show %s
   wring --registry %s lookback %s
   wring --registry %s study list`, b.registry, plural(b.entries, "entry"), plural(len(demoGauges), "gauge"), plural(len(demoStandards), "standard"), plural(len(demoPlans), "plan"), b.registry, b.registry, b.registry, b.registry, feltLot, b.registry, feltGauge, b.registry)
}

// logSheet logs the check that was handed in and writes its certificate.
func (b *builder) logSheet(s *sheet.CheckSheet, dir string, a *demoAnswer) error {
	b.at(s.Date.Text, s.Person.Text)
	job, err := b.logCheck(s.Gauge.Text, s)
	if err != nil {
		return err
	}
	var in certs.CertificateOf
	if err := b.view(func(tx *registry.Tx) (err error) { in, _, err = certificateParts(tx, s.Gauge.Text); return err }); err != nil {
		return err
	}
	in.Paper = certs.A4
	data, err := setCertificate(in, true)
	if err != nil {
		return err
	}
	shown := shownCheck(job, in.Kept.Sequence)
	a.Check, a.Entries, a.Certificate = &shown, b.entries, filepath.Join(dir, in.Number+".pdf")
	return writeWhole(a.Certificate, data)
}
