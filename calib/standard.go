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
)

// StandardKinds lists them in the order they are offered.
func StandardKinds() []StandardKind {
	return []StandardKind{BlockSet, Block, SettingRod, Thermometer, WeightSet, Balance, ForceGauge}
}

// OfLength reports whether its values are lengths that a stack can be made of.
func (k StandardKind) OfLength() bool { return k == BlockSet || k == Block || k == SettingRod }

// Dimension returns the kind of quantity its certificate's values are in.
func (k StandardKind) Dimension() unit.Dimension {
	switch k {
	case Thermometer:
		return unit.Temperature
	case WeightSet, Balance:
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

	// Grade is the block set's grade, K, 0, 1 or 2 (ISO 3650), where it has one.
	Grade string `json:"grade,omitempty" validate:"omitempty,grade"`

	// IntervalMonths is the time from one certificate to the next; 0 where
	// each certificate states its own due date or there is none.
	IntervalMonths int `json:"interval_months,omitempty" validate:"min=0,max=240"`

	Material Material `json:"material,omitzero"`
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
)

// Routes lists them in the order they are offered.
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
}

// A Value is one row of a standard's certificate.
type Value struct {
	Nominal unit.Quantity `json:"nominal"`

	// Deviation is the calibrated value minus the nominal; not given where
	// only the grade is known.
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

// Find returns the row of a nominal value given in the inner unit.
func (c Certificate) Find(nominal unit.Exact) (Value, bool) {
	for _, v := range c.Values {
		if v.Nominal.Inner().Cmp(nominal) == 0 {
			return v, true
		}
	}
	return Value{}, false
}
