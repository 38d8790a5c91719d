package length

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/unit"
)

// mostBlocks bounds a proposed stack: more joints than this are bad practice
// (common practice: the fewest blocks possible).
const mostBlocks = 5

// A NoStackError says that no stack of at most five blocks makes a size.
type NoStackError struct {
	Nominal unit.Quantity
	From    []string // identities of the standards that were searched
}

func (e *NoStackError) Error() string {
	return fmt.Sprintf("%s: no stack of %d blocks or fewer from %s makes it; want another set, or another point", e.Nominal, mostBlocks, strings.Join(e.From, ", "))
}

// Propose returns the fewest blocks that make the nominal size, the one that
// takes away the last digit first, as blocks are chosen by hand. Among stacks
// of equal number it prefers the one whose first block fits the last digits
// exactly. Each block is used once.
func Propose(nominal unit.Quantity, sets []calib.StandardOnDay) ([]calib.BlockUse, error) {
	for _, step := range stepsFor(nominal) {
		s := newSearch(nominal.Inner(), step, sets)
		for n := 1; n <= mostBlocks && s != nil; n++ {
			if picked := s.pick(s.target, n, nil); picked != nil {
				return s.uses(picked), nil
			}
		}
	}
	e := &NoStackError{Nominal: nominal}
	for _, set := range sets {
		if set.Standard.Kind.OfLength() {
			e.From = append(e.From, set.Standard.ID)
		}
	}
	return nil, e
}

// A search works in whole steps of one common length, so that sums are
// integers and "the last digit" means something in inches as in millimetres.
type search struct {
	target int64
	sizes  []int64
	blocks []calib.BlockUse
	at     map[int64]int // size → index
}

// stepsFor returns the lengths to count in, in mm, finer than any nominal:
// 0.1 nm, and for a size in inches first 0.1 µin, so that its last digit is
// the inch's.
func stepsFor(nominal unit.Quantity) []unit.Exact {
	metric, inch := unit.Ratio(1, 10_000_000), unit.Ratio(254, 100_000_000)
	if _, whole := steps(nominal.Unit().Factor(), inch); whole {
		return []unit.Exact{inch, metric}
	}
	return []unit.Exact{metric}
}

// newSearch returns nil where nothing can be searched.
func newSearch(target, step unit.Exact, sets []calib.StandardOnDay) *search {
	s := &search{at: map[int64]int{}}
	var ok bool
	if s.target, ok = steps(target, step); !ok || s.target <= 0 {
		return nil
	}
	for _, set := range sets {
		if set.Standard.Kind.OfLength() {
			s.add(set, step)
		}
	}
	s.order()
	return s
}

func (s *search) add(set calib.StandardOnDay, step unit.Exact) {
	for _, v := range set.Certificate.Values {
		n, ok := steps(v.Nominal.Inner(), step)
		if _, twice := s.at[n]; !ok || twice || n > s.target {
			continue
		}
		s.at[n] = len(s.sizes)
		s.sizes = append(s.sizes, n)
		s.blocks = append(s.blocks, calib.BlockUse{Standard: set.Standard.ID, Nominal: v.Nominal})
	}
}

// order sorts the sizes by their decimal fineness in the finest digit first,
// then ascending, and renumbers the index.
func (s *search) order() {
	index := make([]int, len(s.sizes))
	for i := range index {
		index[i] = i
	}
	slices.SortFunc(index, func(a, b int) int {
		return cmp.Or(cmp.Compare(zeros(s.sizes[a]), zeros(s.sizes[b])), cmp.Compare(s.sizes[a], s.sizes[b]))
	})
	sizes, uses := make([]int64, len(index)), make([]calib.BlockUse, len(index))
	for to, from := range index {
		sizes[to], uses[to] = s.sizes[from], s.blocks[from]
		s.at[sizes[to]] = to
	}
	s.sizes, s.blocks = sizes, uses
}

// pick finds n more blocks that make up the rest, or nil. Whatever stack makes
// the rest holds a block that is at least as fine as the rest's last digit, so
// only those are tried, the ones that take the digit away before others.
func (s *search) pick(rest int64, n int, taken []int) []int {
	if n == 1 {
		if i, ok := s.at[rest]; ok && !slices.Contains(taken, i) {
			return append(slices.Clone(taken), i)
		}
		return nil
	}
	fine := zeros(rest)
	for _, exactly := range []bool{true, false} {
		for i, size := range s.sizes {
			if zeros(size) > fine {
				break // sorted: the others are coarser still
			}
			if size >= rest || (zeros(rest-size) > fine) != exactly || slices.Contains(taken, i) {
				continue
			}
			if got := s.pick(rest-size, n-1, append(slices.Clone(taken), i)); got != nil {
				return got
			}
		}
	}
	return nil
}

func (s *search) uses(picked []int) []calib.BlockUse {
	out := make([]calib.BlockUse, len(picked))
	for i, p := range picked {
		out[i] = s.blocks[p]
	}
	return out
}

// steps returns how many whole steps v is, if it is a whole number of them.
func steps(v, step unit.Exact) (int64, bool) {
	r := v.Quo(step).Rat()
	if !r.IsInt() || !r.Num().IsInt64() {
		return 0, false
	}
	return r.Num().Int64(), true
}

// zeros counts the decimal zeros at the end of n, which is above 0.
func zeros(n int64) int {
	z := 0
	for n%10 == 0 && n != 0 {
		n /= 10
		z++
	}
	return z
}
