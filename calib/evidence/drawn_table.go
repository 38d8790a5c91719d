package evidence

// Tolerances of what is drawn: four standard errors of a million trials with
// half of the last printed digit, but for 9.5.
const (
	fourErrors = "four standard errors of a million trials (seed 1)"
	// The distribution is nearly symmetric: intervals that are hardly longer lie on both sides.
	shortestPlace = "a million trials (seed 1); the shortest interval moves by 0.001 from one seed to another"
	stableTo      = "trials until stable to 0.5 nm (seed 1, clause 7.9.2), and half of the last printed digit"
)

var drawnExamples = []example{
	{supplement1, "9.2.2", "four normal inputs", fourNormal, []printed{
		{"U, by t", "", "3.92", Memory, criterion{}}, {"U, exact", "", "3.92", Memory, criterion{}}, {"U, exact, full", "", "3.919928", Own, criterion{}},
		{"u, drawn", "", "2.00", Memory, criterion{within: 0.011, reason: fourErrors}},
		{"from, drawn", "", "-3.92", Memory, criterion{within: 0.03, reason: fourErrors}},
		{"to, drawn", "", "3.92", Memory, criterion{within: 0.03, reason: fourErrors}},
	}},
	{supplement1, "9.2.3", "four rectangular inputs", fourRectangular, []printed{
		{"U, by t", "", "3.92", Memory, criterion{}}, {"U, exact", "", "3.88", Memory, criterion{}}, {"U, exact, full", "", "3.879407", Own, criterion{}},
		{"u, drawn", "", "2.00", Memory, criterion{within: 0.011, reason: fourErrors}},
		{"from, drawn", "", "-3.88", Memory, criterion{within: 0.03, reason: fourErrors}},
		{"to, drawn", "", "3.88", Memory, criterion{within: 0.03, reason: fourErrors}},
	}},
	{supplement1, "9.2.4", "one rectangle ten times as wide", oneWide, []printed{
		{"u", "", "10.1", Memory, criterion{}}, {"u, full", "", "10.148892", Own, criterion{}},
		{"U, by t", "", "19.9", Memory, criterion{}}, {"U, exact", "", "17.0", Memory, criterion{}},
		{"u, drawn", "", "10.1", Memory, criterion{within: 0.08, reason: fourErrors}},
		{"from, drawn", "", "-17.0", Memory, criterion{within: 0.08, reason: fourErrors}},
		{"to, drawn", "", "17.0", Memory, criterion{within: 0.08, reason: fourErrors}},
	}},
	{supplement1, "9.3", "calibration of a weight", massCalibration, []printed{
		{"estimate", "mg", "1.2340", Memory, criterion{}},
		{"u, 1st order", "mg", "0.0539", Memory, criterion{}}, {"u, 2nd order", "mg", "0.0750", Memory, criterion{}},
		{"1st order, full", "mg", "0.0538516", Own, criterion{}}, {"2nd order, full", "mg", "0.0749635", Own, criterion{}},
		{"estimate, drawn", "mg", "1.2341", Memory, criterion{within: 0.00035, reason: fourErrors}},
		{"u, drawn", "mg", "0.0754", Memory, criterion{within: 0.0003, reason: fourErrors}},
		{"shortest, from", "mg", "1.0834", Memory, criterion{within: 0.002, reason: shortestPlace}},
		{"shortest, to", "mg", "1.3825", Memory, criterion{within: 0.002, reason: shortestPlace}},
	}},
	{supplement1, "9.5", "end gauge, less 50 mm", endGaugeDrawn, []printed{
		{"u, guide", "nm", "32", Memory, criterion{}},
		{"from, guide", "nm", "745", Memory, criterion{within: 1, reason: "838 − 2.92 × 32; " + roundedSteps}},
		{"to, guide", "nm", "931", Memory, criterion{within: 1, reason: "838 + 2.92 × 32; " + roundedSteps}},
		{"estimate, drawn", "nm", "838", Memory, criterion{within: 1, reason: stableTo}},
		{"u, drawn", "nm", "36", Memory, criterion{within: 1, reason: stableTo}},
		{"from, drawn", "nm", "745", Memory, criterion{within: 1, reason: stableTo}},
		{"to, drawn", "nm", "932", Memory, criterion{within: 1, reason: stableTo}},
	}},
}
