package evidence

const (
	gum          = "JCGM 100:2008 (GUM)"
	supplement1  = "JCGM 101:2008 (Monte Carlo)"
	ea402        = "EA-4/02, supplements, print before 2022"
	jcgm106      = "JCGM 106:2012 (conformity)"
	ilacG8       = "ILAC-G8:09/2019 (decision rules)"
	gumRounding  = "Rounding: GUM, ILAC-P14, EA-4/02"
	houfBerman   = "Houf and Berman 1988 (gauge repeatability)"
	burdick      = "Burdick, Borror and Montgomery 2003 (intervals of variances)"
	iso5725      = "ISO 5725-2 (repeatability and reproducibility)"
	iso13528     = "ISO 13528:2022 (comparison of results)"
	strd         = "NIST StRD (statistical reference data)"
	din863       = "DIN 863-1 (micrometers)"
	npl          = "National Physical Laboratory (gauge blocks)"
	wgs84        = "WGS 84 (gravity)"
	sop2         = "NIST SOP 2 (density of air)"
	oimlD28      = "OIML D 28:2004 (conventional mass)"
	iso2589      = "ISO 2589:2016 (foot pressure)"
	roundedSteps = "the print goes on from rounded figures"
)

// guideExamples are the small ones of the guide (its table G.2 follows, from
// its own file).
var guideExamples = []example{
	{gum, "4.3.3", "certificate at 3 standard deviations", certificateOfThree, []printed{{"u", "µg", "80", Memory, criterion{}}}},
	{gum, "4.3.7", "rectangular", rectangularLimits, []printed{{"u", "10⁻⁶", "0.23", Memory, criterion{}}}},
	{gum, "4.3.8", "asymmetric limits", asymmetricLimits, []printed{{"u", "10⁻⁶", "0.15", Memory, criterion{}}}},
	{gum, "4.4.3", "twenty temperatures", twentyTemperatures, []printed{
		{"mean", "°C", "100.145", Read, criterion{}}, {"s", "°C", "1.489", Read, criterion{}},
		{"s of the mean", "°C", "0.333", Read, criterion{}}, {"ν", "", "19", Read, criterion{}},
	}},
	{gum, "4.4.5, 4.4.6", "temperature of 96 to 104 °C", boundedTemperature, []printed{
		{"u, rectangular", "°C", "2.3", Memory, criterion{}}, {"u, triangular", "°C", "1.6", Memory, criterion{}},
	}},
	{gum, "5.2.2", "ten resistors in series", resistorsInSeries, []printed{
		{"u, r = 1", "Ω", "1", Memory, criterion{}}, {"u, r = 0", "Ω", "0.32", Memory, criterion{}},
	}},
	{gum, "7.2.2", "weighing", weighingOfNine, []printed{
		{"k, by t", "", "2.26", Memory, criterion{}}, {"U, by t", "mg", "0.79", Memory, criterion{}},
		{"k, exact", "", "2.26", Memory, criterion{}}, {"U, exact", "mg", "0.79", Memory, criterion{}},
	}},
	{gum, "F.2.2.1", "digital indication", digitalStep, []printed{{"u", "steps", "0.29", Memory, criterion{}}}},
	{gum, "G.4.2", "unreliable u", unreliability, []printed{
		{"ν at 25 %", "", "8", Read, criterion{}}, {"ν at 10 %", "", "50", Read, criterion{}}, {"ν at 50 %", "", "2", Read, criterion{}},
	}},
}

// annexExamples are those of annex H.
var annexExamples = []example{
	{gum, "H.1", "end gauge of 50 mm", endGauge, []printed{
		{"length", "mm", "50.000838", Read, criterion{}}, {"u", "nm", "32", Read, criterion{}}, {"u²", "nm²", "1002", Read, criterion{}},
		{"effective ν", "", "16.7", Read, criterion{}}, {"k at 99 %", "", "2.92", Read, criterion{}},
		{"U at 99 %", "nm", "93", Read, criterion{within: 1, reason: "2.92 × 32; " + roundedSteps}},
		{"part of l_S", "nm", "25.0000", Own, criterion{}},
		{"part of d", "nm", "5.813777", Own, criterion{}},
		{"part of d₁", "nm", "3.890170", Own, criterion{}},
		{"part of d₂", "nm", "6.666667", Own, criterion{}},
		{"part of δα", "nm", "2.886787", Own, criterion{}},
		{"part of δθ", "nm", "16.599027", Own, criterion{}},
		{"part of others", "nm", "0", Own, criterion{}},
	}},
	{gum, "H.1.7", "end gauge, second order", endGaugeSecondOrder, []printed{
		{"δα with θ", "nm", "11.7", Read, criterion{}}, {"α_S with δθ", "nm", "1.7", Read, criterion{}},
		{"u of all orders", "nm", "34", Read, criterion{}},
	}},
	{gum, "H.2", "resistance and reactance", correlatedReadings, []printed{
		{"r(V, I)", "", "-0.36", Read, criterion{}}, {"r(V, φ)", "", "0.86", Read, criterion{}}, {"r(I, φ)", "", "-0.65", Read, criterion{}},
		{"R", "Ω", "127.732", Read, criterion{}}, {"u(R)", "Ω", "0.071", Read, criterion{}},
		{"X", "Ω", "219.847", Read, criterion{}},
		{"u(X)", "Ω", "0.295", Read, criterion{within: 0.001, reason: "0.295 comes of u(V), u(I) and u(φ) as printed; " + roundedSteps}},
		{"Z", "Ω", "254.260", Read, criterion{}}, {"u(Z)", "Ω", "0.236", Read, criterion{}},
	}},
	{gum, "H.3", "thermometer's line", thermometerLine, []printed{
		{"y₁", "°C", "-0.1712", Read, criterion{}}, {"u(y₁)", "°C", "0.0029", Read, criterion{}},
		{"y₂", "", "0.00218", Read, criterion{}}, {"u(y₂)", "", "0.00067", Read, criterion{}},
		{"r(y₁, y₂)", "", "-0.930", Read, criterion{}}, {"s", "°C", "0.0035", Read, criterion{}},
		{"b at 30 °C", "°C", "-0.1494", Read, criterion{}}, {"u of b at 30 °C", "°C", "0.0041", Read, criterion{}}, {"ν", "", "9", Read, criterion{}},
	}},
	{gum, "H.5", "voltage on ten days", voltageOfDays, []printed{
		{"mean", "V", "10.000097", Read, criterion{}}, {"s of the days' means", "µV", "57", Read, criterion{}},
		{"s within days", "µV", "85", Read, criterion{}}, {"ν within days", "", "40", Read, criterion{}},
		{"F", "", "2.25", Read, criterion{within: 0.02, reason: "5 · 57²/85²; " + roundedSteps}},
		{"F at 95 %", "", "2.12", Read, criterion{}}, {"F at 97.5 %", "", "2.45", Read, criterion{}},
		{"s between days", "µV", "43", Read, criterion{}}, {"s of the mean", "µV", "18", Read, criterion{}}, {"ν of the mean", "", "9", Read, criterion{}},
	}},
	{gum, "H.5", "the ten days as places of a lot", daysAsPlaces, []printed{
		{"s of the places", "µV", "57", Read, criterion{}}, {"s within places", "µV", "85", Read, criterion{}}, {"ν within places", "", "40", Read, criterion{}},
		{"F", "", "2.25", Read, criterion{within: 0.02, reason: "5 · 57²/85²; " + roundedSteps}},
		{"s between places", "µV", "43", Read, criterion{}}, {"u of the mean", "µV", "18", Read, criterion{}},
	}},
}
