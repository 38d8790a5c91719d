package evidence

var accreditationExamples = []example{
	{ea402, "S2", "weight of 10 kg", weightOfTen, []printed{
		{"mass", "g", "10000.025", Memory, criterion{}}, {"u", "mg", "29.3", Memory, criterion{}},
		{"k", "", "2", Memory, criterion{}}, {"U", "mg", "59", Memory, criterion{}},
		{"u, full", "mg", "29.261750", Own, criterion{}},
	}},
	{ea402, "S4", "gauge block of 50 mm", blockByComparison, []printed{
		{"length", "mm", "49.999926", Memory, criterion{}}, {"u", "nm", "36.4", Memory, criterion{}}, {"U", "nm", "73", Memory, criterion{}},
		{"drift's part", "nm", "17.3", Memory, criterion{}}, {"second order", "nm", "11.8", Memory, criterion{}},
	}},
	{ea402, "S9", "multimeter at 100 V", multimeter, []printed{
		{"u", "mV", "30", Memory, criterion{}}, {"k of display", "", "1.65", Memory, criterion{}},
		{"U, exact", "V", "0.05", Memory, criterion{}}, {"k of display, full", "", "1.645448", Own, criterion{}},
	}},
	{ea402, "S10", "caliper at 150 mm", caliper, []printed{
		{"error", "mm", "0.10", Memory, criterion{}}, {"k of two inputs", "", "1.83", Memory, criterion{}},
		{"k of all, exact", "", "1.83", Memory, criterion{}}, {"U, exact", "mm", "0.06", Memory, criterion{}},
		{"k of two, full", "", "1.833892", Own, criterion{}}, {"k of all, full", "", "1.834328", Own, criterion{}},
		{"u, full", "µm", "32.339566", Own, criterion{}}, {"U, full", "µm", "59.321379", Own, criterion{}},
	}},
}
