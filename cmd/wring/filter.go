package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"example.org/wring/calib"
	"example.org/wring/registry"
)

// A filterNames holds what the gauges and standards of a registry have for a
// place, an owner and a kind.
type filterNames map[string][]string

func (f filterNames) add(filter, name string) {
	if name != "" && !slices.Contains(f[filter], name) {
		f[filter] = append(f[filter], name)
	}
}

// filtersKnown refuses a place, an owner or a kind that nothing in the registry
// has, so that a slip of the keyboard is not read as an all-clear. It looks
// through the whole fleet and is asked only where a filter left nothing.
func filtersKnown(tx *registry.Tx, c *cli.Context) error {
	if !slices.ContainsFunc([]string{"place", "owner", "kind"}, func(filter string) bool { return c.String(filter) != "" }) {
		return nil
	}
	names := filterNames{}
	for _, k := range calib.Kinds() {
		names.add("kind", string(k))
	}
	err := tx.Gauges(func(s registry.GaugeState) error {
		names.add("place", s.Gauge.Place)
		names.add("owner", s.Gauge.Owner)
		return nil
	})
	if err != nil {
		return err
	}
	err = tx.Standards(func(s registry.StandardState) error {
		names.add("place", s.Standard.Place)
		names.add("owner", s.Standard.Owner)
		names.add("kind", string(s.Standard.Kind))
		return nil
	})
	if err != nil {
		return err
	}
	for _, filter := range []string{"place", "owner", "kind"} {
		if err := names.refuse(filter, c.String(filter)); err != nil {
			return err
		}
	}
	return nil
}

func (f filterNames) refuse(filter, given string) error {
	if given == "" || slices.ContainsFunc(f[filter], func(name string) bool { return matches(name, given) }) {
		return nil
	}
	if near := near(given, f[filter]); len(near) > 0 {
		return fmt.Errorf("--%s %q: no gauge and no standard has it; nearest: %s", filter, given, strings.Join(near, ", "))
	}
	return fmt.Errorf("--%s %q: no gauge and no standard has it; want one that is in the registry", filter, given)
}

// near are the names within a slip of the keyboard, or those that hold what was
// given, as "micrometer" does in "outside micrometer".
func near(given string, names []string) []string {
	near := registry.Nearest(given, names)
	for _, name := range names {
		if strings.Contains(strings.ToLower(name), strings.ToLower(given)) && !slices.Contains(near, name) {
			near = append(near, name)
		}
	}
	return near
}
