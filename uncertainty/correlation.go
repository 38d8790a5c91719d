package uncertainty

import (
	"fmt"
	"math"
)

// A CorrelationError names the correlation of a budget that cannot be used.
type CorrelationError struct {
	Line   int    // 1-based place of the correlation
	A, B   string // as given
	Reason string // what was found; what is wanted
}

func (e *CorrelationError) Error() string {
	return fmt.Sprintf("correlation %d of %q and %q: %s", e.Line, e.A, e.B, e.Reason)
}

// correlations is the correlation matrix of a budget, cut into groups that know nothing of each other.
type correlations struct {
	groups [][]int            // inputs bound by correlation, in their order; every input is in one group
	r      map[[2]int]float64 // smaller place first; zero if absent
}

func (c correlations) at(i, j int) float64 {
	if i == j {
		return 1
	}
	return c.r[[2]int{min(i, j), max(i, j)}]
}

// correlate reads the correlations and refuses those that contradict one another.
func (b Budget) correlate() (correlations, error) {
	if len(b.Correlations) == 0 {
		return b.uncorrelated(), nil
	}
	c := correlations{r: make(map[[2]int]float64)}
	place := make(map[string]int, len(b.Inputs))
	root := make([]int, len(b.Inputs))
	for i, in := range b.Inputs {
		place[in.Name], root[i] = i, i
	}
	for n, k := range b.Correlations {
		i, okA := place[k.A]
		j, okB := place[k.B]
		pair := [2]int{min(i, j), max(i, j)}
		_, again := c.r[pair]
		reason := ""
		switch {
		case !okA || !okB:
			reason = "a name that no input has; want two names of inputs"
		case i == j:
			reason = "an input with itself; want two different inputs"
		case !(k.R >= -1 && k.R <= 1):
			reason = fmt.Sprintf("r is %v; want -1 to 1", k.R)
		case again:
			reason = "stated twice; want every pair once"
		}
		if reason != "" {
			return c, &CorrelationError{Line: n + 1, A: k.A, B: k.B, Reason: reason}
		}
		c.r[pair] = k.R
		if k.R != 0 {
			join(root, i, j)
		}
	}
	c.gather(root)
	return c, c.consistent(b)
}

// uncorrelated puts every input into a group of its own.
func (b Budget) uncorrelated() correlations {
	all := make([]int, len(b.Inputs))
	c := correlations{groups: make([][]int, len(b.Inputs))}
	for i := range all {
		all[i] = i
		c.groups[i] = all[i : i+1 : i+1]
	}
	return c
}

// join gives the groups of i and j one root.
func join(root []int, i, j int) {
	from, to := root[i], root[j]
	for n := range root {
		if root[n] == from {
			root[n] = to
		}
	}
}

func (c *correlations) gather(root []int) {
	groupOf := make(map[int]int)
	for i, r := range root {
		g, ok := groupOf[r]
		if !ok {
			g = len(c.groups)
			groupOf[r] = g
			c.groups = append(c.groups, nil)
		}
		c.groups[g] = append(c.groups[g], i)
	}
}

// consistent refuses a group whose matrix has a negative eigenvalue: no inputs can be so correlated.
func (c correlations) consistent(b Budget) error {
	for _, group := range c.groups {
		if _, ok := c.cholesky(group); !ok {
			names := make([]string, len(group))
			for n, i := range group {
				names[n] = b.Inputs[i].Name
			}
			return fmt.Errorf("correlations of %q: no inputs can be correlated so; want a positive semidefinite matrix", names)
		}
	}
	return nil
}

// roundOff is how far below zero a pivot may fall by rounding, and by figures
// published with two or three digits being exactly singular (house rule).
const roundOff = 1e-9

// cholesky returns the lower triangle l with l·lᵀ = R for one group, row by row,
// and false if R is not positive semidefinite (JCGM 101:2008, 6.4.8.4, extended to singular matrices:
// a column whose pivot vanishes must vanish too).
func (c correlations) cholesky(group []int) ([][]float64, bool) {
	l := make([][]float64, len(group))
	for i := range group {
		l[i] = make([]float64, i+1)
		for j := 0; j <= i; j++ {
			rest := c.at(group[i], group[j])
			for k := 0; k < j; k++ {
				rest -= l[i][k] * l[j][k]
			}
			switch {
			case i == j && rest < -roundOff:
				return nil, false
			case i == j:
				l[i][i] = math.Sqrt(math.Max(rest, 0))
				if rest < roundOff {
					l[i][i] = 0
				}
			case l[j][j] > 0:
				l[i][j] = rest / l[j][j]
			case math.Abs(rest) > math.Sqrt(roundOff):
				return nil, false
			}
		}
	}
	return l, true
}
