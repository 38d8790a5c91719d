package calib

import "example.org/wring/uncertainty/unit"

// A FootCheck is what was seen of a foot that bore on an instrument.
type FootCheck struct {
	// Instrument is the balance or the force gauge, by its identity.
	Instrument string       `json:"instrument" validate:"required,identity"`
	Points     []PressPoint `json:"points" validate:"min=1,max=50,dive"`

	// Diameter holds the readings of the foot's diameter by the gauge that
	// DiameterBy names; none: the gauge's record has it.
	Diameter   []Reading `json:"diameter,omitempty" validate:"max=50,dive"`
	DiameterBy string    `json:"diameter_by,omitempty" validate:"omitempty,identity"`
}

// A ForceCheck is what was seen of a measuring force.
type ForceCheck struct {
	Instrument string       `json:"instrument" validate:"required,identity"`
	Points     []PressPoint `json:"points" validate:"min=1,max=50,dive"`
}

// A PressPoint is what an instrument indicated at one opening: in mass for a
// balance, in force for a force gauge. Forward is lowering a foot, or driving a
// spindle in; Back is lifting or letting it out.
type PressPoint struct {
	At      unit.Quantity `json:"at"`
	Forward []Reading     `json:"forward,omitempty" validate:"max=50,dive"`
	Back    []Reading     `json:"back,omitempty" validate:"max=50,dive"`
}

// A LoadCheck is what a gauge indicated under known loads.
type LoadCheck struct {
	// Tester is the dead-weight pressure tester that bore the weights, by its
	// identity; empty where they were set on or hung from the gauge itself.
	Tester string `json:"tester,omitempty" validate:"omitempty,identity"`

	Zero   []Reading   `json:"zero,omitempty" validate:"max=50,dive"`   // before the first load
	Return []Reading   `json:"return,omitempty" validate:"max=50,dive"` // after the last was taken off
	Points []LoadPoint `json:"points" validate:"min=1,max=50,dive"`
}

// A LoadPoint is the indications under one load, on the way up and down.
type LoadPoint struct {
	Load    unit.Quantity `json:"load"` // nominal, as the plan writes it
	Weights []WeightUse   `json:"weights" validate:"min=1,max=40,dive"`
	Up      []Reading     `json:"up,omitempty" validate:"max=50,dive"`
	Down    []Reading     `json:"down,omitempty" validate:"max=50,dive"`
}

// A WeightUse is one weight of a load. Mark tells two of the same nominal
// value apart, as the serial number or the dot of its certificate does.
type WeightUse struct {
	Standard string        `json:"standard" validate:"required,identity"`
	Nominal  unit.Quantity `json:"nominal"`
	Mark     string        `json:"mark,omitempty" validate:"max=40,line"`
}
