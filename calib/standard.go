package calib

import "example.org/wring/uncertainty/unit"

// A StandardKind is what a measurement standard is called.
type StandardKind string

// The kinds of standard a registry holds.
const (
	BlockSet    StandardKind = "gauge block set"
	Block       StandardKind = "gauge block"
	SettingRod  StandardKind = "setting rod"
	Thermometer StandardKind = "thermometer"
	WeightSet   StandardKind = "weight set"
	Balance     StandardKind = "balance"
	ForceGauge  StandardKind = "force gauge"

	// PressureTester is a piston that weights are set on; LengthGauge an
	// instrument that a foot is measured with.
	PressureTester StandardKind = "dead-weight pressure tester"
	LengthGauge    StandardKind = "length gauge"
)

// StandardKinds lists them in the order they are offered.
func StandardKinds() []StandardKind {
	return []StandardKind{BlockSet, Block, SettingRod, Thermometer, WeightSet, Balance, ForceGauge,
		PressureTester, LengthGauge}
}

// Indicates reports whether it is an instrument that is read: its certificate
// then states errors of indication, indication less true value, and not what
// the standard itself is.
func (k StandardKind) Indicates() bool {
	return k == Thermometer || k == Balance || k == ForceGauge || k == LengthGauge
}

// OfLength reports whether its values are lengths that a stack can be made of.
func (k StandardKind) OfLength() bool { return k == BlockSet || k == Block || k == SettingRod }

// Dimension returns the kind of quantity its certificate's values are in.
func (k StandardKind) Dimension() unit.Dimension {
	switch k {
	case Thermometer:
		return unit.Temperature
	case WeightSet, Balance, PressureTester:
		return unit.Mass
	case ForceGauge:
		return unit.Force
	default:
		return unit.Length
	}
}

// A Standard is a measurement standard or an instrument used as one (JCGM
// 200:2012, 5.1). Its values stand in its certificates.
type Standard struct {
	ID          string       `json:"id" validate:"required,identity"`
	Kind        StandardKind `json:"kind" validate:"required,standard_kind"`
	Description string       `json:"description,omitempty" validate:"max=120,line"`
	Maker       string       `json:"maker,omitempty" validate:"max=80,line"`
	Serial      string       `json:"serial,omitempty" validate:"max=80,line"`
	Owner       string       `json:"owner,omitempty" validate:"max=80,line"`
	Place       string       `json:"place,omitempty" validate:"max=80,line"`

	// Grade is the block set's grade, K, 0, 1 or 2 (ISO 3650), or the weight
	// set's class, E1 to M3 (OIML R 111-1), where it has one.
	Grade string `json:"grade,omitempty" validate:"omitempty,grade"`

	// IntervalMonths is the time from one certificate to the next; 0 where
	// each certificate states its own due date or there is none.
	IntervalMonths int `json:"interval_months,omitempty" validate:"min=0,max=240"`

	Material Material `json:"material,omitzero"`

	// Resolution is one step of an instrument that is read, above 0; not given
	// where its record has none, and the places that were typed are taken for it.
	Resolution unit.Quantity `json:"resolution,omitzero"`

	// Density is that of a set's weights, DensityHalfWidth bounds its error,
	// taken as rectangular; not given: 8000 kg/m³, as conventional mass has it.
	Density          unit.Quantity `json:"density,omitzero"`
	DensityHalfWidth unit.Quantity `json:"density_half_width,omitzero"`
}

// A Piston is what a certificate states of a dead-weight pressure tester, and
// how the tester stands. What is not given counts as 0.
type Piston struct {
	// Area is the effective area at 20 °C and no pressure, AreaExpanded its U
	// with the coverage factor K, above 0 where U is given.
	Area         unit.Quantity `json:"area"`
	AreaExpanded unit.Quantity `json:"area_expanded"`
	K            string        `json:"k"`

	// Distortion λ grows the area with the pressure, Expansion αp + αc with the
	// temperature; each with its U, k as above. A U that is not given is counted
	// as none, and the result says so.
	Distortion         unit.Quantity `json:"distortion,omitzero"`
	DistortionExpanded unit.Quantity `json:"distortion_expanded,omitzero"`
	Expansion          unit.Quantity `json:"expansion,omitzero"`
	ExpansionExpanded  unit.Quantity `json:"expansion_expanded,omitzero"`

	// Tension is the surface tension of the liquid about the piston, which
	// pulls it down along its circumference; TensionHalfWidth bounds its error,
	// taken as rectangular.
	Tension          unit.Quantity `json:"tension,omitzero"`
	TensionHalfWidth unit.Quantity `json:"tension_half_width,omitzero"`

	// Carrier is the conventional mass of piston and carrier that floats with
	// every load.
	Carrier         unit.Quantity `json:"carrier,omitzero"`
	CarrierExpanded unit.Quantity `json:"carrier_expanded,omitzero"` // k as above

	// Head is how far the piston's reference level stands above the gauge's,
	// negative below; HeadHalfWidth bounds its error, taken as rectangular;
	// Fluid is the density of what is between them, FluidHalfWidth bounds it.
	Head          unit.Quantity `json:"head,omitzero"`
	HeadHalfWidth unit.Quantity `json:"head_half_width,omitzero"`
	Fluid         unit.Quantity `json:"fluid,omitzero"`

	FluidHalfWidth unit.Quantity `json:"fluid_half_width,omitzero"`
}

// A Route is how a certificate ties a standard to the SI (ILAC-P10:07/2020;
// clauses from memory).
type Route string

// The routes: by a national institute, by an accredited laboratory, by another
// laboratory with evidence kept, or made in this house.
const (
	ByInstitute  Route = "national institute"
	ByAccredited Route = "accredited laboratory"
	ByEvidence   Route = "other laboratory, with evidence"

	// ByHouse is that of a gauge of this house that measures for another: its
	// own check stands for a certificate, and the chain goes on through what
	// that check was made with. Nobody enters it by hand.
	ByHouse Route = "checked in this house"
)

// Routes lists those of certificates in the order they are offered.
func Routes() []Route { return []Route{ByInstitute, ByAccredited, ByEvidence} }

// A Certificate is one calibration of a standard. Its values count from its
// date on, and never backwards.
type Certificate struct {
	Standard      string `json:"standard" validate:"required,identity"`
	Number        string `json:"number" validate:"required,max=60,line"`
	Laboratory    string `json:"laboratory" validate:"required,max=120,line"`
	Accreditation string `json:"accreditation,omitempty" validate:"max=80,line"` // body and number
	Route         Route  `json:"route" validate:"required,route"`

	Date Date `json:"date"`         // of the calibration
	Due  Date `json:"due,omitzero"` // last day on which it may be used; zero: none stated

	// Values are its rows. A certificate that only states a grade has rows
	// without deviation, and says so in each.
	Values []Value `json:"values,omitempty" validate:"max=400,dive"`

	Remarks string `json:"remarks,omitempty" validate:"max=400,line"`

	// Piston is what it states of a dead-weight pressure tester; nil for other
	// standards.
	Piston *Piston `json:"piston,omitempty"`
}

// WeightClasses lists the classes of weights, the finest first (OIML R 111-1).
func WeightClasses() []string {
	return []string{"E1", "E2", "F1", "F2", "M1", "M1-2", "M2", "M2-3", "M3"}
}

// A Value is one row of a standard's certificate.
type Value struct {
	Nominal unit.Quantity `json:"nominal"`

	// Deviation is the calibrated value minus the nominal, of an instrument
	// that is read its indication minus the true value; not given where only
	// the grade is known.
	Deviation unit.Quantity `json:"deviation,omitzero"`

	// Expanded is U of the deviation, K its coverage factor as typed, above 0.
	Expanded unit.Quantity `json:"expanded,omitzero"`
	K        string        `json:"k,omitempty"`

	// DoF is the effective degrees of freedom as typed, empty where the
	// certificate states none and U/k is taken as exact.
	DoF string `json:"dof,omitempty"`

	Grade  string `json:"grade,omitempty" validate:"omitempty,grade"`
	Serial string `json:"serial,omitempty" validate:"max=40,line"`
}

// Calibrated reports whether the row has a value with an uncertainty, and not
// a grade alone.
func (v Value) Calibrated() bool { return !v.Deviation.IsZero() }

// Length returns nominal plus deviation, exact, in the inner unit.
func (v Value) Length() unit.Exact { return v.Nominal.Inner().Add(v.Deviation.Inner()) }

// Covers reports whether the certificate counts on that day.
func (c Certificate) Covers(d Date) bool {
	return !d.Before(c.Date) && (c.Due.IsZero() || !d.After(c.Due))
}

// Weight finds the row of a weight by its nominal mass, in the inner unit, and
// its mark, which is its serial number on the certificate. A weight without a
// mark is the one that has none there, or the only one of that mass.
func (c Certificate) Weight(nominal unit.Exact, mark string) (Value, bool) {
	var alike []Value
	for _, v := range c.Values {
		if v.Nominal.Inner().Cmp(nominal) != 0 {
			continue
		}
		if v.Serial == mark {
			return v, true
		}
		alike = append(alike, v)
	}
	if mark == "" && len(alike) == 1 {
		return alike[0], true
	}
	return Value{}, false
}

// Find returns the row of a nominal value given in the inner unit.
func (c Certificate) Find(nominal unit.Exact) (Value, bool) {
	for _, v := range c.Values {
		if v.Nominal.Inner().Cmp(nominal) == 0 {
			return v, true
		}
	}
	return Value{}, false
}
