// Command flags measures what the flags of drift are worth: it runs stable and
// drifting fleets of invented gauges through the program's own evaluation and
// assessment, and prints how many are flagged, when, and how far the forecast
// dates are off.
package main

import (
	"flag"
	"fmt"
	"os"
)

func main() {
	gauges := flag.Int("gauges", 200, "in each fleet, 10 to 20000")
	seed := flag.Uint64("seed", 1, "of the random numbers")
	flag.Parse()
	if err := run(os.Stdout, *gauges, *seed); err != nil {
		fmt.Fprintln(os.Stderr, "flags:", err)
		os.Exit(1)
	}
}
