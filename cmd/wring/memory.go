package main

import (
	"runtime"
	"runtime/debug"
)

// These bound the memory that the program takes of its own, in bytes: house
// rules. A command at the bench ends before it has used little, and collects
// nothing; one that has used that much collects from then on as Go does, and
// clears up before it takes more than enough, which lies below the 200 MB that
// no command is to take for a fleet of a hundred thousand gauges.
const (
	little = 40 << 20
	enough = 150 << 20
)

// boundMemory sets the bounds, unless GOMEMLIMIT or GOGC says otherwise.
func boundMemory(getenv func(string) string) {
	if getenv("GOMEMLIMIT") != "" || getenv("GOGC") != "" {
		return
	}
	debug.SetGCPercent(-1)
	debug.SetMemoryLimit(little)
	// The first collection finds that nobody holds this.
	runtime.SetFinalizer(new([16]byte), func(*[16]byte) {
		debug.SetGCPercent(100)
		debug.SetMemoryLimit(enough)
	})
}
