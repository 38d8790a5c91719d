package calib

import "example.org/wring/uncertainty/unit"

// A Kind is what a gauge is called in the trade.
type Kind string

// The kinds that a plan can check.
const (
	OutsideMicrometer Kind = "outside micrometer"
	Caliper           Kind = "caliper"
	DialGauge         Kind = "dial gauge"
	ThicknessGauge    Kind = "dial thickness gauge"

	// Gauges of force, mass and pressure are checked under known loads.
	ForceMeter    Kind = "force gauge"
	Scale         Kind = "scale"
	PressureGauge Kind = "pressure gauge"
)

// Dimension returns the kind of quantity a gauge of this kind is read in.
func (k Kind) Dimension() unit.Dimension {
	switch k {
	case ForceMeter:
		return unit.Force
	case Scale:
		return unit.Mass
	case PressureGauge:
		return unit.Pressure
	default:
		return unit.Length
	}
}

// A Gauge is a measuring instrument as it stands in the registry (JCGM
// 200:2012, 3.1). Its state, which changes with checks, is kept apart.
type Gauge struct {
	ID          string `json:"id" validate:"required,identity"`
	Kind        Kind   `json:"kind" validate:"required,kind"`
	Description string `json:"description,omitempty" validate:"max=120,line"`
	Maker       string `json:"maker,omitempty" validate:"max=80,line"`
	Type        string `json:"type,omitempty" validate:"max=80,line"`
	Serial      string `json:"serial,omitempty" validate:"max=80,line"`
	Software    string `json:"software,omitempty" validate:"max=80,line"` // version, of a gauge that has one
	Owner       string `json:"owner,omitempty" validate:"max=80,line"`
	Place       string `json:"place,omitempty" validate:"max=80,line"`
	Seal        string `json:"seal,omitempty" validate:"max=80,line"` // mark that shows an unintended adjustment

	// Low and High bound the measuring range, Low included.
	Low  unit.Quantity `json:"low"`
	High unit.Quantity `json:"high"`

	// Resolution is the smallest difference of indications that can be told
	// apart (JCGM 200, 4.14), above 0.
	Resolution unit.Quantity `json:"resolution"`

	// Unit is the symbol of the unit the gauge is read in, throughout.
	Unit string `json:"unit" validate:"required"`

	// Plan names how it is checked; IntervalMonths, above 0, overrules the
	// plan's interval; both may be left out.
	Plan           string `json:"plan,omitempty" validate:"omitempty,identity"`
	IntervalMonths int    `json:"interval_months,omitempty" validate:"min=0,max=240"`

	// IntervalUses, above 0, is after how many uses since its last full check
	// the gauge is due again, whatever the months say. A survey is a use.
	IntervalUses int `json:"interval_uses,omitempty" validate:"min=0,max=100000"`

	// IntermediateMonths, above 0, overrules the plan's.
	IntermediateMonths int `json:"intermediate_months,omitempty" validate:"min=0,max=240"`

	// DueAgreed says that its owner agreed to a due date on its certificate
	// (ISO/IEC 17025:2017, 7.8.4.3; clause from memory).
	DueAgreed bool `json:"due_agreed,omitempty"`

	Material Material `json:"material,omitzero"`

	// Flatness and Parallelism are those of the measuring faces, each as the
	// whole deviation, not given where they do not apply.
	Flatness    unit.Quantity `json:"flatness,omitzero"`
	Parallelism unit.Quantity `json:"parallelism,omitzero"`

	// FootDiameter is that of a thickness gauge's foot, FootArea the area of one
	// that is not round and takes its place. Expanded is U of the one that is
	// given, k = 2, from its certificate or drawing; not given: not known.
	FootDiameter unit.Quantity `json:"foot_diameter,omitzero"`
	FootArea     unit.Quantity `json:"foot_area,omitzero"`
	FootExpanded unit.Quantity `json:"foot_expanded,omitzero"`
}

// A Material is how a gauge or a standard grows with temperature.
type Material struct {
	Name string `json:"name,omitempty" validate:"max=40,line"`

	// Coefficient is the linear coefficient of expansion; HalfWidth bounds its
	// error, taken as rectangular.
	Coefficient unit.Quantity `json:"coefficient,omitzero"`
	HalfWidth   unit.Quantity `json:"half_width,omitzero"`
}

// IsZero reports whether nothing is known of the material.
func (m Material) IsZero() bool {
	return m.Name == "" && m.Coefficient.IsZero() && m.HalfWidth.IsZero()
}

// ReadIn returns the unit the gauge is read in; a valid gauge has one.
func (g Gauge) ReadIn() unit.Unit {
	u, _ := unit.Lookup(g.Unit, g.Kind.Dimension())
	return u
}

// A Status says what a gauge may be used for. "Due" and "overdue" are no
// status: they are computed from dates.
type Status string

// The statuses; a gauge has one at a time.
const (
	InService      Status = "in service"
	LimitedUse     Status = "in service with limits of use"
	IndicationOnly Status = "indication only"
	Away           Status = "away"
	Quarantined    Status = "quarantined"
	Failed         Status = "failed"
	Stored         Status = "stored"
	Lost           Status = "lost"
	Retired        Status = "retired"
)

// Statuses lists them in the order they are offered.
func Statuses() []Status {
	return []Status{InService, LimitedUse, IndicationOnly, Away, Quarantined, Failed, Stored, Lost, Retired}
}

// Recalled reports whether a gauge in this status is recalled when it is due:
// one that is stored, lost or retired is not waited for.
func (s Status) Recalled() bool { return s != Stored && s != Lost && s != Retired }

// Withdrawn reports whether a gauge in this status is out of the bench's hands
// for good, so that a check of it is a mistake in the identity.
func (s Status) Withdrawn() bool { return s == Lost || s == Retired }

// A StatusChange is one step in a gauge's life, with its reason.
type StatusChange struct {
	Gauge  string `json:"gauge" validate:"required,identity"`
	Status Status `json:"status" validate:"required"`
	Date   Date   `json:"date"`
	Reason string `json:"reason" validate:"required,max=400,line"`

	// Check is the entry of the check that brought it about; 0 where a person
	// decided.
	Check uint64 `json:"check,omitempty"`
}
