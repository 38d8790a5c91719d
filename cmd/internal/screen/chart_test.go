package screen

import (
	"math"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"
)

func TestChartSetsMarksLimitsBarsAndBreaks(t *testing.T) {
	c := Chart{Quantity: "error, µm", Limits: []float64{4, -4}, Breaks: []float64{2}, Ends: [2]string{"2022-11", "2025-11"},
		Marks:  []ChartMark{{X: 0, Y: 0.5, Bar: 1, Mark: '●'}, {X: 2, Y: 3, Mark: '●'}, {X: 3, Y: 0, Bar: 1, Mark: '○'}},
		Format: func(v float64) string { return strconv.FormatFloat(v, 'f', 0, 64) }}
	var b strings.Builder
	if err := c.Write(&b); err != nil {
		t.Fatal(err)
	}
	text := b.String()
	for _, want := range []string{"error, µm", " 4 │──", "-4 │──", " 0 │·", "●", "○", "┊", "2022-11", "2025-11"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not in\n%s", want, text)
		}
	}
	for line := range strings.SplitSeq(text, "\n") {
		if n := utf8.RuneCountInString(line); n > Width {
			t.Errorf("%d characters: %q", n, line)
		}
	}
}

func TestChartWithoutAnythingToDrawIsEmpty(t *testing.T) {
	for _, c := range []Chart{{}, {Limits: []float64{1}}, {Marks: []ChartMark{{Y: math.NaN()}}}, {Marks: []ChartMark{{Y: 1, Bar: math.Inf(1)}}}} {
		var b strings.Builder
		if err := c.Write(&b); err != nil || b.Len() > 0 {
			t.Errorf("%+v: %q, %v", c, b.String(), err)
		}
	}
	var b strings.Builder
	one := Chart{Marks: []ChartMark{{Y: 2, Mark: '●'}}, Format: func(float64) string { return "" }}
	if err := one.Write(&b); err != nil || !strings.Contains(b.String(), "●") {
		t.Errorf("one mark: %q, %v", b.String(), err)
	}
}
