package limits

// materialRow is a linear coefficient of thermal expansion and the bound of
// its error, in 10⁻⁶ per kelvin.
type materialRow struct {
	name        string
	coefficient string
	halfWidth   string
	source      string
}

// halfWidth is 1 for every material after the tolerance of ISO 3650:1998,
// 6.2.2, except where a wider one is needed to hold what makers state.
var materialRows = []materialRow{
	{"steel", "11.5", "1.0", "ISO 3650:1998, 6.2.2: (11.5 ± 1.0)·10⁻⁶ per K from 10 to 30 °C; value read, tolerance from memory, sure"},
	{"zirconia ceramic", "9.5", "1.0", "a maker's page, read; others state 9.0 to 10.5 (from memory, fairly sure): check against your set's papers"},
	{"chromium carbide", "8.4", "1.0", "NIST Monograph 180, 3.3.1: 8.4 to 8.5, from memory, sure; half-width by house rule"},
	{"tungsten carbide", "4.6", "1.4", "4.2 to 6, typically 4.6, from memory, fairly sure; half-width to hold 6: check against your set's papers"},
}
