package calib

import (
	"slices"
	"strings"

	"example.org/wring/uncertainty/unit"
)

// PartTerms are what every part of a plan says beside what is peculiar to it.
type PartTerms struct {
	// IntervalMonths is the time from one check of this part to the next; 0
	// where the plan's own holds.
	IntervalMonths int `json:"interval_months,omitempty" validate:"min=0,max=240"`

	// Rule is the part's own; where it has no name the plan's holds.
	Rule Rule `json:"rule,omitzero" validate:"omitempty"`

	// Readings is how many are taken at a place and in a direction; fewer than
	// Minimum are too few.
	Readings int `json:"readings" validate:"min=1,max=50"`
	Minimum  int `json:"minimum" validate:"min=1,max=50,ltefield=Readings"`

	// Unit is the symbol of the unit of readings that were typed without one:
	// that of the instrument that is read.
	Unit string `json:"unit,omitempty"`

	// Believable is how far a reading may lie outside its band or from its
	// load, in per cent of them, and be taken for a reading and not for a slip;
	// not given: 50 % (house rule: a unit or a decimal place is more).
	Believable unit.Quantity `json:"believable,omitzero"`

	// Contributions size lines of the budget that the records leave open, and
	// add others. What gravity, weights, instrument and foot contribute is in
	// every budget, whether it is named here or not.
	Contributions []Contribution `json:"contributions,omitempty" validate:"max=40,dive"`
}

// The contributions to the uncertainty of a part beside length. Some are also
// contributions to a length.
const (
	InstrumentCalibration ContributionKind = "instrument"
	InstrumentDrift       ContributionKind = "instrument drift"
	WeightCalibration     ContributionKind = "weights"
	WeightDrift           ContributionKind = "weight drift"
	LocalGravity          ContributionKind = "gravity"
	AirBuoyancy           ContributionKind = "air buoyancy"
	FootSize              ContributionKind = "foot size"
	PistonArea            ContributionKind = "piston area"
	PistonTemperature     ContributionKind = "piston temperature"
	PressureHead          ContributionKind = "head"
	PistonDistortion      ContributionKind = "piston distortion"
	PistonExpansion       ContributionKind = "piston expansion"
	SurfaceTension        ContributionKind = "surface tension"
)

// PartContributionKinds lists what a plan may size or add in a part beside
// length; the others have their size from the records alone.
func PartContributionKinds() []ContributionKind {
	return []ContributionKind{Repeatability, Resolution, ZeroResolution, InstrumentDrift, WeightDrift, AirBuoyancy,
		FootSize, PistonTemperature, Mechanical, OtherEffect}
}

// A Band is what a measured value must lie in, its ends included.
type Band struct {
	Low  unit.Quantity `json:"low,omitzero"`  // not given: open
	High unit.Quantity `json:"high,omitzero"` // not given: open

	// Origin says whose figures they are, as [Limit] does.
	Origin string `json:"origin,omitempty" validate:"max=300,line"`
}

// IsZero reports whether the band bounds nothing.
func (b Band) IsZero() bool { return b.Low.IsZero() && b.High.IsZero() }

// Dimension returns that of what the band bounds, empty where it bounds nothing.
func (b Band) Dimension() unit.Dimension {
	if b.Low.IsZero() {
		return b.High.Unit().Dimension()
	}
	return b.Low.Unit().Dimension()
}

// A Drive is what presses a gauge's foot.
type Drive string

// The drives. A spring presses harder the further it is opened, so that its
// gauge is judged at each opening.
const (
	DeadWeight Drive = "dead weight"
	Spring     Drive = "spring"
)

// A FootPlan verifies force and pressure of a thickness gauge's foot, which
// bears on a balance or a force gauge at several openings.
type FootPlan struct {
	PartTerms
	Drive    Drive           `json:"drive" validate:"required,oneof='dead weight' spring"`
	Openings []unit.Quantity `json:"openings" validate:"min=3,max=50"` // lengths, ascending

	// Band holds the pressure, or the force or the load where it is written in
	// a unit of those, of a dead weight, at each opening and in each direction.
	Band Band `json:"band"`

	// Bands hold the same for a spring, one for each opening: one wide enough
	// for the whole travel would let a weak spring pass where it should be
	// strong.
	Bands []OpeningBand `json:"bands,omitempty" validate:"required_if=Drive spring,max=50"`

	// Friction bounds half the difference between lifting and lowering, Spread
	// the largest less the smallest mean over the travel; each in the dimension
	// of the band. Not given: reported and not judged.
	Friction unit.Quantity `json:"friction,omitzero"`
	Spread   unit.Quantity `json:"spread,omitzero"`

	// Diameter is what the method wants of the foot; not given: not judged.
	Diameter Band `json:"diameter,omitzero"`
}

// An OpeningBand bounds what a foot presses with at one opening.
type OpeningBand struct {
	At   unit.Quantity `json:"at"` // one of the plan's openings
	Band Band          `json:"band"`
}

// BandAt returns what holds at an opening.
func (p FootPlan) BandAt(at unit.Quantity) Band {
	for _, b := range p.Bands {
		if b.At.Same(at) {
			return b.Band
		}
	}
	return p.Band
}

// AllBands lists the bands of the plan, that of a dead weight or those of a
// spring's openings.
func (p FootPlan) AllBands() []Band {
	if len(p.Bands) == 0 {
		return []Band{p.Band}
	}
	var out []Band
	for _, b := range p.Bands {
		out = append(out, b.Band)
	}
	return out
}

// Dimension returns what the bands bound: a pressure, a force or a mass.
func (p FootPlan) Dimension() unit.Dimension { return p.AllBands()[0].Dimension() }

// Origin says whose figures the plan's bands are, each once.
func (p FootPlan) Origin() string {
	var whose []string
	for _, b := range p.AllBands() {
		if !slices.Contains(whose, b.Origin) {
			whose = append(whose, b.Origin)
		}
	}
	text := strings.Join(whose, "; ")
	if o := p.Diameter.Origin; o != "" && !slices.Contains(whose, o) {
		text += "; foot: " + o
	}
	return text
}

// A ForcePlan verifies the measuring force of a ratchet, a friction thimble or
// a dial's spindle.
type ForcePlan struct {
	PartTerms
	Points []unit.Quantity `json:"points" validate:"min=1,max=50"` // openings or strokes, ascending

	// Return says that the force is read on the way back too.
	Return bool `json:"return,omitempty"`

	Band Band `json:"band"` // of force

	// Spread bounds the largest less the smallest force of the check,
	// Difference that between the two directions at one place.
	Spread     unit.Quantity `json:"spread,omitzero"`
	Difference unit.Quantity `json:"difference,omitzero"`
}

// A LoadPlan verifies the indications of a scale, a force gauge or a pressure
// gauge under known loads.
type LoadPlan struct {
	PartTerms
	Loads []unit.Quantity `json:"loads" validate:"min=1,max=50"` // ascending, in the gauge's dimension

	// Down says that the loads are taken off again one by one and read.
	Down bool `json:"down,omitempty"`

	Limit LoadLimit `json:"limit"`

	// Certified says that weights must have values of their own and not a
	// class alone.
	Certified bool `json:"certified,omitempty"`
}

// A LoadLimit bounds the errors of a gauge under load. Each figure is in the
// gauge's dimension or in per cent of what Of says; ZeroReturn is of full scale
// always, or of the span where the others are.
type LoadLimit struct {
	Error         unit.Quantity `json:"error"`
	Repeatability unit.Quantity `json:"repeatability,omitzero"` // of readings at one load, largest less smallest
	Hysteresis    unit.Quantity `json:"hysteresis,omitzero"`    // down less up
	ZeroReturn    unit.Quantity `json:"zero_return,omitzero"`

	Of     Share  `json:"of,omitempty" validate:"omitempty,oneof=reading 'full scale' span"`
	Class  string `json:"class,omitempty" validate:"max=60,line"` // whose limits these are
	Origin string `json:"origin" validate:"required,max=300,line"`
}

// A Share says what a limit in per cent is a part of.
type Share string

// The shares: of the reading's true value; of full scale, the end of the range
// that is further from zero; of the span, from one end to the other. Full scale
// and span are one for a gauge that begins at zero.
const (
	OfReading   Share = "reading"
	OfFullScale Share = "full scale"
	OfSpan      Share = "span"
)

// Whole returns what a limit in per cent is taken of, for a gauge under a load
// in the inner unit of its dimension. It is 0 or more.
func (s Share) Whole(g Gauge, load unit.Exact) unit.Exact {
	low, high := g.Low.Inner(), g.High.Inner()
	switch {
	case s == OfReading:
		return load.Abs()
	case s == OfSpan:
		return high.Sub(low)
	case low.Abs().Cmp(high.Abs()) > 0:
		return low.Abs()
	}
	return high.Abs()
}

// Care states the masses above which a person is warned before a load is
// lifted; not given: 10 kg with one hand, 20 kg for one person (from memory,
// fairly sure, after usual guidance on lifting; local rules come first).
type Care struct {
	OneHand   unit.Quantity `json:"one_hand,omitzero"`
	OnePerson unit.Quantity `json:"one_person,omitzero"`
}

// IsZero reports whether the plan leaves both to the usual figures.
func (c Care) IsZero() bool { return c.OneHand.IsZero() && c.OnePerson.IsZero() }
