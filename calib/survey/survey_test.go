package survey

import (
	"encoding/csv"
	"errors"
	"fmt"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/unit"
)

func length(s string) unit.Quantity { return unit.Must(s, unit.Length) }

// feltBasis is an inch gauge for pad felt, checked at four sizes and under its
// foot, and a lot of felt; everything in it is invented.
func feltBasis() Basis {
	g := calib.Gauge{ID: "THK-005", Kind: calib.ThicknessGauge, Unit: "in", Low: length("0 in"), High: length("0.5 in"), Resolution: length("0.001 in")}
	sizes := &Checked{Entry: 40, Plan: calib.Plan{Zero: calib.ZeroRecorded}, Check: calib.Check{Date: calib.MustDate("2026-06-01"), Stage: calib.AsFound}, Result: calib.Result{Verdict: "pass"}}
	for _, p := range []struct{ at, err string }{{"0.1", "0"}, {"0.15", "0.0002"}, {"0.25", "0.0006"}, {"0.4", "0.0006"}} {
		sizes.Check.Points = append(sizes.Check.Points, calib.Point{Nominal: length(p.at + " in"), Readings: readings("in", p.at, p.at, p.at)})
		sizes.Result.Points = append(sizes.Result.Points, calib.PointResult{Nominal: length(p.at + " in").Inner(), Error: length(p.err + " in").Inner(), Limit: length("0.002 in").Inner(),
			S: 0.005, Standard: 0.008, Verdict: "pass"})
	}
	foot := &Checked{Entry: 41, Check: calib.Check{Date: calib.MustDate("2026-06-01")}, Result: calib.Result{Verdict: "pass", Foot: &calib.PartResult{Verdict: "pass"}}}
	for _, p := range []struct {
		way, at string
		kPa     float64
	}{{"lowering", "2 mm", 40}, {"lifting", "2 mm", 41}, {"lowering", "6 mm", 42}, {"lifting", "6 mm", 43}} {
		foot.Result.Foot.Figures = append(foot.Result.Foot.Figures, calib.Figure{Name: "pressure, " + p.way, At: length(p.at), Unit: "kPa", Value: unit.Decimal(p.kPa), Standard: 0.2})
	}
	return Basis{Gauge: g, Status: calib.InService, Sizes: sizes, Foot: foot,
		Method: Method{Name: "hand-lifted", Revision: 1, Title: "t", Source: "common practice", Mark: CommonPractice, Report: ReportMean, Resolution: length("0.001 in"),
			Pressure: calib.Band{Low: unit.Must("5 psi", unit.Pressure), High: unit.Must("7 psi", unit.Pressure)}, Places: Places{Least: 5, Readings: 1}},
		Lot: Lot{ID: "FELT-1", Revision: 1, Material: "felt", Form: Sheet, Width: length("300 mm"), Length: length("500 mm"), Unit: "in", Rule: calib.Rule{Name: "simple acceptance"}}}
}

func readings(u string, typed ...string) (out []calib.Reading) {
	for _, t := range typed {
		out = append(out, calib.Reading{Indication: length(t + " " + u)})
	}
	return out
}

// gridded is a survey on an even grid, one reading in each cell, row by row.
func gridded(columns int, typed ...string) Survey {
	s := Survey{Lot: "FELT-1", Method: "hand-lifted", Revision: 1, Gauge: "THK-005", Date: calib.MustDate("2026-07-01"), Person: "JV",
		Grid: &Grid{Columns: columns, Rows: len(typed) / columns}}
	for i, t := range typed {
		s.Places = append(s.Places, Place{Name: s.Grid.Cell(i%columns, i/columns), Readings: readings("in", strings.Fields(t)...)})
	}
	return s
}

func evaluated(t *testing.T, s Survey, b Basis) Result {
	t.Helper()
	r, err := Evaluate(s, b)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s: %.9g; want %.9g", what, got, want)
	}
}

// The log law by least squares against NumPy (testdata/published, own).
func TestCompressionRunAgainstAnotherLibrary(t *testing.T) {
	f, err := os.Open("../../testdata/published/survey_oracle.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, r := range rows[1:] {
		what, ok := strings.CutPrefix(r[0], "log law ")
		if !ok {
			continue
		}
		var run []Press
		for step := range strings.FieldsSeq(r[1]) {
			p, l, _ := strings.Cut(step, ":")
			run = append(run, Press{unit.Must(p+" kPa", unit.Pressure), length(l + " mm")})
		}
		c, err := FitCompression(run, 1e-6)
		if err != nil {
			t.Fatal(err)
		}
		want, _ := strconv.ParseFloat(r[2], 64)
		near(t, r[0]+" of "+r[1], map[string]float64{"a": c.A, "b": c.B, "u(b)": c.Standard}[what], want, 1e-9*math.Max(1, math.Abs(want)))
		n++
	}
	if n < 9 {
		t.Errorf("%d figures; want three runs", n)
	}
}

// Own: two pressures give the slope through both, known as well as one step is
// read at either end.
func TestTwoPressuresHaveTheUncertaintyOfReading(t *testing.T) {
	c, err := FitCompression([]Press{{unit.Must("1 kPa", unit.Pressure), length("5 mm")}, {unit.Must("10 kPa", unit.Pressure), length("4.9 mm")}}, 0.01)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "b", c.B, -0.1/math.Ln10, 1e-12)
	near(t, "u(b)", c.Standard, 0.01/math.Sqrt(12)*math.Sqrt2/math.Ln10, 1e-12)
	if _, err := FitCompression([]Press{{unit.Must("1 kPa", unit.Pressure), length("5 mm")}}, 0.01); err == nil {
		t.Error("one pressure is no run")
	}
}

// Own, by hand: error 0.0004 in at 0.2 in, half way between the points 0.15
// and 0.25 in with 0.0002 and 0.0006 in; both u are 0.008 mm, and it may bend
// by half their difference.
func TestGaugeErrorIsInterpolatedBetweenTestPoints(t *testing.T) {
	b := feltBasis()
	c := b.errorAt(0.2 * 25.4)
	near(t, "error", c.err, 0.0004*25.4, 1e-12)
	near(t, "u", c.u, 0.008, 1e-12)
	near(t, "bend", c.bend, 0.0002*25.4, 1e-12)
	if at := b.errorAt(0.15 * 25.4); at.bend != 0 || at.beyond {
		t.Errorf("at a test point: %+v", at)
	}
	for _, in := range []float64{0.09, 0.41} {
		if !b.errorAt(in * 25.4).beyond {
			t.Errorf("%v in lies beyond what was checked", in)
		}
	}
	b.Sizes.Plan.Zero = calib.ZeroSubtracted
	if c := b.errorAt(0.05 * 25.4); c.beyond || c.err != 0 {
		t.Errorf("from the zero on: %+v", c)
	}
}

// GUM H.5 (read): 10 days of 5 readings; the means and s of the days make the
// standard deviation of the mean 18.053285 µV with 9 degrees of freedom, F
// 2.261519, between days 42.638611. Readings that have just these means and s
// stand for the days: places of a lot, a µV as a tenth of a micrometre.
func TestPlacesAreTheDaysOfTheGuide(t *testing.T) {
	means := []float64{172, 116, 13, 144, 106, 31, 60, 125, 163, 41}
	spreads := []float64{60, 77, 111, 101, 67, 93, 80, 73, 88, 86}
	b := feltBasis()
	b.Gauge.Unit, b.Gauge.Low, b.Gauge.High, b.Gauge.Resolution = "mm", length("0 mm"), length("20 mm"), length("0.000001 mm")
	b.Method.Places.Readings = 5
	for i := range b.Sizes.Result.Points { // a gauge without an error, known exactly
		b.Sizes.Result.Points[i].Error, b.Sizes.Result.Points[i].Standard = unit.Exact{}, 0
	}
	s := Survey{Lot: "FELT-1", Method: "hand-lifted", Revision: 1, Gauge: "THK-005", Date: calib.MustDate("2026-07-01"), Person: "JV"}
	for i := range means {
		p := Place{Name: strconv.Itoa(i + 1)}
		step := spreads[i] / math.Sqrt(2.5) // −2 … 2 has s √2.5
		for k := -2; k <= 2; k++ {
			p.Readings = append(p.Readings, readings("mm", fmt.Sprintf("%.12f", 5+(means[i]+float64(k)*step)*1e-4))...)
		}
		s.Places = append(s.Places, p)
	}
	r := evaluated(t, s, b)
	near(t, "s of the places", r.S*1e4, 57.089501, 1e-5)
	near(t, "s within", r.Within.S*1e4, 84.886984, 1e-5)
	near(t, "F", r.Between.F, 2.261519, 1e-6)
	near(t, "s between", r.Between.S*1e4, 42.638611, 1e-5)
	near(t, "u of the mean", r.Mean.Standard*1e4, 18.053285, 1e-4)
	near(t, "ν of the mean", r.Mean.DoF, 9, 1e-3)
}

// What all places share is not divided by their number: with more and more
// places U of the mean stays above the gauge's own (law), and the wanted U that
// lies below it is reached by no number.
func TestTheGaugesOwnErrorIsNotAveragedAway(t *testing.T) {
	b := feltBasis()
	var typed []string
	for i := range 400 {
		typed = append(typed, []string{"0.199", "0.200", "0.201", "0.200"}[i%4])
	}
	s := gridded(20, typed...)
	s.Wanted = length("0.0005 in")
	r := evaluated(t, s, b)
	if own := b.errorAt(0.2 * 25.4).u; !(r.Mean.Standard > own) {
		t.Errorf("u of the mean %.4g; want above the gauge's %.4g", r.Mean.Standard, own)
	}
	if r.Needed.Places != 0 || !(r.Needed.Expanded > r.Needed.Wanted) {
		t.Errorf("needed %+v; want none to reach it", r.Needed)
	}
	s.Wanted = length("0.0015 in")
	if r = evaluated(t, s, b); r.Needed.Places < 2 || r.Needed.Expanded > r.Needed.Wanted {
		t.Errorf("needed %+v; want a number of places that reaches it", r.Needed)
	}
	// and one place fewer does not reach it
	take := takingOf(t, s, b)
	if U, err := take.expandedOf(r.Needed.Places - 1); r.Needed.Places > 2 && (err != nil || U <= r.Needed.Wanted) {
		t.Errorf("%d places give %v, %v; want more than %v", r.Needed.Places-1, U, err, r.Needed.Wanted)
	}
}

func takingOf(t *testing.T, s Survey, b Basis) *taking {
	t.Helper()
	out := &taking{survey: s, basis: b, step: b.Gauge.Resolution.Inner().Float()}
	out.observe()
	if _, err := out.correct(); err != nil {
		t.Fatal(err)
	}
	return out
}

// Common practice, without a source: soft felt of 0.200 in read to 0.001 in,
// its edges 0.003 in less. It is a trend whatever the tolerance, and it matters
// against ±0.003 and ±0.005 in and is borne by ±0.010 and ±0.020 in.
func TestFeltThatIsThinAtItsEdges(t *testing.T) {
	b := feltBasis()
	for i := range b.Sizes.Result.Points { // only the felt shall speak
		b.Sizes.Result.Points[i].Error = unit.Exact{}
	}
	b.Lot.Form = Roll
	rows := []string{"0.197", "0.200", "0.197", "0.197", "0.200", "0.197", "0.196", "0.200", "0.197", "0.197", "0.199", "0.198", "0.197", "0.200", "0.197"}
	for _, c := range []struct {
		half string
		want Weight
	}{{"0.003", Matters}, {"0.005", Matters}, {"0.010", IsBorne}, {"0.020", IsBorne}} {
		half := length(c.half + " in").Inner()
		in, _ := unit.Lookup("in", unit.Length)
		about := length("0.200 in").Inner()
		b.Lot.Place = calib.Band{Low: unit.Of(in.From(about.Sub(half)), in), High: unit.Of(in.From(about.Add(half)), in)}
		r := evaluated(t, gridded(3, rows...), b)
		i := slices.IndexFunc(r.Trends, func(x Trend) bool { return x.Name == "centre to edge" })
		if i < 0 {
			t.Fatalf("±%s in: no trend looked for from centre to edge: %+v", c.half, r.Trends)
		}
		x := r.Trends[i]
		if !x.Seen || x.Matters != c.want {
			t.Errorf("±%s in: seen %v, %q, p %.2g, share %.2f; want %q", c.half, x.Seen, x.Matters, x.P, x.Share, c.want)
		}
		near(t, "effect in inches", x.Effect/25.4, -0.0029, 0.0002)
		if !(x.Low < x.Share && x.Share < x.High) {
			t.Errorf("±%s in: share %.3f is not between %.3f and %.3f", c.half, x.Share, x.Low, x.High)
		}
		for _, other := range r.Trends {
			if other.Name != x.Name && other.Seen {
				t.Errorf("±%s in: a trend %s is seen and there is none", c.half, other.Name)
			}
		}
	}
}

// Own: pressure verified 41.32 kPa at the felt's thickness and 41.37 kPa (6 psi)
// wanted: B ln(p₀/p) is added, and u(p)·B/p is a line.
func TestThicknessIsReferredToTheMethodsPressure(t *testing.T) {
	b := feltBasis()
	s := gridded(3, "0.200", "0.201", "0.199", "0.200", "0.202", "0.198")
	s.Compression = []Press{{unit.Must("5 psi", unit.Pressure), length("0.203 in")}, {unit.Must("6 psi", unit.Pressure), length("0.200 in")}, {unit.Must("7 psi", unit.Pressure), length("0.198 in")}}
	plain := evaluated(t, gridded(3, "0.200", "0.201", "0.199", "0.200", "0.202", "0.198"), b)
	r := evaluated(t, s, b)
	e := r.Pressure
	at := plain.Mean.Value.Float()
	verified := 40 + (at-2)/4*2
	nominal := 6 * 6.894757293168361
	near(t, "verified", e.Verified, verified, 1e-6)
	near(t, "nominal", e.Nominal, nominal, 1e-9)
	near(t, "correction", r.Mean.Value.Float()-at, e.B*math.Log(nominal/verified), 2e-9)
	near(t, "slope", e.Slope, e.B/verified, 1e-12)
	i := slices.IndexFunc(r.Budget, func(l calib.BudgetRow) bool { return l.Name == "pressure of the foot" })
	if i < 0 {
		t.Fatal("no line for the pressure of the foot")
	}
	u, c, _ := r.Budget[i].At(0)
	near(t, "line", math.Abs(u*c), 0.2*math.Abs(e.Slope), 1e-9)
	if len(plain.Findings) != 1 || plain.Findings[0].Gate != GateEffect {
		t.Errorf("without a run: %v; want the effect of pressure marked as not known", plain.Findings)
	}
	stated := gridded(3, "0.200", "0.201", "0.199", "0.200", "0.202", "0.198")
	stated.Stated = &StatedEffect{Change: length("-0.1 mm"), For: unit.Must("10 kPa", unit.Pressure), Expanded: length("0.02 mm"), K: 2, Source: "s"}
	near(t, "stated slope at the nominal pressure", evaluated(t, stated, b).Pressure.B/nominal, -0.01, 1e-12)
}

// Every fault of a gauge stops, and is marked where a reason was given; what no
// reason overrides is refused all the same.
func TestAGaugeMustBeFitToday(t *testing.T) {
	for _, c := range []struct {
		name   string
		break_ func(*Basis)
		gate   calib.Gate
	}{
		{"quarantined", func(b *Basis) { b.Status = calib.Quarantined }, GateStatus},
		{"overdue", func(b *Basis) { b.Due = calib.MustDate("2026-06-30") }, GateDue},
		{"failed", func(b *Basis) { b.Sizes.Result.Verdict = "fail" }, GateChecked},
		{"foot never verified", func(b *Basis) { b.Foot = nil }, GateFoot},
		{"foot failed", func(b *Basis) { b.Foot.Result.Foot.Verdict = "fail" }, GateFoot},
		{"pressure outside", func(b *Basis) { b.Foot.Result.Foot.Figures[3].Value = unit.Decimal(48.3) }, GatePressure},
		{"foot too large", func(b *Basis) {
			b.Method.Foot.Diameter = calib.Band{Low: length("9.95 mm"), High: length("10.05 mm")}
			b.Gauge.FootDiameter = length("10.06 mm")
		}, GateFootSize},
		{"foot not known", func(b *Basis) { b.Method.Foot.Diameter = calib.Band{Low: length("9.95 mm"), High: length("10.05 mm")} }, GateFoot},
		{"too coarse", func(b *Basis) { b.Method.Resolution = length("0.01 mm") }, GateResolution},
		{"error beyond the method", func(b *Basis) { b.Method.Accuracy = length("0.0003 in") }, GateAccuracy},
		{"sizes never checked", func(b *Basis) { b.Sizes.Result.Points = b.Sizes.Result.Points[2:] }, GateRange},
		{"too near an edge", func(b *Basis) { b.Method.Places.EdgeFree = length("51 mm") }, GateEdge},
	} {
		b := feltBasis()
		c.break_(&b)
		s := gridded(3, "0.200", "0.201", "0.199", "0.200", "0.202", "0.198")
		var stop *calib.StopError
		if _, err := Evaluate(s, b); !errors.As(err, &stop) || !slices.ContainsFunc(stop.Findings, func(f calib.Finding) bool { return f.Gate == c.gate }) {
			t.Errorf("%s: %v; want it stopped by %q", c.name, err, c.gate)
		}
		s.Override = "the other gauge is away"
		r, err := Evaluate(s, b)
		if err != nil || r.Override != s.Override || !slices.ContainsFunc(r.Findings, func(f calib.Finding) bool { return f.Gate == c.gate && f.Action == calib.Mark }) {
			t.Errorf("%s with a reason: %v, %v; want it marked", c.name, r.Findings, err)
		}
	}
	for name, spoil := range map[string]func(*Basis){
		"indication only": func(b *Basis) { b.Status = calib.IndicationOnly },
		"lost":            func(b *Basis) { b.Status = calib.Lost },
		"never checked":   func(b *Basis) { b.Sizes = nil },
	} {
		b := feltBasis()
		spoil(&b)
		s := gridded(3, "0.200", "0.201", "0.199", "0.200", "0.202", "0.198")
		s.Override = "it was at hand"
		var unfit *UnfitError
		if _, err := Evaluate(s, b); !errors.As(err, &unfit) {
			t.Errorf("%s: %v; want it refused whatever the reason", name, err)
		}
	}
}

func TestSurveysThatCannotBeWorkedWith(t *testing.T) {
	placed := func(at ...string) Survey {
		s := gridded(3, "0.200", "0.201", "0.199", "0.200", "0.202", "0.198")
		s.Grid = nil
		for i := range s.Places {
			s.Places[i].Across, s.Places[i].Along = length(at[i]+" mm"), length("10 mm")
		}
		return s
	}
	for _, c := range []struct {
		name string
		s    Survey
		b    func(*Basis)
		want string
	}{
		{"too few places", gridded(2, "0.200", "0.201", "0.199", "0.200"), nil, "4 places; method hand-lifted wants at least 5"},
		{"more for a wide lot", gridded(3, "0.200", "0.201", "0.199", "0.200", "0.202", "0.198"), func(b *Basis) {
			b.Method.Places.ByWidth = []WidthRow{{length("200 mm"), 5}, {unit.Quantity{}, 20}}
		}, "6 places; method hand-lifted wants at least 20"},
		{"one place twice", placed("10", "20", "30", "40", "20", "60"), nil, "place B2: read twice, first as place B1; want each place once; several readings of one place stand together"},
		{"outside the lot", placed("10", "20", "30", "301", "50", "60"), nil, "place A2: across 301 mm lies outside the lot; want a place within the lot, 0 to 300 mm"},
		{"beside the grid", func() Survey {
			s := gridded(3, "0.200", "0.201", "0.199", "0.200", "0.202", "0.198")
			s.Places[5].Name = "D1"
			return s
		}(), nil, "place D1: no cell of the grid; want a cell from A1 to C2"},
		{"units mixed", func() Survey {
			s := gridded(3, "0.200", "0.201", "0.199", "0.200", "0.202", "0.198")
			s.Places[2].Readings[0].Indication = length("5.1 mm")
			return s
		}(), nil, "place C1: reading 1: 5.1 mm on a gauge that is read in in; want every reading in in"},
		{"a share that is no number", func() Survey {
			s := gridded(3, "0.200", "0.201", "0.199", "0.200", "0.202", "0.198")
			s.Share = math.NaN()
			return s
		}(), nil, "a share or a confidence that is no number; want one above 0 and below 1"},
	} {
		b := feltBasis()
		if c.b != nil {
			c.b(&b)
		}
		if _, err := Evaluate(c.s, b); err == nil || err.Error() != c.want {
			t.Errorf("%s: %v; want %s", c.name, err, c.want)
		}
	}
	upside := feltBasis().Lot
	upside.Place = calib.Band{Low: length("0.21 in"), High: length("0.19 in")}
	if err := upside.Sound(); err == nil || !strings.Contains(err.Error(), "a lower limit that is not above the upper one") {
		t.Errorf("lower limit above the upper: %v", err)
	}
}

// Own: a lot that passed with the error then used, 0.0004 in, and would not with
// 0.0050 in found later: it could wrongly have been accepted.
func TestALaterErrorTellsWhatCouldWronglyHaveBeenAccepted(t *testing.T) {
	b := feltBasis()
	b.Lot.Place = calib.Band{Low: length("0.196 in"), High: length("0.206 in")}
	s := gridded(3, "0.200", "0.201", "0.199", "0.200", "0.202", "0.198")
	kept := evaluated(t, s, b)
	later := *b.Sizes
	later.Entry, later.Result.Verdict, later.Result.Points = 60, "fail", slices.Clone(later.Result.Points)
	for i := range later.Result.Points {
		later.Result.Points[i].Error = length("0.005 in").Inner()
	}
	d, err := Reconsider(s, b, kept, later)
	if err != nil || !d.Wrongly || d.Kept != "pass" || d.Now != "fail" {
		t.Fatalf("%+v, %v; want it wrongly accepted", d, err)
	}
	near(t, "share of half the tolerance", d.Share, 0.0046/0.005, 1e-3)
}
