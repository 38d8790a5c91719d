package evidence

const (
	handbook = "NIST/SEMATECH e-Handbook (tolerance intervals)"
	lots     = "Surveys of lots (no document)"
)

// The run and the factors of the lot were worked out by NumPy and SciPy
// (testdata/published/survey_oracle.csv), the rest in plain Python
// (testdata/published/survey_lot.py).
var surveyExamples = []example{
	{handbook, "7.2.6.3", "43 values, 90 % with 99 %", factorOfHandbook, []printed{
		{"k₂ by Howe's formula", "", "2.217", Memory, criterion{}},
		{"k₂", "", "2.217", Memory, criterion{within: 0.006, reason: "the print is Howe's approximation, about 3 in a thousand below the exact factor"}},
		{"k₂, exact, full", "", "2.2228251738", Own, criterion{}},
	}},
	{lots, "none", "felt, 15 places", surveyed, []printed{
		{"log law, a", "mm", "5.4126614280", Own, criterion{}}, {"log law, b", "mm", "-0.1576532716", Own, criterion{}},
		{"log law, u(b)", "mm", "0.00052142973", Own, criterion{}}, {"verified pressure", "kPa", "41.94041533", Own, criterion{}},
		{"∂T/∂p", "mm/kPa", "-0.003758982127", Own, criterion{}}, {"to the method's pressure", "mm", "0.00746811026", Own, criterion{}},
		{"mean", "mm", "4.977675777", Own, criterion{}}, {"s of the places", "mm", "0.02623337473", Own, criterion{}},
		{"k₂ of 15", "", "2.964940577", Own, criterion{}}, {"95 % of the lot, from", "mm", "4.89989538", Own, criterion{}},
		{"95 % of the lot, to", "mm", "5.05545617", Own, criterion{}}, {"trend across", "mm", "-0.058705000", Own, criterion{}},
		{"trend along", "mm", "-0.0013266667", Own, criterion{}}, {"trend centre to edge", "mm", "-0.014240938", Own, criterion{}},
	}},
}
