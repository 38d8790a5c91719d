package study

import (
	"fmt"
	"math/rand/v2"
)

// A Turn is one reading that is to be taken.
type Turn struct {
	Part     string `json:"part"`
	Operator string `json:"operator"`
	Repeat   int    `json:"repeat"` // 1-based
}

// MostSeed is the largest seed: what a person copies from a sheet without a
// slip (house rule).
const MostSeed = 999_999_999

// Order plans the turns of a study: round by round, each round with the
// operators in a random order, and each operator with the parts in one of their
// own. So a drift of gauge or parts falls on all alike, nobody knows which part
// comes next, and nobody gives up the gauge after each reading. The same seed,
// 1 to [MostSeed], gives the same order for ever.
func Order(parts, operators []string, repeats int, seed uint64) ([]Turn, error) {
	if seed < 1 || seed > MostSeed {
		return nil, fmt.Errorf("seed %d: want a whole number from 1 to %d", seed, MostSeed)
	}
	draw := shuffler{rand.NewPCG(seed, 0)}
	var out []Turn
	for repeat := 1; repeat <= repeats; repeat++ {
		for _, operator := range draw.shuffled(operators) {
			for _, part := range draw.shuffled(parts) {
				out = append(out, Turn{part, operator, repeat})
			}
		}
	}
	return out, nil
}

// A shuffler draws orders. Its arithmetic is written out here and not taken
// from a library, whose next release may draw others from the same seed.
type shuffler struct{ source *rand.PCG }

// shuffled returns a copy in random order (Fisher and Yates).
func (s shuffler) shuffled(list []string) []string {
	out := append([]string{}, list...)
	for i := len(out) - 1; i > 0; i-- {
		j := s.below(uint64(i + 1))
		out[i], out[j] = out[j], out[i]
	}
	return out
}

// below draws a whole number below n, each equally likely.
func (s shuffler) below(n uint64) uint64 {
	for whole := -n % n; ; { // what is left of 2⁶⁴ by n
		if v := s.source.Uint64(); v >= whole {
			return v % n
		}
	}
}

// AsPlanned reports whether the readings were taken in the order of the seed.
func (s Study) AsPlanned() bool {
	turns, err := Order(s.Parts, s.Operators, s.Repeats, s.Seed)
	if err != nil || !s.Ordered || len(turns) != len(s.Readings) {
		return false
	}
	for i, t := range turns {
		if s.Readings[i].Part != t.Part || s.Readings[i].Operator != t.Operator {
			return false
		}
	}
	return true
}
