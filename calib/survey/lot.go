package survey

import (
	"strings"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/unit"
)

// A Form says which edges a lot has.
type Form string

// The forms. The ends of a roll are cuts, and no edges of it.
const (
	Sheet Form = "sheet"
	Roll  Form = "roll"
)

// Forms lists them in the order they are offered.
func Forms() []Form { return []Form{Sheet, Roll} }

// A Lot is a delivery whose thickness is agreed. A change is a new revision,
// and a survey names the one it was judged by.
type Lot struct {
	ID       string `json:"id" validate:"required,identity"`
	Revision int    `json:"revision" validate:"min=1"`
	Material string `json:"material" validate:"required,max=120,line"`
	Supplier string `json:"supplier,omitempty" validate:"max=120,line"`
	Form     Form   `json:"form" validate:"required,oneof=sheet roll"`

	// Width runs across and Length along; not given: not known.
	Width  unit.Quantity `json:"width,omitzero"`
	Length unit.Quantity `json:"length,omitzero"`

	// Unit is the symbol of the unit of tolerances that name none.
	Unit string `json:"unit" validate:"required"`

	// Mean and Place are the tolerances of the lot's mean and of every place;
	// open on both sides: not judged.
	Mean  calib.Band `json:"mean,omitzero"`
	Place calib.Band `json:"place,omitzero"`

	// Rule is the decision rule that was agreed before the survey.
	Rule calib.Rule `json:"rule"`

	Method  string `json:"method,omitempty" validate:"omitempty,identity"` // agreed with the supplier
	Remarks string `json:"remarks,omitempty" validate:"max=400,line"`
}

// Sound checks what a lot's fields say together.
func (l Lot) Sound() error {
	refuse := func(field, value, want string) error {
		return &calib.FieldError{Field: field, Value: value, Want: want}
	}
	if _, ok := unit.Lookup(l.Unit, unit.Length); !ok {
		return refuse("unit", l.Unit, "one of "+strings.Join(unit.Lengths(), ", "))
	}
	for name, q := range map[string]unit.Quantity{"width": l.Width, "length": l.Length} {
		if !q.IsZero() && q.Inner().Sign() <= 0 {
			return refuse(name, q.String(), "a size above 0")
		}
	}
	for _, b := range []struct {
		name string
		calib.Band
	}{{"tolerance of the mean", l.Mean}, {"tolerance of a place", l.Place}} {
		if err := ordered(b.name, b.Low, b.High); err != nil {
			return err
		}
		if !b.Low.IsZero() && !b.High.IsZero() && b.Low.Unit().Symbol() != b.High.Unit().Symbol() {
			return refuse(b.name, b.Low.String()+" to "+b.High.String(), "both limits in one unit")
		}
	}
	return nil
}
