package calib

import "example.org/wring/uncertainty/unit"

// A House is the organisation that keeps the registry, and what it takes as
// read. A change of it is a new entry.
type House struct {
	Organisation string `json:"organisation" validate:"required,max=120,line"`
	Address      string `json:"address,omitempty" validate:"max=200,line"`
	Site         string `json:"site,omitempty" validate:"max=120,line"` // place where checks are made

	// Unit is the symbol of the unit that new gauges are read in unless said
	// otherwise.
	Unit string `json:"unit" validate:"required"`

	// Rule is the decision rule of plans that state none.
	Rule Rule `json:"rule"`

	// Latitude and Height give normal gravity; Gravity and GravityExpanded
	// (k = 2) take their place where it was measured. They are kept for checks
	// of force.
	Latitude        unit.Quantity `json:"latitude,omitzero"`
	Height          unit.Quantity `json:"height,omitzero"`
	Gravity         unit.Quantity `json:"gravity,omitzero"`
	GravityExpanded unit.Quantity `json:"gravity_expanded,omitzero"`

	// Paper is that of certificates and records where a command says none:
	// A4, also where it is empty, or Letter.
	Paper string `json:"paper,omitempty" validate:"omitempty,oneof=A4 Letter"`

	// DueWithin is how far ahead the list of what is due looks, as 30d, 6w or
	// 2m; empty: the program's own 30d.
	DueWithin string `json:"due_within,omitempty" validate:"max=6"`

	// RemindDays is after how many days without a backup a reminder is given;
	// 0: as the last backup said.
	RemindDays int `json:"remind_days,omitempty" validate:"min=0,max=3660"`

	// Care holds for loads of plans that state none of their own.
	Care Care `json:"care,omitzero"`

	// Invented marks a house made up for a demonstration; every paper says so.
	Invented bool `json:"invented,omitempty"`
}
