package evidence

const vectors = "error against ±4.0, w = U"

var decisionExamples = []example{
	{jcgm106, "7.4", "13.6, u 1.8, in 12.5 to 16.3", conformance, []printed{{"p_c", "", "0.66", Memory, criterion{}}}},
	{jcgm106, "9.5", "resistors of a process", resistorRisks, []printed{
		{"consumer's risk", "", "0.009878", Own, criterion{}}, {"producer's risk", "", "0.069027", Own, criterion{}},
	}},
	{jcgm106, "9.3.2", "acceptance limit in U, k = 2", guardFactors, []printed{
		{"risk 5 %", "", "0.822427", Own, criterion{}}, {"risk 2.5 %", "", "0.979982", Own, criterion{}},
		{"risk 1 %", "", "1.163174", Own, criterion{}}, {"risk 0.1 %", "", "1.545116", Own, criterion{}},
	}},
	{ilacG8, "4.2.3", vectors, fourVerdicts, []printed{
		{"3.0, U 1.0", "", "pass", Own, criterion{}}, {"3.5, U 1.0", "", "conditional pass", Own, criterion{}},
		{"4.0, U 1.0", "", "conditional pass", Own, criterion{}}, {"4.5, U 1.0", "", "conditional fail", Own, criterion{}},
		{"5.1, U 1.0", "", "fail", Own, criterion{}}, {"0.0, U 4.5", "", "cannot be decided", Own, criterion{}},
	}},
	{gumRounding, "two digits", "expanded uncertainty", roundedU, []printed{
		{"58.5235", "", "59", Own, criterion{}}, {"92.4666", "", "92", Own, criterion{}}, {"10.47", "", "10", Own, criterion{}},
		{"28.05", "", "28", Own, criterion{}}, {"1.049", "", "1.0", Own, criterion{}}, {"0.0996", "", "0.10", Own, criterion{}}, {"9.96", "", "10", Own, criterion{}},
	}},
	{gumRounding, "one digit", "expanded uncertainty", roundedOnce, []printed{{"1.43", "", "2", Own, criterion{}}}},
	{gumRounding, "GUM 7.2.6", "estimate to the place of u", roundedEstimate, []printed{{"10.05762, u 0.027", "Ω", "10.058", Memory, criterion{}}}},
	{iso13528, "9.6", "agreement of two results", agreementOfTwo, []printed{{"E_n", "", "0.685994", Own, criterion{}}}},
}
