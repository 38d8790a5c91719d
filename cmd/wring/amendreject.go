package main

import (
	"slices"
	"strconv"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/registry"
)

// reject takes readings out of the result; their numbers are those of the check
// that is amended, so the later ones of a run go first.
func (a *amending) reject(list []string) error {
	type gone struct {
		run calib.Run
		n   int
	}
	var all []gone
	for _, text := range list {
		r, run, err := a.rejection(text)
		if err != nil {
			return err
		}
		if slices.ContainsFunc(all, func(o gone) bool { return o.run.Is(run) && o.n == r.Reading }) {
			return usagef("--reject %q: named twice; want each reading once", text)
		}
		a.rejected, all = append(a.rejected, r), append(all, gone{run, r.Reading})
	}
	slices.SortFunc(all, func(x, y gone) int { return y.n - x.n })
	for _, g := range all {
		*g.run.Readings = slices.Delete(*g.run.Readings, g.n-1, g.n)
	}
	return nil
}

// rejection reads POINT:READING=REASON.
func (a *amending) rejection(text string) (registry.Rejection, calib.Run, error) {
	where, reason, ok := strings.Cut(text, "=")
	at, number, both := strings.Cut(where, ":")
	n, err := strconv.Atoi(number)
	if !ok || !both || err != nil || strings.TrimSpace(reason) == "" {
		return registry.Rejection{}, calib.Run{}, usagef("--reject %q: want POINT:READING=REASON, as 5.1:2=dropped", text)
	}
	run, err := a.run(text, at)
	if err != nil {
		return registry.Rejection{}, run, err
	}
	r := registry.Rejection{Point: run.Point, Nominal: run.Place, Reading: n, Reason: strings.TrimSpace(reason)}
	if run.Part != calib.LengthPart {
		r.Part, r.Way = run.Part, run.Way
	}
	if readings := *run.Readings; n < 1 || n > len(readings) {
		return r, run, usagef("--reject %q: no reading %d at %s; it has %s", text, n, run, plural(len(readings), "reading"))
	}
	r.Indication = (*run.Readings)[n-1].Indication.String()
	return r, run, nil
}

// run finds the readings that a place names: a size, or zero; of a part by
// force its word in a check sheet, the way, and the opening or the load.
func (a *amending) run(text, at string) (calib.Run, error) {
	part, words := calib.LengthPart, strings.Fields(at)
	if len(words) > 1 {
		switch words[0] {
		case "foot":
			part = calib.FootPart
		case "force":
			part = calib.ForcePart
		case "load":
			part = calib.LoadPart
		}
	}
	var named []string
	for _, r := range a.check.Runs() {
		if r.Part != part || len(*r.Readings) == 0 {
			continue
		}
		fits := false
		if part == calib.LengthPart {
			q, err := parseLength(at, a.gauge)
			fits = at == r.Place || err == nil && r.Point > 0 && a.check.Points[r.Point-1].Nominal.Same(q)
		} else {
			number, _, _ := strings.Cut(r.Place, " ")
			place := strings.Join(words[2:], " ")
			fits = words[1] == r.Word() && (place == r.Place || place == number || place == "" && r.Point == 0)
		}
		if fits {
			return r, nil
		}
		named = append(named, r.String())
	}
	if part == calib.LengthPart && at != "zero" {
		q, err := parseLength(at, a.gauge)
		if err != nil {
			return calib.Run{}, inOption("reject", err)
		}
		return calib.Run{}, usagef("--reject %q: %s is no point of this check; want one of its sizes, or zero", text, q)
	}
	return calib.Run{}, usagef("--reject %q: no readings of that name; want one of %s", text, strings.Join(named, "; "))
}
