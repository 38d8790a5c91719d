package main

import (
	"runtime"
	"runtime/debug"
	"testing"
	"time"
)

func TestMemoryIsBoundedLooselyAfterTheFirstCollection(t *testing.T) {
	limit, percent := debug.SetMemoryLimit(-1), debug.SetGCPercent(100)
	defer func() { debug.SetMemoryLimit(limit); debug.SetGCPercent(percent) }()

	boundMemory(func(name string) string { return map[string]string{"GOGC": "50"}[name] })
	if now := debug.SetMemoryLimit(-1); now != limit {
		t.Fatalf("with GOGC set the limit is %d, want it left at %d", now, limit)
	}
	boundMemory(func(string) string { return "" })
	for range 100 { // the finalizer runs after the collection that finds its object free
		runtime.GC()
		if debug.SetMemoryLimit(-1) == enough {
			break
		}
		time.Sleep(10 * time.Millisecond)
	}
	if now := debug.SetMemoryLimit(-1); now != enough {
		t.Errorf("after collections the limit is %d, want %d", now, enough)
	}
	if was := debug.SetGCPercent(100); was != 100 {
		t.Errorf("after collections the collector runs at %d %%, want 100", was)
	}
}
