// Command bench measures the program beside an obvious alternative and beside
// what the machine allows, in one run, and prints the ratios.
//
// It makes a registry of invented micrometers through the same code that users
// use, the same data in SQLite (the command sqlite3 must be there; without it
// those columns stay empty), asks both the same questions in turn, and does by
// hand what neither can do without: write pages and wait for the disk, hash,
// read memory, draw random numbers.
package main

import (
	"flag"
	"fmt"
	"os"
	"strconv"
	"strings"
	"time"

	"example.org/wring/registry"
)

func main() {
	o := options{out: os.Stdout, errs: os.Stderr, now: time.Now}
	sizes := flag.String("gauges", "1000", "how many, one size or several with commas, 100 to 100000")
	flag.IntVar(&o.checks, "checks", 4, "of each gauge, one a year, 2 to 20")
	flag.IntVar(&o.runs, "runs", 5, "of each operation, 3 to 50")
	flag.Uint64Var(&o.seed, "seed", 1, "of the random numbers")
	flag.StringVar(&o.dir, "dir", "", "where the files are made, and left; without it a folder that is removed")
	open := flag.String("open", "", "only open and close this registry: what other operations are held against")
	memory := flag.Bool("memory", false, "only run the command that follows, and say how much memory it had at most")
	flag.Parse()
	var err error
	if *open != "" {
		err = openAndClose(*open)
	} else if *memory && flag.NArg() > 0 {
		err = tellMemory(os.Stdout, flag.Args())
	} else if o.sizes, err = parseSizes(*sizes); err == nil {
		err = run(o)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "bench:", err)
		os.Exit(1)
	}
}

func openAndClose(path string) error {
	r, err := registry.OpenReading(path)
	if err != nil {
		return err
	}
	return r.Close()
}

func parseSizes(text string) (sizes []int, err error) {
	for _, s := range strings.Split(text, ",") {
		n, err := strconv.Atoi(s)
		if err != nil || n < 100 || n > 100_000 {
			return nil, fmt.Errorf("%q gauges; want 100 to 100000", s)
		}
		sizes = append(sizes, n)
	}
	return sizes, nil
}
