package main

import (
	"fmt"
	"math"
	"math/rand/v2"

	"example.org/wring/calib"
	"example.org/wring/calib/history"
	"example.org/wring/calib/length"
	"example.org/wring/calib/limits"
	"example.org/wring/calib/sheet"
	"example.org/wring/uncertainty/unit"
)

// checksEach is how many yearly checks a gauge sees.
const checksEach = 6

// A workshop checks the gauges of one model by one plan with one set of blocks.
type workshop struct {
	model model
	gauge calib.Gauge
	plan  calib.Plan
}

func open(m model) (workshop, error) {
	data, ok := limits.Preset(m.preset)
	if !ok {
		return workshop{}, fmt.Errorf("preset %q: not built in; want one that is", m.preset)
	}
	p, err := sheet.ReadPlan(m.preset, data)
	if err != nil {
		return workshop{}, err
	}
	p.Revision = 1
	steel, _ := limits.Material("steel")
	g := calib.Gauge{ID: "G", Kind: p.Kind, Unit: "mm", Plan: p.Name, Material: steel, Low: unit.Must(m.low, unit.Length),
		High: unit.Must(m.high, unit.Length), Resolution: unit.Must(m.step, unit.Length)}
	return workshop{m, g, p}, nil
}

// A life is what is true of one gauge, which no check sees as it is. Errors in
// mm, time in years.
type life struct {
	w     workshop
	story story
	draw  *rand.Rand

	limit       float64   // the smallest of the plan, mm
	far         float64   // that at its largest point, mm
	zero, scale float64   // at the first check: mm, and mm at the far end
	sign        float64   // of what is added
	curve       []float64 // fixed error at each point, mm
	checks      []history.Check
	blocks      []float64 // error of the blocks' certificate at each point, mm; new every second year
}

func newLife(w workshop, s story, seed uint64) *life {
	g := &life{w: w, story: s, draw: rand.New(rand.NewPCG(seed, 7)), limit: math.Inf(1)}
	for _, at := range w.plan.Points {
		mpe, _ := w.plan.Limit.At(at.Inner())
		g.far = mpe.Float()
		g.limit = math.Min(g.limit, g.far)
	}
	g.zero = 0.15 * g.limit * g.uniform()
	g.scale = 0.15 * g.limit * g.uniform()
	g.sign = math.Copysign(1, g.uniform())
	for range w.plan.Points {
		g.curve = append(g.curve, w.model.curve*g.limit*g.draw.NormFloat64())
	}
	return g
}

// all makes every check of the gauge.
func (g *life) all() error {
	for n := range checksEach {
		c, err := g.check(n)
		if err != nil {
			return err
		}
		g.checks = append(g.checks, c)
	}
	return nil
}

func (g *life) low() float64 { return g.w.gauge.Low.Inner().Float() }

// uniform is a number from −1 to 1.
func (g *life) uniform() float64 { return 2*g.draw.Float64() - 1 }

// off is the true error at a point after so many intervals, without what the
// zero does at one check.
func (g *life) off(j int, intervals float64) float64 {
	low, high := g.w.gauge.Low.Inner().Float(), g.w.gauge.High.Inner().Float()
	share := (g.w.plan.Points[j].Inner().Float() - low) / (high - low)
	e := g.zero + g.scale*share + g.curve[j]
	e += g.sign * intervals * (g.limit*g.story.zero + g.far*g.story.scale*share)
	if intervals > 2.5 {
		e += g.sign * g.limit * g.story.jump
	}
	return e
}

// blockU is the expanded uncertainty of a block in mm, k = 2, of the invented
// certificates: 0.06 µm and 0.5 µm/m.
func blockU(mm float64) float64 { return 0.06e-3 + 0.5e-6*mm }

// check makes check number n of the gauge and evaluates it.
func (g *life) check(n int) (history.Check, error) {
	year := 2020 + n
	date := calib.MustDate(fmt.Sprintf("%d-06-15", year)).AddDays(int(30 * g.uniform()))
	if n%2 == 0 {
		g.blocks = g.blocks[:0]
		common := g.draw.NormFloat64()
		for _, at := range g.w.plan.Points {
			g.blocks = append(g.blocks, common*blockU(at.Inner().Float())/2)
		}
	}
	c, basis := g.bench(date, n)
	r, err := length.Evaluate(c, basis)
	if err != nil {
		return history.Check{}, err
	}
	return history.Check{Entry: uint64(n + 1), Date: date, Stage: c.Stage, Basis: basis.Standards[0].Certificate.Number,
		Points: history.Points(r)}, nil
}

// bench takes the readings, and says what they rest on.
func (g *life) bench(date calib.Date, n int) (calib.Check, calib.Basis) {
	steel, _ := limits.Material("steel")
	cert := calib.Certificate{Standard: "B", Number: fmt.Sprint("c", n/2), Date: calib.MustDate(fmt.Sprintf("%d-02-01", 2020+n-n%2))}
	temperature := unit.Must(fmt.Sprintf("%.1f °C", 20+0.8*g.uniform()), unit.Temperature)
	apart := 0.5 * g.plan(calib.TemperatureDifference) * g.uniform() // the plan's figure bounds it with room
	c := calib.Check{Gauge: "G", Plan: g.w.plan.Name, Revision: 1, Stage: calib.AsFound, Date: date, Person: "P", Standards: []string{"B"},
		Conditions: calib.Conditions{Gauge: temperature}}
	set := 0.0
	if g.story.reset {
		set = 0.5 * g.step() * g.uniform()
	}
	if g.w.plan.Zero != calib.ZeroNone {
		for range 3 {
			c.Zero = append(c.Zero, g.reading(g.w.gauge.Low.Inner().Float(), g.zero+set))
		}
	}
	for j, at := range g.w.plan.Points {
		mm := at.Inner().Float()
		cert.Values = append(cert.Values, calib.Value{Nominal: at, Deviation: unit.Must("0 µm", unit.Length),
			Expanded: unit.Must(fmt.Sprintf("%.6f mm", blockU(mm)), unit.Length), K: "2", Grade: "1"})
		e := g.off(j, float64(n)) + set + g.blocks[j] + mm*11.5e-6*apart
		if g.story.unseen > 0 {
			e += g.story.unseen * g.step() * g.draw.NormFloat64()
		}
		p := calib.Point{Nominal: at, Blocks: []calib.BlockUse{{Standard: "B", Nominal: at}}}
		for range g.w.plan.Readings {
			p.Readings = append(p.Readings, g.reading(mm, e))
		}
		c.Points = append(c.Points, p)
	}
	standard := calib.Standard{ID: "B", Kind: calib.BlockSet, Grade: "1", Material: steel}
	thermometer := calib.Standard{ID: "T", Kind: calib.Thermometer}
	c.Standards = append(c.Standards, "T")
	return c, calib.Basis{Gauge: g.w.gauge, Status: calib.InService, Plan: g.w.plan, Standards: []calib.StandardOnDay{
		{Standard: standard, Certificate: cert},
		{Standard: thermometer, Certificate: calib.Certificate{Standard: "T", Number: "t", Date: calib.MustDate("2019-01-01")}}}}
}

// plan is the half-width that the plan gives a contribution, in its inner unit.
func (g *life) plan(kind calib.ContributionKind) float64 {
	for _, c := range g.w.plan.Contributions {
		if c.Kind == kind {
			return c.HalfWidth.Inner().Float()
		}
	}
	return 0
}

func (g *life) step() float64 { return g.w.gauge.Resolution.Inner().Float() }

// reading is what the gauge shows on a true size, scattered and rounded to its
// step.
func (g *life) reading(mm, e float64) calib.Reading {
	step, scatter := g.w.gauge.Resolution, g.w.model.scatter*g.step()
	if g.story.still > 0 {
		scatter *= g.story.still
	}
	steps := math.Round((mm + e + scatter*g.draw.NormFloat64()) / g.step())
	return calib.Reading{Indication: unit.Of(step.Value().Mul(unit.Whole(int64(steps))), step.Unit())}
}
