package journal

import (
	"bytes"
	"encoding/json"
	"math"
	"reflect"
	"strings"
	"testing"
)

// RFC 8785, appendix B, table 1. read: in public test suites that quote the
// table; the RFC's own text was not at hand.
func TestNumbersOfRFC8785AppendixB(t *testing.T) {
	for _, c := range []struct {
		bits uint64
		want string
	}{
		{0x0000000000000000, "0"},
		{0x8000000000000000, "0"},
		{0x0000000000000001, "5e-324"},
		{0x8000000000000001, "-5e-324"},
		{0x7fefffffffffffff, "1.7976931348623157e+308"},
		{0xffefffffffffffff, "-1.7976931348623157e+308"},
		{0x4340000000000000, "9007199254740992"},
		{0xc340000000000000, "-9007199254740992"},
		{0x4430000000000000, "295147905179352830000"},
		{0x44b52d02c7e14af5, "9.999999999999997e+22"},
		{0x44b52d02c7e14af6, "1e+23"},
		{0x44b52d02c7e14af7, "1.0000000000000001e+23"},
		{0x444b1ae4d6e2ef4e, "999999999999999700000"},
		{0x444b1ae4d6e2ef4f, "999999999999999900000"},
		{0x444b1ae4d6e2ef50, "1e+21"},
		{0x3eb0c6f7a0b5ed8c, "9.999999999999997e-7"},
		{0x3eb0c6f7a0b5ed8d, "0.000001"},
		{0x41b3de4355555553, "333333333.3333332"},
		{0x41b3de4355555554, "333333333.33333325"},
		{0x41b3de4355555555, "333333333.3333333"},
		{0x41b3de4355555556, "333333333.3333334"},
		{0x41b3de4355555557, "333333333.33333343"},
		{0xbecbf647612f3696, "-0.0000033333333333333333"},
		{0x43143ff3c1cb0959, "1424953923781206.2"},
	} {
		f := math.Float64frombits(c.bits)
		if got, err := Canonical(f); err != nil || string(got) != c.want {
			t.Errorf("the double %016x is written %s (%v), want %s", c.bits, got, err, c.want)
		}
		// The same from text, with every digit that tells doubles apart.
		if got, err := Canonical(json.RawMessage(appendNumber(nil, f))); err != nil || string(got) != c.want {
			t.Errorf("the text of the double %016x is written %s (%v), want %s", c.bits, got, err, c.want)
		}
	}
	for _, f := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		if got, err := Canonical(map[string]float64{"u": f}); err == nil {
			t.Errorf("%v is written %s, want it refused (RFC 8785, 3.2.2.3)", f, got)
		}
	}
}

// The samples: RFC 8785, 3.2.2 and 3.2.3 from memory; "structures", "weird"
// and "unicode" read in the test data published with the RFC by its author
// (github.com/cyberphone/json-canonicalization, testdata).
func TestSamplesOfRFC8785(t *testing.T) {
	for _, c := range []struct{ name, in, want string }{
		{"3.2.2, memory and read", `{
			"numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],
			"string": "\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/",
			"literals": [null, true, false]
		}`, `{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],"string":"€$\u000f\nA'B\"\\\\\"/"}`},
		{"3.2.3, memory", `{
			"\u20ac": "Euro Sign", "\r": "Carriage Return",
			"\ufb33": "Hebrew Letter Dalet With Dagesh", "1": "One",
			"\ud83d\ude00": "Emoji: Grinning Face", "\u0080": "Control",
			"\u00f6": "Latin Small Letter O With Diaeresis"
		}`, "{\"\\r\":\"Carriage Return\",\"1\":\"One\",\"\u0080\":\"Control\",\"ö\":\"Latin Small Letter O With Diaeresis\"," +
			"\"€\":\"Euro Sign\",\"😀\":\"Emoji: Grinning Face\",\"\ufb33\":\"Hebrew Letter Dalet With Dagesh\"}"},
		{"structures, read", `{"1": {"f": {"f": "hi","F": 5} ,"\n": 56.0}, "10": { }, "": "empty", "a": { }, "111": [ { } ], "A": { }}`,
			`{"":"empty","1":{"\n":56,"f":{"F":5,"f":"hi"}},"10":{},"111":[{}],"A":{},"a":{}}`},
		{"weird, read", `{"\u20ac": "Euro Sign", "1": "One", "\u0080": "Control\u007f", "\ud83d\ude02": "Smiley",
			"\u00f6": "Latin Small Letter O With Diaeresis", "\ufb33": "Hebrew Letter Dalet With Dagesh", "</script>": "Browser Challenge"}`,
			"{\"1\":\"One\",\"</script>\":\"Browser Challenge\",\"\u0080\":\"Control\u007f\",\"ö\":\"Latin Small Letter O With Diaeresis\"," +
				"\"€\":\"Euro Sign\",\"😂\":\"Smiley\",\"\ufb33\":\"Hebrew Letter Dalet With Dagesh\"}"},
		{"unicode is not normalised, read", `{"Unnormalized Unicode":"\u1e0d\u0307"}`, "{\"Unnormalized Unicode\":\"\u1e0d\u0307\"}"},
		{"escapes, own", `"\b\t\n\f\r\u0001\u001F\u007f\u2028\"\\"`, "\"\\b\\t\\n\\f\\r\\u0001\\u001f\u007f\u2028\\\"\\\\\""},
		{"minus zero and zeros, own", `[-0, 0.0, -0e7, 1.0, 100e-2]`, `[0,0,0,1,1]`},
		{"whole numbers a double holds, own", `[9007199254740992, 1000000000000000000000, 295147905179352825856]`,
			`[9007199254740992,1e+21,295147905179352830000]`},
		{"replacement character in a text, own", `"\ufffd"`, "\"\ufffd\""},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := Canonical(json.RawMessage(c.in))
			if err != nil || string(got) != c.want {
				t.Fatalf("canonical form is\n%s (%v), want\n%s", got, err, c.want)
			}
		})
	}
}

func TestWhatTwoReadersCouldDifferOnIsRefused(t *testing.T) {
	type pair struct {
		A string `json:"a"`
	}
	for _, c := range []struct {
		name string
		in   any
		want string
	}{
		{"two members of one name", json.RawMessage(`{"a":1,"b":2,"a":1}`), `canonical json: member "a": given twice; want it once`},
		{"the same name by escape", json.RawMessage(`{"a":1,"\u0061":2}`), `canonical json: member "a": given twice; want it once`},
		{"not UTF-8 in a text", json.RawMessage("\"a\xff\""), `canonical json: byte 2: found "\xff"; want text in UTF-8`},
		{"an encoded surrogate", json.RawMessage("\"\xed\xa0\x80\""), `canonical json: byte 1: found "\xed"; want text in UTF-8`},
		{"not UTF-8 in a Go string", pair{"a\xff"}, `canonical json: byte 7: text that is not UTF-8; want UTF-8`},
		{"not UTF-8 in a Go map's key", map[string]int{"\xff": 1}, `canonical json: byte 2: text that is not UTF-8; want UTF-8`},
		{"high half alone", json.RawMessage(`"\ud83d"`), `canonical json: byte 1: half a surrogate pair; want both halves in order`},
		{"high half and half an escape", json.RawMessage(`"\ud83d\`), `canonical json: byte 1: half a surrogate pair; want both halves in order`},
		{"high half and another character", json.RawMessage(`"\ud83d\u0041"`), `canonical json: byte 1: half a surrogate pair; want both halves in order`},
		{"low half first", json.RawMessage(`"\ude00\ud83d"`), `canonical json: byte 1: half a surrogate pair; want both halves in order`},
		{"whole number too long", json.RawMessage(`9007199254740993`), `canonical json: whole number "9007199254740993": a double would hold 9007199254740992; want it as a string`},
		{"whole number of Go too long", int64(math.MaxInt64), `canonical json: whole number "9223372036854775807": a double would hold 9223372036854776000; want it as a string`},
		{"number too large", json.RawMessage(`1e309`), `canonical json: number "1e309": beyond what a double holds; want it as a string`},
		{"number too small", json.RawMessage(`-0.1e-400`), `canonical json: number "-0.1e-400": a double would hold 0; want it as a string`},
		{"control character bare", json.RawMessage("\"\n\""), `canonical json: byte 1: found "\n"; want a control character written as an escape`},
		{"comma at the end", json.RawMessage(`[1,]`), `canonical json: byte 3: found "]"; want a value`},
		{"comma at the end of an object", json.RawMessage(`{"a":1,}`), `canonical json: byte 7: found "}"; want a member's name`},
		{"leading zero", json.RawMessage(`01`), `canonical json: byte 1: found "1"; want the end of the text`},
		{"plus", json.RawMessage(`+1`), `canonical json: byte 0: found "+"; want a value`},
		{"bare point", json.RawMessage(`1.`), `canonical json: byte 2: the text ends; want a digit`},
		{"bare exponent", json.RawMessage(`1e+`), `canonical json: byte 3: the text ends; want a digit`},
		{"NaN", json.RawMessage(`NaN`), `canonical json: byte 0: found "N"; want a value`},
		{"two values", json.RawMessage(`1 2`), `canonical json: byte 2: found "2"; want the end of the text`},
		{"nothing", json.RawMessage(` `), `canonical json: byte 1: the text ends; want a value`},
		{"open string", json.RawMessage(`"a`), `canonical json: byte 2: the text ends; want the end of the string`},
		{"open escape", json.RawMessage(`"\`), `canonical json: byte 2: the text ends; want the rest of an escape`},
		{"unknown escape", json.RawMessage(`"\x"`), `canonical json: byte 2: found "x"; want one of "\/bfnrtu after a backslash`},
		{"short escape", json.RawMessage(`"\u12"`), `canonical json: byte 6: the text ends; want four hexadecimal digits`},
		{"escape with a sign", json.RawMessage(`"\u+123"`), `canonical json: byte 3: found "+"; want four hexadecimal digits`},
		{"no colon", json.RawMessage(`{"a" 1}`), `canonical json: byte 5: found "1"; want a colon`},
		{"too deep", json.RawMessage(strings.Repeat("[", 500)), `canonical json: byte 101: nested deeper than 100; want less`},
		{"a Go value that is no JSON", map[string]any{"f": func() {}}, `canonical json: json: unsupported type: func(); want what JSON can hold`},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := Canonical(c.in)
			if err == nil || err.Error() != c.want {
				t.Fatalf("got %s, message\n%v\nwant\n%s", got, err, c.want)
			}
		})
	}
}

func TestGoValuesAndTheirTextHaveOneForm(t *testing.T) {
	type inner struct {
		Z string  `json:"z"`
		A float64 `json:"a"`
	}
	v := struct {
		B inner          `json:"b"`
		A []string       `json:"a"`
		M map[string]any `json:"m"`
		R json.RawMessage
	}{inner{"<b>&\u2028", 0.1}, nil, map[string]any{"y": true, "x": 1e21}, json.RawMessage(`{"q": 1.0, "p": null}`)}
	const want = `{"R":{"p":null,"q":1},"a":null,"b":{"a":0.1,"z":"<b>&` + "\u2028" + `"},"m":{"x":1e+21,"y":true}}`
	if got, err := Canonical(v); err != nil || string(got) != want {
		t.Errorf("canonical form is\n%s (%v), want\n%s", got, err, want)
	}
}

func TestOrderIsThatOfUTF16CodeUnits(t *testing.T) {
	// RFC 8785, 3.2.3: the code units of U+1F600 are D83D DE00, below U+FB33
	// although its number and its UTF-8 are above.
	inOrder := []string{"", "\r", "1", "10", "1\u0080", "\u0080", "ö", "€", "\ud7ff", "\U00010000", "\U0001F600", "\U0010FFFF", "\ue000", "\ufb33", "\uffff"}
	for i, a := range inOrder {
		for j, b := range inOrder {
			want := 0
			if i != j {
				want = 1
				if i < j {
					want = -1
				}
			}
			if got := compareUTF16([]byte(a), []byte(b)); got != want {
				t.Errorf("%q against %q is %d, want %d", a, b, got, want)
			}
		}
	}
}

func FuzzCanonicalOfCanonicalIsItself(f *testing.F) {
	for _, s := range []string{`{"b":[1.50,-0,1e21],"a":"\ud83d\ude00\u0001"}`, `[]`, `"\ufffd"`, `1e-7`, `295147905179352825856`, `{"a":{"":null}}`} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, in []byte) {
		one, err := Canonical(json.RawMessage(in))
		if err != nil {
			if one != nil {
				t.Fatalf("%q is refused and gives %q", in, one)
			}
			return
		}
		two, err := Canonical(json.RawMessage(one))
		if err != nil || !bytes.Equal(one, two) {
			t.Fatalf("%q becomes %q, and that %q (%v)", in, one, two, err)
		}
		// The standard library reads the same value from both.
		var a, b any
		if json.Unmarshal(in, &a) != nil || json.Unmarshal(one, &b) != nil || !reflect.DeepEqual(a, b) {
			t.Fatalf("%q means %v and its canonical form %q means %v", in, a, one, b)
		}
	})
}
