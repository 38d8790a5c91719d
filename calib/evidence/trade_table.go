package evidence

import (
	"fmt"
	"strings"
)

// setNames are the names that NIST gives its sets of reference data.
var setNames = map[string]string{"norris": "Norris", "noint1": "NoInt1", "michelso": "Michelso", "numacc1": "NumAcc1",
	"numacc2": "NumAcc2", "numacc3": "NumAcc3", "sirstv": "SiRstv", "smls01": "SmLs01"}

const certifiedReason = "significant digits that are right, of at most 15 that a float64 holds"

// micrometerFigures is the table of DIN 863-1 as it is printed (read): limits in
// µm of the ranges of 25 mm that begin at 0, 25 … 475 mm.
func micrometerFigures() []printed {
	out := []printed{{"rows at 4 + L/50", "", "20", Read, criterion{}}}
	for i, text := range strings.Fields("4 4 5 5 6 6 7 7 8 8 9 9 10 10 11 11 12 12 13 13") {
		out = append(out, printed{fmt.Sprintf("from %d mm", 25*i), "µm", text, Read, criterion{}})
	}
	return out
}

var tradeExamples = []example{
	{houfBerman, "thermal impedance", "variances", variances, []printed{
		{"repeatability", "", "0.511", Read, criterion{}}, {"operators", "", "0.565", Read, criterion{}},
		{"interaction", "", "0.728", Read, criterion{}}, {"reproducibility", "", "1.293", Read, criterion{}},
		{"measurement", "", "1.804", Read, criterion{}}, {"parts", "", "48.293", Read, criterion{}},
	}},
	{houfBerman, "thermal impedance", "shares of variance", shares, []printed{
		{"repeatability", "%", "1.02", Read, criterion{}}, {"operators", "%", "1.13", Read, criterion{}},
		{"interaction", "%", "1.45", Read, criterion{}}, {"reproducibility", "%", "2.58", Read, criterion{}},
		{"measurement", "%", "3.60", Read, criterion{}}, {"parts", "%", "96.40", Read, criterion{}},
	}},
	{houfBerman, "thermal impedance", "tests", testsOfImpedances, []printed{
		{"F of parts", "", "162.270270", Own, criterion{}}, {"F of operators", "", "7.284929", Own, criterion{}},
		{"F of parts × operators", "", "5.272947", Own, criterion{}}, {"ν of the measurement", "", "12.889616", Own, criterion{}},
	}},
	{burdick, "thermal impedance", "intervals of variances at 95 %", varianceIntervals, []printed{
		{"parts, from", "", "22.69", Memory, criterion{}}, {"parts, to", "", "161.64", Memory, criterion{}}, {"measurement, to", "", "27.02", Memory, criterion{}},
	}},
	{iso5725, "table 4", "Cochran's limit at 1 %", cochranLimits, []printed{
		{"2 of 3", "", "0.995", Memory, criterion{}}, {"3 of 3", "", "0.942", Memory, criterion{}},
		{"5 of 3", "", "0.788", Memory, criterion{within: 0.001, reason: "one in the last place; from memory of the table"}},
		{"10 of 2", "", "0.718", Memory, criterion{within: 0.001, reason: "one in the last place; from memory of the table"}}, {"10 of 3", "", "0.536", Memory, criterion{}},
	}},
	{din863, "table", "limits of error", micrometerRows, micrometerFigures()},
	{npl, "blocks", "from a usual metric set", blockChoice, []printed{{"58.345 mm", "", "1.005+1.04+1.30+5+50", Read, criterion{}}}},
	{wgs84, "closed form", "gravity at the sea", gravity, []printed{
		{"at 0°", "m/s²", "9.7803253", Read, criterion{}}, {"at 45°", "m/s²", "9.8061978", Read, criterion{}}, {"at 90°", "m/s²", "9.8321849", Read, criterion{}},
	}},
	{sop2, "example", "748.1 mmHg, 22.3 °C, 37 %", airDensity, []printed{
		{"density", "kg/m³", "1.17194", Read, criterion{within: 0.0001, reason: "by CIPM-2007; the print is by another formula, of 1978"}},
	}},
	{oimlD28, "definition", "force of 1 kg", forceOfMass, []printed{
		{"in air of 1.2 kg/m³", "N", "9.8051790025", Own, criterion{}}, {"in air of 1.0, density 7200", "N", "9.8054514140", Own, criterion{}},
	}},
	{iso2589, "4", "393 g on a foot of 10 mm", footPressure, []printed{{"pressure", "kPa", "49.071", Own, criterion{}}}},
}
