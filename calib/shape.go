package calib

import (
	"errors"
	"fmt"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"sync"

	"github.com/go-playground/validator/v10"

	"example.org/wring/uncertainty/unit"
)

// A Shape holds records to the words and lengths that their fields may have.
// It looks at form only; rules of measurement are plain functions beside the
// nouns. Make it once with [NewShape]; it may be used by several goroutines.
type Shape struct{ engine func() *validator.Validate }

// A FieldError names the first field that a record may not have so.
type FieldError struct {
	Field string // path by the names of the written form, "points[3].nominal"
	Value string
	Want  string
}

func (e *FieldError) Error() string {
	if e.Value == "" {
		return fmt.Sprintf("%s: nothing given; want %s", e.Field, e.Want)
	}
	return fmt.Sprintf("%s %q: want %s", e.Field, clip(e.Value), e.Want)
}

// NewShape returns a checker with the words of the trade. It is built when it is
// first asked: most commands only read.
func NewShape() *Shape { return &Shape{sync.OnceValue(newEngine)} }

func newEngine() *validator.Validate {
	v := validator.New(validator.WithRequiredStructEnabled())
	v.RegisterTagNameFunc(func(f reflect.StructField) string {
		name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
		return name
	})
	identity := regexp.MustCompile(`^[A-Za-z0-9][A-Za-z0-9._-]{0,39}$`)
	for tag, ok := range map[string]func(string) bool{
		"identity":      identity.MatchString,
		"line":          isLine,
		"kind":          func(s string) bool { return slices.Contains(Kinds(), Kind(s)) },
		"standard_kind": func(s string) bool { return slices.Contains(StandardKinds(), StandardKind(s)) },
		"grade":         func(s string) bool { return slices.Contains(grades(), s) },
		"route":         func(s string) bool { return slices.Contains(Routes(), Route(s)) },
		"contribution": func(s string) bool {
			return slices.Contains(append(ContributionKinds(), PartContributionKinds()...), ContributionKind(s))
		},
	} {
		err := v.RegisterValidation(tag, func(f validator.FieldLevel) bool { return ok(f.Field().String()) })
		if err != nil {
			panic(err) // a tag registered twice is a broken table
		}
	}
	return v
}

// Kinds lists the kinds of gauge in the order they are offered.
func Kinds() []Kind {
	return []Kind{OutsideMicrometer, Caliper, DialGauge, ThicknessGauge, ForceMeter, Scale, PressureGauge}
}

func grades() []string { return append([]string{"K", "0", "1", "2"}, WeightClasses()...) }

// isLine refuses control characters, so that no field can break a table, a
// label or a terminal.
func isLine(s string) bool {
	return !strings.ContainsFunc(s, func(r rune) bool { return r < 0x20 || (r >= 0x7f && r < 0xa0) || r == 0xfffd })
}

// Check returns a [*FieldError] for the first field out of form, or nil.
// The record is a struct of this package.
func (s *Shape) Check(record any) error {
	err := s.engine().Struct(record)
	var fields validator.ValidationErrors
	if !errors.As(err, &fields) {
		return err
	}
	f := fields[0]
	_, path, _ := strings.Cut(f.Namespace(), ".")
	return &FieldError{Field: strings.ReplaceAll(path, "_", " "), Value: shown(f.Value()), Want: wanted(f.Tag(), f.Param())}
}

// Identity checks a bare identity, as typed on a command line.
func (s *Shape) Identity(what, id string) error {
	if s.engine().Var(id, "required,identity") != nil {
		return &FieldError{Field: what, Value: id, Want: wanted("identity", "")}
	}
	return nil
}

func shown(v any) string {
	if s := fmt.Sprint(v); s != "0" && s != "[]" {
		return s
	}
	return ""
}

func wanted(tag, param string) string {
	switch tag {
	case "required_if":
		return "a value, since it is a " + param[strings.IndexByte(param, ' ')+1:]
	case "required":
		return "a value"
	case "identity":
		return "1 to 40 letters, digits, '.', '_' or '-', a letter or digit first"
	case "line":
		return "one line of text without control characters"
	case "kind":
		return oneOf(Kinds())
	case "standard_kind":
		return oneOf(StandardKinds())
	case "grade":
		return oneOf(grades())
	case "route":
		return oneOf(Routes())
	case "contribution":
		return oneOf(ContributionKinds())
	case "oneof":
		return "one of " + param
	case "max", "lte":
		return "at most " + param
	case "min", "gte":
		return "at least " + param
	case "lt":
		return "less than " + param
	case "ltefield":
		return "at most the number of " + strings.ToLower(param)
	case "required_with":
		return "a value, since " + strings.ToLower(param) + " are given"
	case "required_without_all":
		return "at least one of " + strings.ToLower(param)
	default:
		return tag + " " + param
	}
}

func oneOf[S ~string](list []S) string {
	var out []string
	for _, s := range list {
		out = append(out, string(s))
	}
	return "one of " + strings.Join(out, ", ")
}

// Sound checks what a gauge's fields say together: a unit it is read in, a
// range that is one, a resolution that fits it.
func (g Gauge) Sound() error {
	refuse := func(field, value, want string) error { return &FieldError{Field: field, Value: value, Want: want} }
	switch {
	case g.ReadIn().IsZero():
		return refuse("unit", g.Unit, "one of "+strings.Join(unit.Symbols(g.Kind.Dimension()), ", "))
	case g.Low.IsZero() || g.High.IsZero():
		return refuse("range", "", "its low and high end, as 0..25")
	case g.Low.Inner().Cmp(g.High.Inner()) >= 0:
		return refuse("range", g.Low.String()+" to "+g.High.String(), "a low end below the high end")
	case g.Resolution.Inner().Sign() <= 0:
		return refuse("resolution", g.Resolution.String(), "a size above 0")
	case g.Resolution.Inner().Cmp(g.High.Inner().Sub(g.Low.Inner())) > 0:
		return refuse("resolution", g.Resolution.String(), "a size within the range")
	case !g.Flatness.IsZero() && g.Flatness.Inner().Sign() < 0:
		return refuse("flatness", g.Flatness.String(), "0 or more")
	case !g.Parallelism.IsZero() && g.Parallelism.Inner().Sign() < 0:
		return refuse("parallelism", g.Parallelism.String(), "0 or more")
	}
	return g.footSound()
}

// footSound checks what a gauge's record says of its foot.
func (g Gauge) footSound() error {
	refuse := func(field string, q unit.Quantity, want string) error {
		return &FieldError{Field: field, Value: q.String(), Want: want}
	}
	switch {
	case !g.FootDiameter.IsZero() && g.FootDiameter.Inner().Sign() <= 0:
		return refuse("foot diameter", g.FootDiameter, "a size above 0")
	case !g.FootArea.IsZero() && g.FootArea.Inner().Sign() <= 0:
		return refuse("foot area", g.FootArea, "an area above 0")
	case !g.FootArea.IsZero() && !g.FootDiameter.IsZero():
		return refuse("foot area", g.FootArea, "a diameter or an area, not both")
	case !g.FootExpanded.IsZero() && g.FootExpanded.Inner().Sign() < 0:
		return refuse("foot expanded uncertainty", g.FootExpanded, "0 or more")
	case !g.FootExpanded.IsZero() && g.FootExpanded.Unit().Dimension() != g.footDimension():
		return refuse("foot expanded uncertainty", g.FootExpanded, "the diameter or the area it belongs to, in a unit of its kind")
	}
	return nil
}

func (g Gauge) footDimension() unit.Dimension {
	if !g.FootArea.IsZero() {
		return unit.Area
	}
	return unit.Length
}
