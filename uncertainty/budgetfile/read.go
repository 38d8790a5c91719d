package budgetfile

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"example.org/wring/uncertainty"
	"github.com/pelletier/go-toml/v2"
)

// Bounds of what is read (house rules): larger files are mistakes or attacks.
const (
	mostBytes      = 1 << 20
	mostInputs     = 500
	mostWithModel  = 60 // every pair of inputs costs a second derivative
	longestLine    = 200
	longestUnit    = 20
	defaultCovered = 0.95 // coverage probability; about 95 %, as ILAC-P14:09/2020 wants it
)

// A File is a budget as it was written down.
type File struct {
	Quantity string
	Unit     string
	// Probability is the coverage probability, 0.5 … 0.9999, without unit.
	Probability float64
	Budget      uncertainty.Budget
}

// An InputError names the input that cannot be used.
type InputError struct {
	Line   int    // 1-based place among the inputs
	Name   string // as given; may be empty
	Reason string // what was found; what is wanted
}

func (e *InputError) Error() string { return fmt.Sprintf("input %d %q: %s", e.Line, e.Name, e.Reason) }

// A SyntaxError says where the file is not what is wanted.
type SyntaxError struct {
	Line   int // 1-based
	Reason string
}

func (e *SyntaxError) Error() string { return fmt.Sprintf("line %d: %s", e.Line, e.Reason) }

// document is the file as TOML has it. Pointers tell "left out" from zero.
type document struct {
	Quantity     string        `toml:"quantity"`
	Unit         string        `toml:"unit"`
	Probability  *float64      `toml:"probability"`
	Model        *string       `toml:"model"`
	Inputs       []input       `toml:"input"`
	Correlations []correlation `toml:"correlation"`
}

type correlation struct {
	Between []string `toml:"between"`
	R       *float64 `toml:"r"`
}

// Read reads a budget file. It reports everything that is wrong, one line each, joined by errors.Join, and the
// budget it returns can be evaluated by method "t" unless its numbers are beyond all measure.
func Read(data []byte) (File, error) {
	if len(data) > mostBytes {
		return File{}, fmt.Errorf("budget file: %d bytes; want at most %d", len(data), mostBytes)
	}
	if !utf8.Valid(data) {
		return File{}, errors.New("budget file: not UTF-8; want a text file in UTF-8")
	}
	var d document
	decoder := toml.NewDecoder(bytes.NewReader(data)).DisallowUnknownFields()
	if err := decoder.Decode(&d); err != nil {
		return File{}, translated(err)
	}
	return d.file()
}

// kinds says in words what a key wants.
func kind(key string) string {
	switch key {
	case "quantity", "unit", "model", "name", "distribution", "source":
		return "text in quotes"
	case "readings":
		return "numbers in square brackets"
	case "between":
		return "two names in square brackets"
	case "input":
		return "[[input]] and its keys below"
	case "correlation":
		return "[[correlation]] and its keys below"
	case "n":
		return "a whole number"
	}
	return "a number"
}

// translated puts the decoder's complaints into lines of our own.
func translated(err error) error {
	var strict *toml.StrictMissingError
	if errors.As(err, &strict) {
		var all []error
		for _, e := range strict.Errors {
			row, _ := e.Position()
			all = append(all, &SyntaxError{row, fmt.Sprintf("unknown key %q; want a key of a budget file", strings.Join(e.Key(), "."))})
		}
		return errors.Join(all...)
	}
	var decode *toml.DecodeError
	if !errors.As(err, &decode) {
		return errors.New("budget file: not TOML; want lines such as value = 1.5 below [[input]]")
	}
	row, _ := decode.Position()
	message := strings.TrimPrefix(decode.Error(), "toml: ")
	if key := decode.Key(); len(key) > 0 && strings.HasPrefix(message, "cannot decode") {
		last := key[len(key)-1]
		return &SyntaxError{row, fmt.Sprintf("%q is of another kind; want %s", last, kind(last))}
	}
	return &SyntaxError{row, fmt.Sprintf("not TOML: %s; want lines such as value = 1.5", oneLine(message))}
}

// file turns the document into a budget and collects everything that is wrong with it.
func (d document) file() (File, error) {
	f := File{Quantity: d.Quantity, Unit: d.Unit, Probability: defaultCovered}
	if d.Probability != nil {
		f.Probability = *d.Probability
	}
	wrong := d.checkHead(f.Probability)
	seen := make(map[string]int)
	for i, in := range d.Inputs {
		line, err := in.understand(i+1, d.Model != nil)
		if first, again := seen[in.Name]; again && err == nil {
			err = &InputError{i + 1, in.Name, fmt.Sprintf("name of input %d; want every name once", first)}
		} else if !again {
			seen[in.Name] = i + 1
		}
		if err != nil {
			wrong = append(wrong, err)
		}
		f.Budget.Inputs = append(f.Budget.Inputs, line)
	}
	for i, c := range d.Correlations {
		k, err := c.understand(i + 1)
		if err != nil {
			wrong = append(wrong, err)
		}
		f.Budget.Correlations = append(f.Budget.Correlations, k)
	}
	if len(wrong) == 0 {
		wrong = append(wrong, d.finish(&f))
	}
	if err := errors.Join(wrong...); err != nil {
		return File{}, err
	}
	return f, nil
}

// checkHead refuses what stands above the inputs.
func (d document) checkHead(probability float64) (wrong []error) {
	add := func(format string, a ...any) { wrong = append(wrong, fmt.Errorf(format, a...)) }
	if reason := unfit(d.Quantity, longestLine); reason != "" {
		add("quantity: %s; want the name of what is measured, in one line", reason)
	}
	if reason := unfit(d.Unit, longestUnit); reason != "" || strings.ContainsAny(d.Unit, " \t") {
		add("unit: %s; want the unit of the quantity, such as um, or 1", or(reason, fmt.Sprintf("%q has a space", d.Unit)))
	}
	if !(probability >= 0.5 && probability <= 0.9999) {
		add("probability: %v; want 0.5 to 0.9999", probability)
	}
	most := mostInputs
	if d.Model != nil {
		most = mostWithModel
	}
	if len(d.Inputs) == 0 || len(d.Inputs) > most {
		add("budget file: %d inputs; want 1 to %d, each below [[input]]", len(d.Inputs), most)
	}
	return wrong
}

// finish reads the model and lets the engine look for what only it sees, as correlations that contradict one another.
func (d document) finish(f *File) error {
	if d.Model != nil {
		model, err := f.Budget.Parse(*d.Model)
		if err != nil {
			return err
		}
		f.Budget.Model = model
	}
	_, err := f.Budget.Evaluate(f.Probability, uncertainty.T)
	return err
}

func (c correlation) understand(place int) (uncertainty.Correlation, error) {
	if len(c.Between) != 2 {
		return uncertainty.Correlation{}, fmt.Errorf("correlation %d: between %d names; want two", place, len(c.Between))
	}
	k := uncertainty.Correlation{A: c.Between[0], B: c.Between[1]}
	if c.R == nil {
		return k, &uncertainty.CorrelationError{Line: place, A: k.A, B: k.B, Reason: "no r; want -1 to 1"}
	}
	k.R = *c.R
	return k, nil
}

// unfit says why a text cannot stand in a table, or is empty.
func unfit(s string, longest int) string {
	switch {
	case strings.TrimSpace(s) == "":
		return "nothing given"
	case utf8.RuneCountInString(s) > longest:
		return fmt.Sprintf("longer than %d characters", longest)
	case strings.ContainsFunc(s, func(r rune) bool { return !unicode.IsPrint(r) }):
		return fmt.Sprintf("%q cannot be printed", s)
	}
	return ""
}

func or(a, b string) string {
	if a != "" {
		return a
	}
	return b
}

// oneLine keeps a foreign message to one short line that can be printed.
func oneLine(s string) string {
	s = strings.Join(strings.FieldsFunc(s, func(r rune) bool { return !unicode.IsPrint(r) }), " ")
	if r := []rune(s); len(r) > longestLine {
		return string(r[:longestLine])
	}
	return s
}
