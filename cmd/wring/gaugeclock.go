package main

import (
	"fmt"
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

// usesText says how many surveys a gauge served since its last full check, and
// after how many it is due; nothing where it served none and none are counted.
func usesText(s registry.GaugeState) string {
	switch n := s.Gauge.IntervalUses; {
	case n > 0:
		return fmt.Sprintf("%d of %d since its last full check", s.Uses, n)
	case s.Uses > 0:
		return fmt.Sprintf("%d since its last full check", s.Uses)
	}
	return ""
}
