package presser

import "fmt"

// A PlaceError names what a check says at one place that cannot be worked
// with, whatever the plan's gates are.
type PlaceError struct {
	Place string // "foot: opening 2", "load 3"
	Found string
	Want  string
}

func (e *PlaceError) Error() string { return fmt.Sprintf("%s: %s; %s", e.Place, e.Found, e.Want) }
