package length

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/unit"
)

func set(id, symbol string, nominals ...string) calib.StandardOnDay {
	s := calib.StandardOnDay{Standard: calib.Standard{ID: id, Kind: calib.BlockSet}}
	for _, n := range nominals {
		s.Certificate.Values = append(s.Certificate.Values, calib.Value{Nominal: unit.Must(n+" "+symbol, unit.Length)})
	}
	return s
}

// usual is a set of 47 pieces of common composition (common practice).
func usual() calib.StandardOnDay {
	n := []string{"1.005", "25", "50", "75", "100"}
	for i := 1; i <= 9; i++ {
		n = append(n, fmt.Sprintf("1.0%d", i), fmt.Sprintf("1.%d", i))
	}
	for i := 1; i <= 24; i++ {
		n = append(n, fmt.Sprint(i))
	}
	return set("GB-1", "mm", n...)
}

func inches() calib.StandardOnDay {
	return set("GB-IN", "in", "0.05", "0.1", "0.105", "0.11", "0.115", "0.12", "0.2", "0.3", "0.4", "0.5", "1")
}

func TestProposeTakesFewestBlocksLastDigitFirst(t *testing.T) {
	for _, c := range []struct {
		name, at string
		from     []calib.StandardOnDay
		want     string
	}{
		// National Physical Laboratory, answers on choosing gauge blocks; read.
		{"five blocks", "58.345 mm", []calib.StandardOnDay{usual()}, "1.005 mm + 1.04 mm + 1.3 mm + 5 mm + 50 mm"},
		{"one block", "25.0 mm", []calib.StandardOnDay{usual()}, "25 mm"},
		{"two blocks", "5.1 mm", []calib.StandardOnDay{usual()}, "1.1 mm + 4 mm"},
		{"three blocks", "2.51 mm", []calib.StandardOnDay{set("S", "mm", "1.01", "1.1", "0.5", "1", "1.5")}, "1.01 mm + 1.5 mm"},
		{"no block twice", "3 mm", []calib.StandardOnDay{set("S", "mm", "1", "1.5", "2")}, "1 mm + 2 mm"},
		{"two sets", "7.7 mm", []calib.StandardOnDay{set("A", "mm", "1.7"), set("B", "mm", "6")}, "1.7 mm + 6 mm"},
		{"inch point", "0.210 in", []calib.StandardOnDay{usual(), inches()}, "0.11 in + 0.1 in"},
		{"inch point of a finer digit", "0.605 in", []calib.StandardOnDay{inches()}, "0.105 in + 0.5 in"},
		{"inch point from a metric set", "1 in", []calib.StandardOnDay{set("S", "mm", "1.4", "24")}, "1.4 mm + 24 mm"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := Propose(unit.Must(c.at, unit.Length), c.from)
			if err != nil {
				t.Fatal(err)
			}
			var names []string
			for _, u := range got {
				names = append(names, u.Nominal.String())
			}
			if text := strings.Join(names, " + "); text != c.want {
				t.Errorf("%s = %s, want %s", c.at, text, c.want)
			}
		})
	}
}

func TestProposeSaysWhichPointNoStackMakes(t *testing.T) {
	_, err := Propose(unit.Must("58.3455 mm", unit.Length), []calib.StandardOnDay{usual()})
	var none *NoStackError
	if !errors.As(err, &none) {
		t.Fatalf("got %v, want a *NoStackError", err)
	}
	want := "58.3455 mm: no stack of 5 blocks or fewer from GB-1 makes it; want another set, or another point"
	if err.Error() != want {
		t.Errorf("got %s\nwant %s", err, want)
	}
}

// Whatever is proposed adds up, and uses no block twice.
func TestProposedBlocksAddUp(t *testing.T) {
	from, made := []calib.StandardOnDay{usual()}, 0
	for i := int64(2); i <= 2500; i += 7 {
		at := unit.Of(unit.Ratio(i, 25), unit.Must("0 mm", unit.Length).Unit())
		got, err := Propose(at, from)
		if err != nil {
			continue
		}
		made++
		sum, seen := unit.Exact{}, map[string]bool{}
		for _, u := range got {
			sum = sum.Add(u.Nominal.Inner())
			if seen[u.Nominal.String()] {
				t.Errorf("%s: block %s is used twice", at, u.Nominal)
			}
			seen[u.Nominal.String()] = true
		}
		if sum.Cmp(at.Inner()) != 0 {
			t.Errorf("%s: the blocks make %s mm", at, sum.Shortest())
		}
	}
	if made < 100 {
		t.Errorf("only %d sizes were made", made)
	}
}

func BenchmarkProposeWhereNoStackIs(b *testing.B) {
	from := []calib.StandardOnDay{usual()}
	for b.Loop() {
		if _, err := Propose(unit.Must("58.3455 mm", unit.Length), from); err == nil {
			b.Fatal("a stack was found")
		}
	}
}
