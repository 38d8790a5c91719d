package evidence

var accreditationExamples = []example{
	{ea402, "S2", "weight of 10 kg", weightOfTen, []printed{
		{"mass", "g", "10000.025", Memory, criterion{}}, {"u", "mg", "29.3", Memory, criterion{}},
		{"k", "", "2", Memory, criterion{}}, {"U", "mg", "59", Memory, criterion{}},
		{"u, all digits", "mg", "29.261750", Own, criterion{}},
	}},
	{ea402, "S4", "gauge block of 50 mm", blockByComparison, []printed{
		{"length", "mm", "49.999926", Memory, criterion{}}, {"u", "nm", "36.4", Memory, criterion{}}, {"U", "nm", "73", Memory, criterion{}},
		{"contribution of the drift", "nm", "17.3", Memory, criterion{}}, {"of the second order", "nm", "11.8", Memory, criterion{}},
	}},
	{ea402, "S9", "multimeter at 100 V", multimeter, []printed{
		{"u", "mV", "30", Memory, criterion{}}, {"k of the dominant rectangle", "", "1.65", Memory, criterion{}},
		{"U, all inputs, exact", "V", "0.05", Memory, criterion{}}, {"k of the rectangle, all digits", "", "1.645448", Own, criterion{}},
	}},
	{ea402, "S10", "caliper at 150 mm", caliper, []printed{
		{"error", "mm", "0.10", Memory, criterion{}}, {"k of the two dominant inputs", "", "1.83", Memory, criterion{}},
		{"k of all inputs, exact", "", "1.83", Memory, criterion{}}, {"U, exact", "mm", "0.06", Memory, criterion{}},
		{"k of two, all digits", "", "1.833892", Own, criterion{}}, {"k of all, all digits", "", "1.83432825", Own, criterion{}},
		{"u, all digits", "µm", "32.33956555", Own, criterion{}}, {"U, all digits", "µm", "59.3213787", Own, criterion{}},
	}},
}
