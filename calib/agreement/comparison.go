package agreement

import (
	"fmt"
	"math"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/unit"
)

// A Comparison is what two parties, or two gauges, said of the same specimens.
type Comparison struct {
	Title  string     `json:"title,omitempty" validate:"max=120,line"`
	Date   calib.Date `json:"date"`
	Person string     `json:"person" validate:"required,max=80,line"` // who compared
	A      Party      `json:"a"`
	B      Party      `json:"b"`

	Specimens []Specimen `json:"specimens" validate:"min=1,max=200,dive"`

	// PerDoubling is by how much the specimens' size changes where the pressure
	// on them is doubled; not given: not known.
	PerDoubling unit.Quantity `json:"per_doubling,omitzero"`

	// Shared names the standards that both rest on.
	Shared []string `json:"shared,omitempty" validate:"max=20,dive,identity"`

	Remarks string `json:"remarks,omitempty" validate:"max=400,line"`
}

// A Party is who measured, with what and how. What is not given is not known.
type Party struct {
	Name       string `json:"name" validate:"required,max=80,line"`
	Gauge      string `json:"gauge,omitempty" validate:"omitempty,identity"` // in this registry
	Instrument string `json:"instrument,omitempty" validate:"max=120,line"`  // in words
	Method     string `json:"method,omitempty" validate:"max=120,line"`

	FootDiameter unit.Quantity `json:"foot_diameter,omitzero"`
	FootArea     unit.Quantity `json:"foot_area,omitzero"`
	Pressure     unit.Quantity `json:"pressure,omitzero"`
	Dwell        float64       `json:"dwell,omitempty" validate:"gte=0,lte=3600"` // s; 0: not known

	// Entry is the one that the figures were taken from; 0: they were handed in.
	Entry uint64 `json:"entry,omitempty"`

	Budget []BudgetLine `json:"budget,omitempty" validate:"max=60,dive"`
}

// A BudgetLine is one contribution to a party's uncertainty, of what both
// parties share only the part beyond [Specimen].Common.
type BudgetLine struct {
	Name     string        `json:"name" validate:"required,max=120,line"`
	Standard unit.Quantity `json:"standard"` // contribution to the standard uncertainty, in the unit of the result
	Source   string        `json:"source,omitempty" validate:"max=200,line"`
}

// A Specimen is what both said of one thing.
type Specimen struct {
	Name string `json:"name" validate:"required,max=40,line"`
	A    Value  `json:"a"`
	B    Value  `json:"b"`

	// Common is the standard uncertainty that both sizes share in full, as of
	// the same blocks with one certificate: it is in both claims and in no
	// difference. Not given: nothing is known to be shared. 0 to either claim.
	Common unit.Quantity `json:"common,omitzero"`
}

// A Value is a result with its expanded uncertainty.
type Value struct {
	Size     unit.Quantity `json:"size"`
	Expanded unit.Quantity `json:"expanded"`
	K        float64       `json:"k,omitempty" validate:"gte=0,lte=20"` // coverage factor of Expanded; 0: 2
}

// Sound checks what a comparison's fields say together.
func (c Comparison) Sound() error {
	if c.A.Name == c.B.Name {
		return fmt.Errorf("party %q: compared with itself; want two names", c.A.Name)
	}
	if c.A.Gauge != "" && c.A.Gauge == c.B.Gauge && c.A.Entry == c.B.Entry {
		return fmt.Errorf("gauge %s: on both sides; want two gauges, or a party that has another", c.A.Gauge)
	}
	if len(c.Specimens) == 0 {
		return fmt.Errorf("no specimen; want what both said of at least one")
	}
	d := c.Specimens[0].A.Size.Unit().Dimension()
	seen := map[string]bool{}
	for i, s := range c.Specimens {
		at := fmt.Sprintf("specimen %d, %s", i+1, s.Name)
		if seen[s.Name] {
			return fmt.Errorf("%s: for the second time; want each once", at)
		}
		seen[s.Name] = true
		for _, side := range []struct {
			name string
			v    Value
		}{{c.A.Name, s.A}, {c.B.Name, s.B}} {
			if err := side.v.sound(d); err != nil {
				return fmt.Errorf("%s: %s: %w", at, side.name, err)
			}
		}
		if err := s.commonSound(d); err != nil {
			return fmt.Errorf("%s: %w", at, err)
		}
	}
	if !c.PerDoubling.IsZero() && c.PerDoubling.Unit().Dimension() != d {
		return fmt.Errorf("per doubling %q: a %s; want a %s, as the specimens", c.PerDoubling, c.PerDoubling.Unit().Dimension(), d)
	}
	for _, p := range []Party{c.A, c.B} {
		if err := p.sound(d); err != nil {
			return fmt.Errorf("%s: %w", p.Name, err)
		}
	}
	return nil
}

func (s Specimen) commonSound(d unit.Dimension) error {
	if s.Common.IsZero() {
		return nil
	}
	if s.Common.Unit().Dimension() != d || s.Common.Inner().Sign() < 0 {
		return fmt.Errorf("common %s: no standard uncertainty of a %s; want what both share, 0 or more", s.Common, d)
	}
	if c := s.common(); !(c <= s.A.standard() && c <= s.B.standard() && c < math.Max(s.A.standard(), s.B.standard())) {
		return fmt.Errorf("common %s: leaves neither side an uncertainty of its own; want less than either claims", s.Common)
	}
	return nil
}

func (v Value) sound(d unit.Dimension) error {
	switch {
	case v.Size.IsZero():
		return fmt.Errorf("no size; want what was measured")
	case v.Expanded.IsZero():
		return fmt.Errorf("no expanded uncertainty; want it, since without it nothing can be said of agreement")
	case v.Size.Unit().Dimension() != d || v.Expanded.Unit().Dimension() != d:
		return fmt.Errorf("%s ± %s beside a %s; want one kind of quantity throughout", v.Size, v.Expanded, d)
	case v.Expanded.Inner().Sign() <= 0:
		return fmt.Errorf("expanded uncertainty %s: not above 0; want what is claimed", v.Expanded)
	case v.K < 0 || v.K != v.K:
		return fmt.Errorf("k %v: not above 0; want the coverage factor", v.K)
	}
	return nil
}

func (p Party) sound(d unit.Dimension) error {
	for _, q := range []struct {
		name string
		q    unit.Quantity
	}{{"foot diameter", p.FootDiameter}, {"foot area", p.FootArea}, {"pressure", p.Pressure}} {
		if !q.q.IsZero() && q.q.Inner().Sign() <= 0 {
			return fmt.Errorf("%s %s: not above 0; want a size", q.name, q.q)
		}
	}
	if !p.FootDiameter.IsZero() && !p.FootArea.IsZero() {
		return fmt.Errorf("foot: a diameter and an area; want one of them")
	}
	for _, l := range p.Budget {
		if l.Standard.Unit().Dimension() != d || l.Standard.Inner().Sign() < 0 {
			return fmt.Errorf("%s %s: no standard uncertainty of a %s; want its part of the result's, 0 or more", l.Name, l.Standard, d)
		}
	}
	return nil
}
