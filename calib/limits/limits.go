package limits

import (
	"strings"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/unit"
)

// BlockGrade returns what ISO 3650:1998, table 5 allows a gauge block of grade
// K, 0, 1 or 2 and of a nominal length in mm: the limit deviation of its length
// at any point, ±te, and the tolerance of its variation in length, tv, both
// exact in mm. It reports false for another grade, and for a length below
// 0.5 mm or over 1000 mm, for which the table has no row.
func BlockGrade(grade string, nominal unit.Exact) (te, tv unit.Exact, ok bool) {
	if nominal.Cmp(unit.Ratio(1, 2)) < 0 {
		return te, tv, false
	}
	for _, r := range blockRows {
		if nominal.Cmp(unit.Whole(r.upTo)) > 0 {
			continue
		}
		pair, ok := r.grade(grade)
		return hundredths(pair[0]), hundredths(pair[1]), ok
	}
	return te, tv, false
}

func (r blockRow) grade(name string) ([2]int64, bool) {
	switch name {
	case "K":
		return r.k, true
	case "0":
		return r.zero, true
	case "1":
		return r.one, true
	case "2":
		return r.two, true
	}
	return [2]int64{}, false
}

// hundredths turns 0.01 µm into mm.
func hundredths(n int64) unit.Exact { return unit.Ratio(n, 100_000) }

// BlockStability returns the change of length in one year that ISO 3650:1998,
// 6.2.4 allows a block of grade K, 0, 1 or 2: ±(constant + perLength · ln),
// constant in mm, perLength a ratio of lengths.
func BlockStability(grade string) (constant, perLength unit.Exact, ok bool) {
	for _, r := range stabilityRows {
		if len(grade) == 1 && strings.Contains(r.grades, grade) {
			return hundredths(r.constant), unit.Ratio(r.perLength, 100_000_000), true
		}
	}
	return constant, perLength, false
}

// OutsideMicrometer returns the error limit of DIN 863-1, in mm, for an outside
// micrometer of 25 mm range that begins at low, in mm. It is the span of the
// error curve; taken as ± about zero it is what an uncalibrated tool may do.
func OutsideMicrometer(low unit.Exact) (unit.Exact, bool) {
	for _, r := range micrometerRows {
		if low.Cmp(unit.Whole(r.low)) == 0 {
			return unit.Ratio(r.limit, 1000), true
		}
	}
	return unit.Exact{}, false
}

// VernierCaliper returns the error limit ± of DIN 862 (1988), in mm, for
// outside measurement of a length in mm with a caliper read to 0.05 or 0.1 mm.
// A length between two rows has the limit of the larger.
func VernierCaliper(length unit.Exact) (unit.Exact, bool) {
	if length.Sign() < 0 {
		return unit.Exact{}, false
	}
	for _, r := range caliperRows {
		if length.Cmp(unit.Whole(r.upTo)) <= 0 {
			return unit.Ratio(r.limit, 1000), true
		}
	}
	return unit.Exact{}, false
}

// A Dial says which dial gauge is meant.
type Dial struct {
	Small      bool       // bezel below 50 mm, or a back plunger
	Graduation unit.Exact // mm
	Range      unit.Exact // mm, above 0
}

// DialLimits are the maximum permissible errors of a dial gauge, in mm: spans
// of the error curve over parts of a turn, one turn and the whole range, the
// repeatability and the error on retracing.
type DialLimits struct {
	Retrace, Repeat, TenthTurn, HalfTurn, Turn, Whole unit.Exact
}

// DialGauge returns the limits of JIS B 7503:2011 for a dial gauge. It reports
// false where the table has no row of that graduation and range.
func DialGauge(d Dial) (DialLimits, bool) {
	if d.Range.Sign() <= 0 {
		return DialLimits{}, false
	}
	tenths := func(n int64) unit.Exact { return unit.Ratio(n, 10_000) }
	for _, r := range dialRows {
		if r.small == d.Small && d.Graduation.Cmp(unit.Ratio(r.graduation, 1000)) == 0 && d.Range.Cmp(unit.Whole(r.upTo)) <= 0 {
			return DialLimits{tenths(r.retrace), tenths(r.repeat), tenths(r.tenthTurn), tenths(r.halfTurn), tenths(r.turn), tenths(r.whole)}, true
		}
	}
	return DialLimits{}, false
}

// Material returns what is known of how a material of gauges and blocks grows:
// steel, zirconia ceramic, chromium carbide or tungsten carbide; "ceramic" is
// taken for zirconia ceramic. [MaterialSource] says whose figures they are.
func Material(name string) (calib.Material, bool) {
	r, ok := materialOf(name)
	if !ok {
		return calib.Material{}, false
	}
	perKelvin := func(s string) unit.Quantity { return unit.Must(s+" ppm/°C", unit.Expansion) }
	return calib.Material{Name: r.name, Coefficient: perKelvin(r.coefficient), HalfWidth: perKelvin(r.halfWidth)}, true
}

// MaterialSource says whose figures [Material] returns, empty for a material
// it does not have.
func MaterialSource(name string) string {
	r, _ := materialOf(name)
	return r.source
}

// Materials lists the names of the materials.
func Materials() []string {
	var out []string
	for _, r := range materialRows {
		out = append(out, r.name)
	}
	return out
}

func materialOf(name string) (materialRow, bool) {
	for _, r := range materialRows {
		if name == r.name || name == "ceramic" && r.name == "zirconia ceramic" {
			return r, true
		}
	}
	return materialRow{}, false
}

// MicrometerPoints returns the usual test points, in mm, of an outside
// micrometer of 25 mm range that begins at low: the usual steps added to it,
// and the low end itself where it is not 0.
func MicrometerPoints(low unit.Exact) []unit.Exact {
	return pointsFrom(low, "mm", micrometerSteps)
}

// InchMicrometerPoints is the same for a range of one inch that begins at low,
// in mm; the points are in mm.
func InchMicrometerPoints(low unit.Exact) []unit.Exact {
	return pointsFrom(low, "in", inchMicrometerSteps)
}

func pointsFrom(low unit.Exact, symbol string, steps []string) []unit.Exact {
	var out []unit.Exact
	if low.Sign() > 0 {
		out = append(out, low)
	}
	for _, s := range steps {
		out = append(out, low.Add(unit.Must(s+" "+symbol, unit.Length).Inner()))
	}
	return out
}
