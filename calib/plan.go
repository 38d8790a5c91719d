package calib

import "example.org/wring/uncertainty/unit"

// A Plan says how a kind of gauge is checked and judged. A plan is never
// edited: a change is a new revision, and a check names the one it followed.
type Plan struct {
	Name     string `json:"name" validate:"required,identity"`
	Revision int    `json:"revision" validate:"min=1"`
	Title    string `json:"title" validate:"required,max=120,line"`
	Kind     Kind   `json:"kind" validate:"required,kind"`
	Method   string `json:"method,omitempty" validate:"max=400,line"` // procedure followed, in words
	Note     string `json:"note,omitempty" validate:"max=400,line"`

	// Unit is the symbol of the unit its points are written in.
	Unit string `json:"unit" validate:"required"`

	// Points are the nominal sizes, ascending.
	// None: the plan has no length part, and the fields from here to Gates that
	// belong to it count for nothing.
	Points []unit.Quantity `json:"points,omitempty" validate:"required_without_all=Foot Force Load,max=200"`

	// Readings is how many are taken at a point; fewer than Minimum are too few.
	Readings int `json:"readings" validate:"required_with=Points,min=0,max=50"`
	Minimum  int `json:"minimum" validate:"required_with=Points,min=0,max=50,ltefield=Readings"`

	Zero  ZeroUse `json:"zero" validate:"required,oneof=none recorded subtracted"`
	Limit Limit   `json:"limit,omitzero" validate:"required_with=Points,omitempty"`
	Rule  Rule    `json:"rule"`

	// Probability is the coverage probability of U, 0.5 to 0.9999.
	Probability float64 `json:"probability" validate:"gte=0.5,lte=0.9999"`

	// Digits is how many significant digits of U are reported, 1 or 2.
	Digits int `json:"digits" validate:"min=1,max=2"`

	Environment Environment `json:"environment,omitzero"`

	// Believable is the largest error that is taken for a reading and not for
	// a slip: beyond it the reading is named. Not given: no such gate.
	Believable unit.Quantity `json:"believable,omitzero"`

	Contributions []Contribution `json:"contributions,omitempty" validate:"required_with=Points,max=40,dive"`

	// Gates says what each finding does; a gate not named here stops.
	Gates map[Gate]Action `json:"gates,omitempty"`

	IntervalMonths int `json:"interval_months,omitempty" validate:"min=0,max=240"`

	// IntermediateMonths is the time from any check to the next intermediate
	// one; 0 where none are made.
	IntermediateMonths int `json:"intermediate_months,omitempty" validate:"min=0,max=240"`

	// Foot, Force and Load are the parts beside length; nil: not verified.
	Foot  *FootPlan  `json:"foot,omitempty"`
	Force *ForcePlan `json:"force,omitempty"`
	Load  *LoadPlan  `json:"load,omitempty"`

	Care Care `json:"care,omitzero"`
}

// A ZeroUse says what is done with the zero that is taken first.
type ZeroUse string

// The zero is not taken; is recorded and leaves the errors as indicated; or is
// subtracted from every indication, and its own resolution then counts.
const (
	ZeroNone       ZeroUse = "none"
	ZeroRecorded   ZeroUse = "recorded"
	ZeroSubtracted ZeroUse = "subtracted"
)

// A Limit is the maximum permissible error (JCGM 200:2012, 4.26), symmetric
// about zero, with the origin of its figure.
type Limit struct {
	// Value is the half-width where nothing else is given, and the constant
	// part where PerLength is. PerLength grows it with the nominal size;
	// AtLeast is a floor under the sum.
	Value     unit.Quantity `json:"value,omitzero"`
	PerLength unit.Quantity `json:"per_length,omitzero"`
	AtLeast   unit.Quantity `json:"at_least,omitzero"`

	// Rows, ascending, take the place of Value: each holds up to and including
	// its size.
	Rows []LimitRow `json:"rows,omitempty" validate:"max=60"`

	// Origin says whose figure it is: document, edition and clause, a drawing,
	// or "own".
	Origin string `json:"origin" validate:"required,max=300,line"`
}

// A LimitRow is one line of a table of limits.
type LimitRow struct {
	UpTo  unit.Quantity `json:"up_to"`
	Value unit.Quantity `json:"value"`
}

// At returns the maximum permissible error at a nominal size, both exact in mm.
// It reports false where a table has no row for that size.
func (l Limit) At(nominal unit.Exact) (unit.Exact, bool) {
	if len(l.Rows) > 0 {
		for _, r := range l.Rows {
			if nominal.Cmp(r.UpTo.Inner()) <= 0 {
				return r.Value.Inner(), true
			}
		}
		return unit.Exact{}, false
	}
	sum := l.Value.Inner().Add(l.PerLength.Inner().Mul(nominal.Abs()))
	if floor := l.AtLeast.Inner(); sum.Cmp(floor) < 0 {
		sum = floor
	}
	return sum, true
}

// A Rule is the decision rule that was agreed before the check (ILAC-G8:09/2019,
// 4.2). Factor is r in the guard band r·U; Risk is the largest specific risk
// of false acceptance, where the rule is by risk.
type Rule struct {
	Name string `json:"name" validate:"required"`

	// Factor is dimensionless, 0 or more; it counts only for guarded rules.
	Factor float64 `json:"factor,omitempty" validate:"gte=0,lte=10"`

	// Risk is a probability above 0 and below 0.5; it counts only by risk.
	Risk float64 `json:"risk,omitempty" validate:"gte=0,lt=0.5"`
}

// An Environment bounds the conditions of a check.
type Environment struct {
	Low  unit.Quantity `json:"low,omitzero"`  // temperature
	High unit.Quantity `json:"high,omitzero"` // temperature

	// Difference bounds how far gauge and blocks may be apart.
	Difference unit.Quantity `json:"difference,omitzero"`
}

// IsZero reports whether the plan bounds nothing.
func (e Environment) IsZero() bool {
	return e.Low.IsZero() && e.High.IsZero() && e.Difference.IsZero()
}

// A ContributionKind says what varies; the length package knows what each of
// them does to an error.
type ContributionKind string

// The contributions to the uncertainty of an error of indication.
const (
	Repeatability         ContributionKind = "repeatability"
	Resolution            ContributionKind = "resolution"
	ZeroResolution        ContributionKind = "zero resolution"
	Blocks                ContributionKind = "blocks"
	BlockDrift            ContributionKind = "block drift"
	TemperatureDifference ContributionKind = "temperature difference"
	MeanTemperature       ContributionKind = "mean temperature"
	ExpansionDifference   ContributionKind = "expansion difference"
	Wringing              ContributionKind = "wringing"
	Flatness              ContributionKind = "flatness"
	Parallelism           ContributionKind = "parallelism"
	Mechanical            ContributionKind = "mechanical effects"
	ElasticEffect         ContributionKind = "measuring force"
	OtherEffect           ContributionKind = "other"
)

// ContributionKinds lists them in the order of a printed budget.
func ContributionKinds() []ContributionKind {
	return []ContributionKind{Repeatability, Resolution, ZeroResolution, Blocks, BlockDrift, TemperatureDifference,
		MeanTemperature, ExpansionDifference, Wringing, Flatness, Parallelism, Mechanical, ElasticEffect, OtherEffect}
}

// A Contribution switches one line of the budget on and sizes it. A size that
// is left out comes from the gauge, the readings or the certificate, where the
// kind has such a source.
type Contribution struct {
	Kind ContributionKind `json:"kind" validate:"required,contribution"`
	Name string           `json:"name,omitempty" validate:"max=60,line"` // printed; the kind's own where empty

	// Shape is the distribution's name; the kind's usual one where empty.
	Shape string `json:"shape,omitempty" validate:"omitempty,oneof=normal rectangular triangular arcsine"`

	// HalfWidth sizes a bounded distribution, Standard a normal one, Expanded
	// with K too. For block drift they are per year, for wringing per joint.
	HalfWidth unit.Quantity `json:"half_width,omitzero"`
	Standard  unit.Quantity `json:"standard,omitzero"`
	Expanded  unit.Quantity `json:"expanded,omitzero"`
	K         float64       `json:"k,omitempty" validate:"gte=0"` // coverage factor, above 0 with Expanded

	// PerLength is added to the size, times the nominal length.
	PerLength unit.Quantity `json:"per_length,omitzero"`

	// PooledS and PooledDoF are s of earlier checks and its degrees of freedom,
	// used for repeatability where there are fewer than three readings.
	PooledS   unit.Quantity `json:"pooled_s,omitzero"`
	PooledDoF float64       `json:"pooled_dof,omitempty" validate:"gte=0"` // 1 or more, with PooledS

	// PooledOver is "points" where s is pooled over all points of the check,
	// instead of each point's own from its few readings.
	PooledOver string `json:"pooled_over,omitempty" validate:"omitempty,oneof=points"`

	// DoF is the degrees of freedom of the size, 1 or more; 0 stands for
	// infinite.
	DoF float64 `json:"dof,omitempty" validate:"gte=0"`

	// Source says whose figure it is.
	Source string `json:"source,omitempty" validate:"max=200,line"`
}

// Sized reports whether the plan itself gives a size.
func (c Contribution) Sized() bool {
	return !c.HalfWidth.IsZero() || !c.Standard.IsZero() || !c.Expanded.IsZero() || !c.PerLength.IsZero()
}
