package main

import (
	"strings"
	"testing"

	"example.org/wring/calib"
	"example.org/wring/registry"
)

func TestALongListInJSONHasTheBytesOfAnyAnswer(t *testing.T) {
	days := -3
	list := []dueAnswer{
		{DueRow: registry.DueRow{ID: "MIC-1", What: "a < b & \"c\"", Due: calib.MustDate("2026-11-25")}, State: stateOverdue, Days: &days},
		{DueRow: registry.DueRow{ID: "GB-1", Standard: true}, State: stateBare},
	}
	for n := 1; n <= len(list); n++ {
		var want, got strings.Builder
		if err := (desk{env: env{Out: &want}, json: true}).answer(list[:n], nil); err != nil {
			t.Fatal(err)
		}
		if err := jsonList(&got, list[:n]); err != nil {
			t.Fatal(err)
		}
		if got.String() != want.String() {
			t.Errorf("%d elements: got\n%swant\n%s", n, &got, &want)
		}
	}
}
