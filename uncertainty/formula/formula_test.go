package formula

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

func parse(t *testing.T, text string, names ...string) *Formula {
	t.Helper()
	f, err := Parse(text, names)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func TestArithmeticAsWritten(t *testing.T) {
	for _, c := range []struct {
		text string
		want float64
	}{
		{"1 + 2*3", 7}, {"(1 + 2)*3", 9}, {"7/2", 3.5}, {"1/3*3", 1}, {"2^3^2", 512}, {"2**3", 8}, {"-2^2", -4}, {"(-2)^2", 4}, {"2^-1", 0.5},
		{"2 - 3 - 4", -5}, {"8/4/2", 1}, {"+5", 5}, {"1e3", 1000}, {"1.5e-3", 0.0015}, {".5", 0.5},
		{"x*y - x/y", 2*5 - 2.0/5}, {"sqrt(x*8)", 4}, {"exp(0)", 1}, {"log(exp(3))", 3}, {"ln(exp(3))", 3}, {"log10(1000)", 3},
		{"sin(pi/2)", 1}, {"cos(pi)", -1}, {"tan(pi/4)", 1}, {"asin(1)*2/pi", 1}, {"acos(-1)/pi", 1}, {"atan(1)*4/pi", 1},
		{"sinh(1) + cosh(1) - exp(1)", 0}, {"tanh(0)", 0}, {"asinh(sinh(2))", 2}, {"acosh(cosh(2))", 2}, {"atanh(tanh(2))", 2},
	} {
		f := parse(t, c.text, "x", "y")
		got, err := f.Value([]float64{2, 5})
		if err != nil || !(math.Abs(got-c.want) <= 1e-14*math.Max(1, math.Abs(c.want))) {
			t.Errorf("%s = %v, %v; want %v", c.text, got, err, c.want)
		}
		column := make([]float64, 3)
		err = f.Machine(3).Column(column, [][]float64{{2, 2, 2}, {5, 5, 5}})
		if err != nil || column[0] != got || column[2] != got {
			t.Errorf("%s = %v in a column, %v; want %v", c.text, column, err, got)
		}
	}
}

func TestFormulaKeepsItsTextAndNames(t *testing.T) {
	names := []string{"x", "y"}
	f := parse(t, "x  -  y", names...)
	names[0] = "z"
	if f.String() != "x  -  y" || f.Names()[0] != "x" || len(f.Names()) != 2 {
		t.Errorf("%q over %q; want it as given", f, f.Names())
	}
}

func TestDerivativesOfEveryFunction(t *testing.T) {
	// Against differences of the next lower derivative, whose error is of the order of h² and 1e-16/h.
	texts := []string{"sqrt(x)", "exp(x)", "log(x)", "log10(x)", "sin(x)", "cos(x)", "tan(x)", "asin(x)", "acos(x)", "atan(x)", "sinh(x)",
		"cosh(x)", "tanh(x)", "asinh(x)", "acosh(x + 1)", "atanh(x)", "x^3", "x^2.5", "x^-1", "2^x", "x^x", "1/x", "x*x*x", "(1 + x)/(2 - x*x)", "-x^2"}
	const h = 1e-5
	for _, text := range texts {
		f := parse(t, text, "x")
		for _, x := range []float64{0.2, 0.45, 0.7} {
			at := func(x float64) [4]float64 {
				d, err := f.Derive([]float64{x}, []float64{1})
				if err != nil {
					t.Fatal(text, err)
				}
				return [4]float64{d.Value, d.First[0], d.Second[0][0], d.Third[0][0]}
			}
			here, up, down := at(x), at(x+h), at(x-h)
			for k := 1; k < 4; k++ {
				slope := (up[k-1] - down[k-1]) / (2 * h)
				if !(math.Abs(here[k]-slope) <= 1e-6*(1+math.Abs(slope))) {
					t.Errorf("%s at %v: derivative %d is %v, by differences %v", text, x, k, here[k], slope)
				}
			}
		}
	}
}

func TestMixedDerivatives(t *testing.T) {
	// f = x²y³ + sin(x)z: by hand.
	f := parse(t, "x^2*y^3 + sin(x)*z", "x", "y", "z")
	x, y, z := 0.7, 1.3, -0.4
	d, err := f.Derive([]float64{x, y, z}, []float64{1, 1, 1})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"f_x", d.First[0], 2*x*y*y*y + math.Cos(x)*z}, {"f_y", d.First[1], 3 * x * x * y * y}, {"f_z", d.First[2], math.Sin(x)},
		{"f_xy", d.Second[0][1], 6 * x * y * y}, {"f_xz", d.Second[2][0], math.Cos(x)}, {"f_yz", d.Second[1][2], 0},
		{"f_xx", d.Second[0][0], 2*y*y*y - math.Sin(x)*z},
		{"f_xyy", d.Third[0][1], 12 * x * y}, {"f_yxx", d.Third[1][0], 6 * y * y}, {"f_zxx", d.Third[2][0], -math.Sin(x)}, {"f_yyy", d.Third[1][1], 6 * x * x},
	} {
		if !(math.Abs(c.got-c.want) <= 1e-12) {
			t.Errorf("%s: %v, want %v", c.name, c.got, c.want)
		}
	}
}

func TestScalesMultiplyDerivatives(t *testing.T) {
	f := parse(t, "x*x*y", "x", "y")
	d, err := f.Derive([]float64{3, 2}, []float64{0.1, 0.01})
	if err != nil || math.Abs(d.First[0]-12*0.1) > 1e-15 || math.Abs(d.Second[0][1]-6*0.001) > 1e-15 {
		t.Errorf("%+v, %v; want derivatives times their scales", d, err)
	}
}

func TestLinearFormulas(t *testing.T) {
	for _, c := range []struct {
		text     string
		constant float64
		x, y     float64
		ok       bool
	}{
		{"x - y", 0, 1, -1, true}, {"2*(x + 3) - y/4 + x", 6, 3, -0.25, true}, {"-(x*2^3)*sqrt(4)", 0, -16, 0, true},
		{"x*y", 0, 0, 0, false}, {"1/x", 0, 0, 0, false}, {"sin(x)", 0, 0, 0, false}, {"x^1", 0, 0, 0, false}, {"5", 5, 0, 0, true},
	} {
		constant, by, ok := parse(t, c.text, "x", "y").Linear()
		if ok != c.ok || ok && (constant != c.constant || by[0] != c.x || by[1] != c.y) {
			t.Errorf("%s: %v %v %v, want %v %v %v %v", c.text, constant, by, ok, c.constant, c.x, c.y, c.ok)
		}
	}
}

func TestRefusalsNameTheColumn(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"", "model: nothing; want a formula over the names of the inputs"},
		{"x + z", `model: column 5: unknown name "z"; want a name of an input: x, y`},
		{"x + max(x, y)", `model: column 5: unknown function "max"; want one of sqrt, exp, log, ln, log10, sin, cos, tan, asin, acos, atan, sinh, ...`},
		{"system(x)", `model: column 1: unknown function "system"; want one of sqrt, exp, log, ln, log10, sin, cos, tan, asin, acos, atan, sinh, ...`},
		{"sqrt(x, y)", "model: column 1: sqrt of 2 numbers; want one"},
		{"x % y", `model: column 3: operator "%"; want + - * / or ^`},
		{"x > y ? 1 : 2", "model: column 13: something that is no arithmetic; want numbers, names, + - * / ^, brackets and functions"},
		{"[x]", "model: column 1: something that is no arithmetic; want numbers, names, + - * / ^, brackets and functions"},
		{"x.y", "model: column 3: something that is no arithmetic; want numbers, names, + - * / ^, brackets and functions"},
		{`"x"`, "model: column 1: something that is no arithmetic; want numbers, names, + - * / ^, brackets and functions"},
		{"not x", "model: column 1: something that is no arithmetic; want numbers, names, + - * / ^, brackets and functions"},
	} {
		_, err := Parse(c.text, []string{"x", "y"})
		if err == nil || err.Error() != c.want {
			t.Errorf("%q\ngot  %v\nwant %s", c.text, err, c.want)
		}
	}
	for _, text := range []string{"x +", "(x", "x)", "x y", "1 2", "x + * y", strings.Repeat("x + ", 2000) + "x", "map(1..9, x)", "let z = 1; z", "x; y"} {
		_, err := Parse(text, []string{"x", "y"})
		var syntax *SyntaxError
		if !errors.As(err, &syntax) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%.40q: %v; want a refusal in one line", text, err)
		}
	}
}

func TestNamesMustBeUsable(t *testing.T) {
	for name, want := range map[string]string{
		"sin":     `model: name "sin" is that of a function or constant; want another name`,
		"pi":      `model: name "pi" is that of a function or constant; want another name`,
		"block 1": `model: name "block 1" cannot stand in a formula; want a letter, then letters, digits or _`,
		"1x":      `model: name "1x" cannot stand in a formula; want a letter, then letters, digits or _`,
		"x.y":     `model: name "x.y" cannot stand in a formula; want a letter, then letters, digits or _`,
		"true":    `model: name "true" cannot stand in a formula; want a letter, then letters, digits or _`,
		"a":       `model: name "a" given twice; want names that differ`,
		"":        `model: name "" cannot stand in a formula; want a letter, then letters, digits or _`,
		"f(x)":    `model: name "f(x)" cannot stand in a formula; want a letter, then letters, digits or _`,
	} {
		if _, err := Parse("a", []string{"a", name}); err == nil || err.Error() != want {
			t.Errorf("name %q\ngot  %v\nwant %s", name, err, want)
		}
	}
	for _, name := range []string{"δα", "x_1", "lS", "len", "count", "u2"} {
		if _, err := Parse(name+" + 1", []string{name}); err != nil {
			t.Errorf("name %q: %v; want it taken", name, err)
		}
	}
}

func TestDomainIsReportedWithTheInputs(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"1 + sqrt(x)", "model: column 5: sqrt of -1 at x = -1, y = 0; want a model that is defined wherever its inputs may lie"},
		{"x/y", "model: column 2: -1 divided by 0 at x = -1, y = 0; want a model that is defined wherever its inputs may lie"},
		{"x^0.5", "model: column 2: -1 to the power of 0.5 at x = -1, y = 0; want a model that is defined wherever its inputs may lie"},
		{"exp(-1000*x)", "model: column 1: exp of 1000 at x = -1, y = 0; want a model that is defined wherever its inputs may lie"},
	} {
		f := parse(t, c.text, "x", "y")
		_, err := f.Value([]float64{-1, 0})
		if err == nil || err.Error() != c.want {
			t.Errorf("%s\ngot  %v\nwant %s", c.text, err, c.want)
		}
		out := make([]float64, 3)
		if got := f.Machine(4).Column(out, [][]float64{{1, -1, -2}, {1, 0, 0}}); got == nil || got.Error() != c.want {
			t.Errorf("%s in a column\ngot  %v\nwant %s", c.text, got, c.want)
		}
	}
	if _, err := parse(t, "sqrt(x)", "x").Derive([]float64{0}, []float64{1}); err == nil {
		t.Error("sqrt has no derivative at 0; want it refused")
	}
	if d, err := parse(t, "x^2", "x").Derive([]float64{0}, []float64{1}); err != nil || d.First[0] != 0 || d.Second[0][0] != 2 {
		t.Errorf("x² at 0: %+v, %v; want 0 and 2", d, err)
	}
}

// FuzzParse wants every text refused in one line, or computed alike one by one and in a column.
func FuzzParse(f *testing.F) {
	for _, s := range []string{"x + y*z", "sqrt(x)^2/(1 - y)", "map([1,2], {# * x})", "((((((x))))))", "x ? y : z", "1e308*1e308*x", "let a = x; a", "-(-(-x))", "x..y", "\x00", "a[0]", "😀"} {
		f.Add(s)
	}
	r := rand.New(rand.NewPCG(1, 1))
	f.Fuzz(func(t *testing.T, text string) {
		g, err := Parse(text, []string{"x", "y", "z"})
		if err != nil {
			if strings.ContainsAny(err.Error(), "\n\r") {
				t.Fatalf("%q: refusal of several lines: %q", text, err)
			}
			return
		}
		at := []float64{r.NormFloat64(), r.NormFloat64(), r.NormFloat64()}
		want, errOne := g.Value(at)
		out := []float64{0}
		errColumn := g.Machine(1).Column(out, [][]float64{at[:1], at[1:2], at[2:]})
		if (errOne == nil) != (errColumn == nil) || errOne == nil && math.Abs(out[0]-want) > 1e-12*math.Abs(want) {
			t.Fatalf("%q at %v: %v, %v and in a column %v, %v", text, at, want, errOne, out[0], errColumn)
		}
		if d, err := g.Derive(at, []float64{1, 1, 1}); err == nil && math.IsNaN(d.First[0]+d.Second[0][1]+d.Third[1][2]) {
			t.Fatalf("%q at %v: NaN among the derivatives", text, at)
		}
		g.Linear()
	})
}
