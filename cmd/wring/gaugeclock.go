package main

import (
	"strings"

	"example.org/wring/calib"
	"example.org/wring/registry"
)

// acceptedText lists the intervals that were accepted for single parts and
// count before the gauge's own.
func acceptedText(s registry.GaugeState) string {
	var out []string
	for _, a := range s.Accepted {
		out = append(out, string(a.Part)+" "+plural(a.New, "month"))
	}
	return strings.Join(out, ", ")
}

// intermediateText is the gauge's own second clock; the plan's goes without
// saying.
func intermediateText(g calib.Gauge) string {
	if g.IntermediateMonths == 0 {
		return ""
	}
	return "every " + plural(g.IntermediateMonths, "month")
}
