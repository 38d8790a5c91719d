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

	// Invented marks a house made up for a demonstration; every paper says so.
	Invented bool `json:"invented,omitempty"`
}
