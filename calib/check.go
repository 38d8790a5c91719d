package calib

import "example.org/wring/uncertainty/unit"

// A Stage says whether a gauge was checked as it came or after an adjustment.
type Stage string

// The stages; they are never mixed in one series.
const (
	AsFound Stage = "as found"
	AsLeft  Stage = "as left"
)

// A Check is what was observed, and nothing that was computed.
type Check struct {
	Gauge    string `json:"gauge" validate:"required,identity"`
	Plan     string `json:"plan" validate:"required,identity"`
	Revision int    `json:"revision" validate:"min=1"`
	Stage    Stage  `json:"stage" validate:"required,oneof='as found' 'as left'"`

	// Purpose is full where it is left out.
	Purpose Purpose `json:"purpose,omitempty" validate:"omitempty,oneof=full intermediate"`

	Date     Date   `json:"date"`
	Received Date   `json:"received,omitzero"`                      // when the gauge came, where that matters; not after Date
	Person   string `json:"person" validate:"required,max=80,line"` // who performed it

	Conditions Conditions `json:"conditions,omitzero"`

	// Standards are the identities of what was used, in the order named.
	Standards []string `json:"standards" validate:"max=20,dive,identity"`

	// Zero holds the readings of the zero, where the plan takes one.
	Zero   []Reading `json:"zero,omitempty" validate:"max=50,dive"`
	Points []Point   `json:"points,omitempty" validate:"required_without_all=Foot Force Load,max=200,dive"`

	// Foot, Force and Load are what was seen of the other parts; nil: not
	// recorded.
	Foot  *FootCheck  `json:"foot,omitempty"`
	Force *ForceCheck `json:"force,omitempty"`
	Load  *LoadCheck  `json:"load,omitempty"`

	// Skipped are the places of the plan that were left out, each with why. One
	// of them was not taken.
	Skipped []Skip `json:"skipped,omitempty" validate:"max=200,dive"`

	Site      string `json:"site,omitempty" validate:"max=200,line"`      // where it was performed; empty: where the house makes its checks
	Condition string `json:"condition,omitempty" validate:"max=400,line"` // of the gauge, as received
	Remarks   string `json:"remarks,omitempty" validate:"max=400,line"`
}

// A Skip is a point, an opening or a load that was left out with a reason.
type Skip struct {
	Part   Part          `json:"part" validate:"required"`
	At     unit.Quantity `json:"at"`
	Reason string        `json:"reason" validate:"required,max=200,line"`
}

// WhySkipped returns why a place of a part was left out; it reports false for
// one that was not.
func (c Check) WhySkipped(part Part, at unit.Quantity) (string, bool) {
	for _, s := range c.Skipped {
		if s.Part == part && s.At.Same(at) {
			return s.Reason, true
		}
	}
	return "", false
}

// Conditions are those of the room and the bench at the time.
type Conditions struct {
	// Gauge and Blocks are the temperatures of each; Blocks not given means
	// both were at the one that was read.
	Gauge  unit.Quantity `json:"gauge,omitzero"`
	Blocks unit.Quantity `json:"blocks,omitzero"`

	// Humidity, relative, in per cent, and Pressure, of the air, count only for
	// the density of the air.
	Humidity unit.Quantity `json:"humidity,omitzero"`
	Pressure unit.Quantity `json:"pressure,omitzero"`
}

// IsZero reports whether no condition was recorded.
func (c Conditions) IsZero() bool {
	return c.Gauge.IsZero() && c.Blocks.IsZero() && c.Humidity.IsZero() && c.Pressure.IsZero()
}

// BlocksAt returns the blocks' temperature: theirs, or the one that was read.
func (c Conditions) BlocksAt() unit.Quantity {
	if c.Blocks.IsZero() {
		return c.Gauge
	}
	return c.Blocks
}

// A Point is the readings at one size.
type Point struct {
	Nominal  unit.Quantity `json:"nominal"`
	Blocks   []BlockUse    `json:"blocks" validate:"max=12,dive"`
	Readings []Reading     `json:"readings" validate:"max=50,dive"`
}

// A BlockUse is one block of a stack.
type BlockUse struct {
	Standard string        `json:"standard" validate:"required,identity"`
	Nominal  unit.Quantity `json:"nominal"`
}

// A Reading is one indication, as typed.
type Reading struct {
	Indication unit.Quantity `json:"indication"`
	Comment    string        `json:"comment,omitempty" validate:"max=200,line"`
}

// A StandardOnDay is a standard with the certificate that counts on the day of
// the check; Certificate is zero where none does.
type StandardOnDay struct {
	Standard    Standard
	Certificate Certificate
}

// A Basis is what a check rests on, as it stood on that day.
type Basis struct {
	Gauge     Gauge
	Status    Status
	Plan      Plan
	Standards []StandardOnDay

	// House says where on earth the loads were weighed; zero for a check of
	// length, which does not rest on it.
	House House
}

// Find returns the standard of that identity.
func (b Basis) Find(id string) (StandardOnDay, bool) {
	for _, s := range b.Standards {
		if s.Standard.ID == id {
			return s, true
		}
	}
	return StandardOnDay{}, false
}
