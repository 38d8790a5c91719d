package budgetfile

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"example.org/wring/uncertainty"
)

const head = "quantity = \"error at 150 mm\"\nunit = \"um\"\n"

const caliper = head + `probability = 0.95

[[input]]
name = "block"
value = 0.0
distribution = "rectangular"
half_width = 0.8
sensitivity = -1.0

[[input]]
name = "temperature"
distribution = "rectangular"
half_width = 2
sensitivity = 1.725

[[input]]
name = "resolution"
distribution = "rectangular"
half_width = 25.0

[[input]]
name = "mechanical effects"
value = 100
distribution = "rectangular"
half_width = 50.0
source = "estimate of the workshop"
`

func TestCaliperBudget(t *testing.T) {
	// EA-4/02, S10 (figures value from memory, k own).
	f, err := Read([]byte(caliper))
	if err != nil {
		t.Fatal(err)
	}
	s, err := f.Budget.Evaluate(f.Probability, uncertainty.Exact)
	if err != nil || s.Estimate != 100 || math.Abs(s.K-1.83432825) > 5e-9 || f.Unit != "um" || f.Quantity != "error at 150 mm" {
		t.Errorf("%+v with k %v, %v", f, s.K, err)
	}
	if got := s.Lines[3].Source; got != "estimate of the workshop" {
		t.Errorf("source %q", got)
	}
}

func TestEveryWayToStateAnInput(t *testing.T) {
	for _, c := range []struct {
		lines string
		shape uncertainty.Shape
		value float64
		u     float64
		dof   float64
	}{
		{"distribution = \"normal\"\nu = 1.5", uncertainty.ShapeNormal, 0, 1.5, math.Inf(1)},
		{"value = -2\ndistribution = \"normal\"\nexpanded = 3\nk = 2.0\ndof = 18", uncertainty.ShapeNormal, -2, 1.5, 18},
		{"distribution = \"normal\"\nu = 1\nunreliability = 0.25", uncertainty.ShapeNormal, 0, 1, 8},
		{"distribution = \"t\"\nu = 1\ndof = 4.5", uncertainty.ShapeT, 0, 1, 4.5},
		{"distribution = \"t\"\nu = 1\ndof = inf", uncertainty.ShapeT, 0, 1, math.Inf(1)},
		{"distribution = \"rectangular\"\nhalf_width = 3\nunreliability = 0.1", uncertainty.ShapeRectangular, 0, math.Sqrt(3), 50},
		{"distribution = \"triangular\"\nhalf_width = 3", uncertainty.ShapeTriangular, 0, 3 / math.Sqrt(6), math.Inf(1)},
		{"distribution = \"trapezoidal\"\nhalf_width = 3\nbeta = 0.5", uncertainty.ShapeTrapezoidal, 0, 3 * math.Sqrt(1.25/6), math.Inf(1)},
		{"distribution = \"arcsine\"\nhalf_width = 3", uncertainty.ShapeArcsine, 0, 3 / math.Sqrt2, math.Inf(1)},
		{"distribution = \"curvilinear\"\nhalf_width = 3\ninexact = 1.5", uncertainty.ShapeCurvilinear, 0, math.Sqrt(3 + 0.25), math.Inf(1)},
		{"readings = [1.0, 1.5, 2]", uncertainty.ShapeT, 1.5, 0.5 / math.Sqrt(3), 2},
		{"distribution = \"t\"\nreadings = [1.0, 1.5, 2]", uncertainty.ShapeT, 1.5, 0.5 / math.Sqrt(3), 2},
		{"value = 7\npooled_s = 25\nn = 4\ndof = 12", uncertainty.ShapeT, 7, 12.5, 12},
		{"readings = [3]\npooled_s = 25\ndof = 12", uncertainty.ShapeT, 3, 25, 12},
		{"readings = [1, 2, 3, 6]\npooled_s = 25\ndof = 12", uncertainty.ShapeT, 3, 12.5, 12},
	} {
		f, err := Read([]byte(head + "[[input]]\nname = \"x\"\n" + c.lines))
		if err != nil {
			t.Errorf("%s\n%v", c.lines, err)
			continue
		}
		in := f.Budget.Inputs[0]
		if k := in.Knowledge; k.Shape() != c.shape || in.Estimate != c.value || math.Abs(k.Standard()-c.u) > 1e-14 || math.Abs(k.DoF()-c.dof) > 1e-12 || in.Sensitivity != 1 {
			t.Errorf("%s\n%s of %v ± %v, ν %v", c.lines, k.Shape(), in.Estimate, k.Standard(), k.DoF())
		}
		if f.Probability != 0.95 {
			t.Errorf("probability %v where none is given", f.Probability)
		}
	}
}

func TestModelAndCorrelation(t *testing.T) {
	f, err := Read([]byte(head + `model = "V / I"
[[input]]
name = "V"
readings = [5.007, 4.994, 5.005, 4.990, 4.999]
[[input]]
name = "I"
readings = [19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3]
[[correlation]]
between = ["V", "I"]
r = -0.35531122
`))
	if err != nil {
		t.Fatal(err)
	}
	s, err := f.Budget.Evaluate(0.95, uncertainty.T) // JCGM 100:2008, H.2 (read): Z
	if err != nil || math.Abs(s.Estimate-254.259702) > 5e-7 || math.Abs(s.Standard-0.236336) > 5e-7 {
		t.Errorf("%v ± %v, %v; want 254.259702 with 0.236336", s.Estimate, s.Standard, err)
	}
}

func TestEveryRefusalIsOneLineThatSaysWhatIsWanted(t *testing.T) {
	in := func(lines string) string { return head + "[[input]]\nname = \"x\"\n" + lines + "\n" }
	normal := "distribution = \"normal\"\nu = 1"
	two := in(normal) + "[[input]]\nname = \"y\"\n" + normal + "\n"
	for _, c := range []struct{ text, want string }{
		{"", "quantity: nothing given; want the name of what is measured, in one line"},
		{"what is this", "line 1: not TOML: "},
		{head + "probability = 1.0\n" + in(normal)[len(head):], "probability: 1; want 0.5 to 0.9999"},
		{head + "probability = nan\n" + in(normal)[len(head):], "probability: NaN; want 0.5 to 0.9999"},
		{"quantity = \"q\"\n" + in(normal)[len(head):], "unit: nothing given; want the unit of the quantity, such as um, or 1"},
		{"quantity = \"q\"\nunit = \"micro metre\"\n" + in(normal)[len(head):], `unit: "micro metre" has a space; want the unit of the quantity, such as um, or 1`},
		{"quantity = \"q\"\nunit = \"a\\u0007\"\n" + in(normal)[len(head):], `unit: "a\a" cannot be printed; want the unit of the quantity, such as um, or 1`},
		{"quantity = \"q\"\nunit = \"" + strings.Repeat("m", 21) + "\"\n" + in(normal)[len(head):], "unit: longer than 20 characters; want the unit of the quantity, such as um, or 1"},
		{head, "budget file: 0 inputs; want 1 to 500, each below [[input]]"},
		{"quantity = 3\n", `line 1: "quantity" is of another kind; want text in quotes`},
		{in("value = \"a\""), `line 5: "value" is of another kind; want a number`},
		{in("readings = [1, \"a\"]"), `line 5: "readings" is of another kind; want numbers in square brackets`},
		{in("n = 1.5"), `line 5: "n" is of another kind; want a whole number`},
		{in("half_wdith = 1"), `line 5: unknown key "input.half_wdith"; want a key of a budget file`},
		{head + "input = 3", `line 3: "input" is of another kind; want [[input]] and its keys below`},
		{in("distribution = \"normal\"\ndistribution = \"t\""), "line 6: not TOML: "},
		{in(""), `input 1 "x": no distribution; want one of normal, t, rectangular, triangular, trapezoidal, arcsine, curvilinear, or readings`},
		{in("distribution = \"uniform\""), `input 1 "x": distribution "uniform"; want normal, t, rectangular, triangular, trapezoidal, arcsine or curvilinear`},
		{in("distribution = \"rectangular\""), `input 1 "x": rectangular without half_width; want it`},
		{in("distribution = \"rectangular\"\nhalf_width = 0"), `input 1 "x": half_width is 0; want one above zero`},
		{in("distribution = \"rectangular\"\nhalf_width = -0.5"), `input 1 "x": half_width is -0.5; want one above zero`},
		{in("distribution = \"rectangular\"\nhalf_width = inf"), `input 1 "x": half_width is +Inf; want a finite number`},
		{in("distribution = \"trapezoidal\"\nhalf_width = 1"), `input 1 "x": trapezoidal without beta; want 0 to 1`},
		{in("distribution = \"trapezoidal\"\nhalf_width = 1\nbeta = 1.5"), `input 1 "x": beta is 1.5; want 0 to 1`},
		{in("distribution = \"curvilinear\"\nhalf_width = 1"), `input 1 "x": inexact is left out; want 0 up to less than half_width 1`},
		{in("distribution = \"curvilinear\"\nhalf_width = 1\ninexact = 1"), `input 1 "x": inexact is 1; want 0 up to less than half_width 1`},
		{in("distribution = \"normal\""), `input 1 "x": normal with u left out, expanded left out and k left out; want u alone, or expanded with k`},
		{in("distribution = \"normal\"\nu = -1"), `input 1 "x": u is -1; want one above zero`},
		{in("distribution = \"normal\"\nexpanded = 1"), `input 1 "x": normal with u left out, expanded 1 and k left out; want u alone, or expanded with k`},
		{in("distribution = \"normal\"\nexpanded = 1\nk = 0"), `input 1 "x": k is 0; want one above zero`},
		{in("distribution = \"normal\"\nu = 1\nk = 2"), `input 1 "x": k does not go with normal; want only its own keys`},
		{in("distribution = \"normal\"\nu = 1\nhalf_width = 2\nn = 3"), `input 1 "x": half_width, n does not go with normal; want only its own keys`},
		{in("distribution = \"t\"\nu = 1"), `input 1 "x": t without u and dof; want both`},
		{in(normal + "\ndof = 0.5"), `input 1 "x": dof is 0.5; want at least 1`},
		{in(normal + "\ndof = nan"), `input 1 "x": dof is NaN; want a finite number`},
		{in(normal + "\nunreliability = 0.8"), `input 1 "x": unreliability is 0.8, less than one degree of freedom; want at most 0.7`},
		{in(normal + "\nunreliability = 0.2\ndof = 4"), `input 1 "x": dof and unreliability; want one of them`},
		{in(normal + "\nvalue = nan"), `input 1 "x": value is NaN; want a finite number`},
		{in("readings = [1]"), `input 1 "x": readings: 1 readings; want at least 2`},
		{in("readings = []"), `input 1 "x": readings: 0 readings; want at least 2`},
		{in("readings = [1, nan]"), `input 1 "x": readings: readings: number 2: not a finite number; want finite numbers`},
		{in("readings = [1, 2]\nvalue = 1"), `input 1 "x": a value beside readings; want one of them, the value is the readings' mean`},
		{in("readings = [1, 2]\ndof = 1"), `input 1 "x": dof or n beside readings; want them left out, or pooled_s`},
		{in("readings = [1, 2]\nu = 1"), `input 1 "x": u does not go with readings or pooled_s; want only its own keys`},
		{in("readings = [1, 2]\ndistribution = \"normal\""), `input 1 "x": readings or pooled_s with distribution "normal"; want it left out, or "t"`},
		{in("pooled_s = 1\ndof = 3"), `input 1 "x": pooled_s without n; want the number of readings in the mean`},
		{in("pooled_s = 1\nn = 3"), `input 1 "x": pooled_s without dof; want the degrees of freedom of the pooled value`},
		{in("pooled_s = 1\nn = 0\ndof = 3"), `input 1 "x": n is 0; want at least 1`},
		{in("readings = [1, 2]\npooled_s = 1\nn = 3\ndof = 3"), `input 1 "x": n is 3 beside 2 readings; want n left out`},
		{in(normal) + "[[input]]\nname = \"x\"\n" + normal, `input 2 "x": name of input 1; want every name once`},
		{head + "[[input]]\n" + normal, `input 1 "": name: nothing given; want one in a line`},
		{in(normal + "\nsource = \"a\\nb\""), `input 1 "x": source: "a\nb" cannot be printed; want one line`},
		{"model = \"x\"\n" + in(normal), `input 1 "x": no value; want the estimate the model is to use`},
		{"model = \"x\"\n" + in(normal+"\nvalue = 1\nsensitivity = 2"), `input 1 "x": sensitivity 2 beside a model; want it left out, the model gives it`},
		{"model = \"x + q\"\n" + in(normal+"\nvalue = 1"), `model: column 5: unknown name "q"; want a name of an input: x`},
		{"model = \"\"\n" + in(normal+"\nvalue = 1"), "model: nothing; want a formula over the names of the inputs"},
		{"model = \"1/x\"\n" + in(normal+"\nvalue = 0"), "model: column 2: 1 divided by 0 at x = 0; want a model that is defined wherever its inputs may lie"},
		{two + "[[correlation]]\nbetween = [\"x\"]\nr = 1", "correlation 1: between 1 names; want two"},
		{two + "[[correlation]]\nbetween = [\"x\", \"y\"]", `correlation 1 of "x" and "y": no r; want -1 to 1`},
		{two + "[[correlation]]\nbetween = [\"x\", \"y\"]\nr = 1.5", `correlation 1 of "x" and "y": r is 1.5; want -1 to 1`},
		{two + "[[correlation]]\nbetween = [\"x\", \"z\"]\nr = 0.5", `correlation 1 of "x" and "z": a name that no input has; want two names of inputs`},
		{"\xff\xfe", "budget file: not UTF-8; want a text file in UTF-8"},
		{strings.Repeat("#", 1<<20+1), "budget file: 1048577 bytes; want at most 1048576"},
	} {
		_, err := Read([]byte(c.text))
		if err == nil {
			t.Errorf("%q taken; want: %s", c.text, c.want)
			continue
		}
		first, _, _ := strings.Cut(err.Error(), "\n")
		if first != c.want && !(strings.HasSuffix(c.want, ": ") && strings.HasPrefix(first, c.want)) {
			t.Errorf("%q\ngot  %s\nwant %s", c.text, first, c.want)
		}
	}
}

func TestAllMistakesAreReportedAtOnce(t *testing.T) {
	_, err := Read([]byte("quantity = \"q\"\nprobability = 2.0\n[[input]]\nname = \"a\"\n[[input]]\nname = \"b\"\ndistribution = \"normal\"\nu = -1\n[[input]]\nname = \"c\"\nreadings = [1]"))
	if n := strings.Count(fmt.Sprint(err), "\n"); n != 4 {
		t.Errorf("%v\nwant five lines", err)
	}
	var in *InputError
	if !errors.As(err, &in) || in.Line != 1 || in.Name != "a" {
		t.Errorf("%+v; want input 1", in)
	}
	_, err = Read([]byte("foo = 1\nbar = 2\n"))
	if fmt.Sprint(err) != "line 1: unknown key \"foo\"; want a key of a budget file\nline 2: unknown key \"bar\"; want a key of a budget file" {
		t.Errorf("%v; want both unknown keys", err)
	}
}

// FuzzRead wants any file read or refused, and what is read evaluated or refused, without panic, NaN or unprintable lines.
func FuzzRead(f *testing.F) {
	f.Add([]byte(caliper))
	f.Add([]byte(head + "model = \"x^2\"\n[[input]]\nname = \"x\"\nvalue = 1\ndistribution = \"t\"\nu = 1\ndof = 1\n"))
	f.Add([]byte(head + "[[input]]\nname = \"x\"\nreadings = [1, 2, 3]\n[[correlation]]\nbetween = [\"x\", \"x\"]\nr = 2\n"))
	f.Add([]byte("quantity = \"\\u202e\"\nunit = ''\nprobability = 1e400\n[[input]]\nn = 9223372036854775807\npooled_s = 1\ndof = 1"))
	f.Fuzz(func(t *testing.T, data []byte) {
		file, err := Read(data)
		if err != nil {
			for line := range strings.SplitSeq(err.Error(), "\n") {
				if strings.TrimSpace(line) == "" || strings.ContainsAny(line, "\r\x00\x1b") {
					t.Fatalf("refusal %q", err)
				}
			}
			return
		}
		if len(file.Budget.Inputs) > 6 {
			return // the engine's time is not what is tested
		}
		for _, m := range []uncertainty.Method{uncertainty.T, uncertainty.Exact} {
			s, err := file.Budget.Evaluate(file.Probability, m)
			if err == nil && (math.IsNaN(s.Estimate+s.Standard+s.K+s.Expanded) || !(s.Low <= s.High)) {
				t.Fatalf("%s: %+v", m, s)
			}
		}
		if s, err := file.Budget.Simulate(file.Probability, uncertainty.Drawing{Most: 1}); err == nil && !(s.Low <= s.High) {
			t.Fatalf("drawn: %+v", s)
		}
	})
}
