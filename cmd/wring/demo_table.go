package main

import (
	"example.org/wring/calib"
	"example.org/wring/uncertainty/unit"
)

// Everything in the demonstration is invented: the house, its people, gauges,
// standards, laboratories, numbers and dates.

var demoHouse = calib.House{
	Organisation: "Harmen & Zoon, bellows makers (invented)",
	Address:      "Kerkstraat 00, 0000 XX Nergensdam, Nowhere",
	Site:         "Toolroom, ground floor",
	Latitude:     unit.Must("52.1 °", unit.PlaneAngle),
	Height:       unit.Must("12 m", unit.Length),
	Unit:         "mm",
	Rule:         calib.Rule{Name: "simple acceptance"},
	Invented:     true,
}

// A demoStandard is a standard with the dates of its certificates.
type demoStandard struct {
	standard   calib.Standard
	material   string
	values     string // file of the values, empty where there are none
	laboratory string
	route      calib.Route
	dates      []string
}

var demoStandards = []demoStandard{
	{calib.Standard{ID: "GB-1", Kind: calib.BlockSet, Grade: "1", Description: "steel set, 47 pieces", Serial: "77 120", Place: "toolroom", IntervalMonths: 24},
		"steel", "demo/gb-1.csv", "Length Laboratory of Nergensdam (invented)", calib.ByAccredited, []string{"2022-02-08", "2024-02-06", "2026-02-03"}},
	{calib.Standard{ID: "GB-2", Kind: calib.BlockSet, Grade: "0", Description: "small ceramic set", Serial: "C4", Place: "toolroom"},
		"ceramic", "demo/gb-2.csv", "Maker of the set (invented)", calib.ByEvidence, []string{"2021-09-14"}},
	{calib.Standard{ID: "GB-IN", Kind: calib.BlockSet, Grade: "1", Description: "inch set, inherited with the building", Serial: "R 9", Place: "toolroom", IntervalMonths: 36},
		"steel", "demo/gb-in.csv", "Length Laboratory of Nergensdam (invented)", calib.ByAccredited, []string{"2022-03-01", "2025-02-25"}},
	{calib.Standard{ID: "TH-1", Kind: calib.Thermometer, Description: "bench thermometer", Serial: "T 31", Place: "toolroom", IntervalMonths: 36},
		"", "", "Length Laboratory of Nergensdam (invented)", calib.ByAccredited, []string{"2022-02-08", "2025-02-04"}},
	{calib.Standard{ID: "BAL-1", Kind: calib.Balance, Description: "bench balance, 1 kg", Serial: "W 9", Place: "toolroom", IntervalMonths: 24},
		"", "demo/bal-1.csv", "Mass Laboratory of Nergensdam (invented)", calib.ByAccredited, []string{"2022-05-10", "2024-05-14", "2026-05-12"}},
}

var demoPlans = []string{"micrometer-0-25", "micrometer-25-50", "micrometer-50-75", "micrometer-75-100", "micrometer-0-1in",
	"caliper-150", "caliper-300-digital", "dial-gauge-10", "thickness-leather", "thickness-hand-in", "foot-hand-lifted"}

// A demoGauge is a gauge with the story of its checks.
type demoGauge struct {
	id          string
	kind        calib.Kind
	description string
	place       string
	low, high   string
	resolution  string
	unit        string
	plan        string
	set         string // block set it is checked with
	registered  string

	checks []demoCheck
}

// A demoCheck is one check: its date, who made it, at which temperature, and
// how the gauge was off: zero and slope of its error curve, and the spread of
// the readings.
type demoCheck struct {
	date        string
	person      string
	stage       calib.Stage
	temperature string
	zeroUM      float64 // µm
	perMM       float64 // µm per mm
	spreadUM    float64 // µm
}

var demoGauges = []demoGauge{
	{"MIC-014", calib.OutsideMicrometer, "outside micrometer, bench 1", "bench 1", "0", "25", "0.001", "mm", "micrometer-0-25", "GB-1", "2022-10-03", []demoCheck{
		{"2022-11-14", "EK", calib.AsFound, "20.6", 0.2, 0.02, 0.4}, {"2023-11-13", "EK", calib.AsFound, "20.1", 0.3, 0.03, 0.4},
		{"2024-11-18", "JV", calib.AsFound, "19.8", 0.4, 0.03, 0.5}, {"2025-11-17", "EK", calib.AsFound, "20.4", 0.6, 0.03, 0.4}}},
	{"MIC-021", calib.OutsideMicrometer, "outside micrometer, reed plates", "bench 1", "25", "50", "0.001", "mm", "micrometer-25-50", "GB-1", "2022-10-03", []demoCheck{
		{"2022-11-14", "EK", calib.AsFound, "20.6", 0.1, 0.0, 0.4}, {"2023-11-13", "EK", calib.AsFound, "20.1", 1.0, 0.0, 0.4},
		{"2024-11-18", "JV", calib.AsFound, "19.8", 1.9, 0.0, 0.4}, {"2025-11-17", "EK", calib.AsFound, "20.4", 2.8, 0.0, 0.4}}},
	{"MIC-030", calib.OutsideMicrometer, "outside micrometer", "store", "50", "75", "0.001", "mm", "micrometer-50-75", "GB-1", "2026-09-21", nil},
	{"MIC-031", calib.OutsideMicrometer, "outside micrometer, frames", "bench 2", "75", "100", "0.001", "mm", "micrometer-75-100", "GB-1", "2022-10-03", []demoCheck{
		{"2022-11-15", "EK", calib.AsFound, "20.9", 0.4, 0.01, 0.5}, {"2023-11-14", "EK", calib.AsFound, "20.2", 0.5, 0.01, 0.5},
		{"2024-11-19", "JV", calib.AsFound, "19.9", 0.4, 0.01, 0.5}}},
	{"MIC-IN-2", calib.OutsideMicrometer, "inch micrometer, inherited", "bench 2", "0", "1", "0.0001", "in", "micrometer-0-1in", "GB-IN", "2022-10-04", []demoCheck{
		{"2023-01-16", "JV", calib.AsFound, "20.3", 0.5, 0.02, 0.8}, {"2024-01-15", "JV", calib.AsFound, "20.0", 0.6, 0.02, 0.8},
		{"2025-01-20", "JV", calib.AsFound, "20.8", 0.4, 0.02, 0.8}, {"2026-01-19", "EK", calib.AsFound, "20.2", 0.7, 0.02, 0.8}}},
	{"CAL-003", calib.Caliper, "vernier caliper, wood strips", "bench 3", "0", "150", "0.05", "mm", "caliper-150", "GB-1", "2022-10-04", []demoCheck{
		{"2023-03-06", "EK", calib.AsFound, "20.5", 0, 0, 2}, {"2024-03-04", "EK", calib.AsFound, "20.7", 0, 0, 2},
		{"2025-03-10", "JV", calib.AsFound, "20.1", 100, 0, 2}, {"2025-03-10", "JV", calib.AsLeft, "20.3", 0, 0, 2},
		{"2026-03-09", "EK", calib.AsFound, "20.0", 0, 0, 2}}},
	{"CAL-011", calib.Caliper, "digital caliper", "bench 2", "0", "300", "0.01", "mm", "caliper-300-digital", "GB-1", "2022-10-04", []demoCheck{
		{"2023-03-06", "EK", calib.AsFound, "20.5", 2, 0.02, 3}, {"2024-03-04", "EK", calib.AsFound, "20.7", 3, 0.02, 3},
		{"2025-03-10", "JV", calib.AsFound, "20.1", 3, 0.02, 3}, {"2026-03-09", "EK", calib.AsFound, "20.0", 4, 0.02, 3}}},
	{"DIA-004", calib.DialGauge, "dial gauge of the bench comparator", "toolroom", "0", "10", "0.01", "mm", "dial-gauge-10", "GB-1", "2022-10-05", []demoCheck{
		{"2023-06-12", "EK", calib.AsFound, "20.9", 1, 0.2, 2}, {"2024-06-10", "JV", calib.AsFound, "21.2", 1, 0.2, 2},
		{"2025-06-16", "EK", calib.AsFound, "20.8", 1, 0.3, 2}, {"2026-06-15", "EK", calib.AsFound, "21.0", 1, 0.3, 2}}},
	{"THK-002", calib.ThicknessGauge, "dial thickness gauge, goat-skin gussets", "goods-in", "0", "10", "0.01", "mm", "thickness-leather", "GB-1", "2022-10-05", []demoCheck{
		{"2023-12-04", "JV", calib.AsFound, "20.4", 2, 0.3, 2}, {"2024-12-02", "JV", calib.AsFound, "20.1", 2, 0.4, 2},
		{"2025-12-08", "EK", calib.AsFound, "19.9", 3, 0.4, 2}}},
	{"THK-005", calib.ThicknessGauge, "hand-lifted dial gauge, felt pads", "goods-in", "0", "0.5", "0.001", "in", "thickness-hand-in", "GB-IN", "2022-10-05", []demoCheck{
		{"2024-12-02", "JV", calib.AsFound, "20.1", 5, 0.5, 6}, {"2025-12-08", "EK", calib.AsFound, "19.9", 6, 0.5, 6},
		{"2026-10-20", "EK", calib.AsFound, "20.3", 10, 25, 6}}}, // it fell the day before
}
