package store

import (
	"fmt"
	"runtime/debug"
	"strings"
)

// guard runs one call into bbolt and turns its panics into a [*DamageError]:
// faults in the mapping of a file that is shorter or other than it should be,
// indexes out of bounds, and bbolt's own invariants. Nothing of the caller's
// runs inside a guard, so that a mistake of ours is never taken for damage.
//
// A fault at an address stops the program unless this goroutine has asked for
// a panic instead; see [debug.SetPanicOnFault].
func guard(path string, call func()) (damage *DamageError) {
	defer debug.SetPanicOnFault(debug.SetPanicOnFault(true))
	defer func() {
		if p := recover(); p != nil {
			damage = &DamageError{Path: path, Reason: fmt.Sprintf("%s; want pages that hang together", oneLine(p))}
		}
	}()
	call()
	return nil
}

// oneLine is what a panic said, in one line of bounded length.
func oneLine(p any) string {
	s := strings.Join(strings.Fields(fmt.Sprint(p)), " ")
	if len(s) > 200 {
		s = s[:200]
	}
	return s
}
