package history

import (
	"fmt"
	"math"

	"example.org/wring/uncertainty/stat"
)

// A Method is a way of reviewing intervals (ILAC-G24:2022 / OIML D 10, clause 6;
// numbering from memory).
type Method string

// The methods.
const (
	Staircase  Method = "staircase"                // G24 method 1, gauge by gauge
	ByForecast Method = "control chart, forecast"  // G24 method 2, from drift and scatter
	ByReliable Method = "interval test of a group" // G24 method 5; NCSLI RP-1 A3
	ByDecision Method = "own decision"
)

// A Proposal is what a method says of an interval. A person accepts it or not.
type Proposal struct {
	Method Method
	Inputs string  // in words, with the figures it rests on
	Old    float64 // months, above 0
	New    float64 // months, above 0, not rounded
	Why    string  // in words
}

// Months is the new interval in whole calendar months, rounded down.
func (p Proposal) Months() int { return max(1, int(math.Floor(p.New+1e-9))) }

// A Stair holds the choices of the staircase; they are the user's and are kept
// with each change.
type Stair struct {
	Up     float64 // factor that lengthens, above 1
	Down   float64 // factor that shortens, above 0 and below 1
	Green  float64 // share of the limit up to which a check lengthens, above 0, at most 1
	Least  float64 // months, above 0
	Most   float64 // months, at least Least
	Greens int     // how many such checks in a row it takes
}

// UsualStair are the figures to start from: 80 % is the guide's own example
// (ILAC-G24, method 1), the others are house rules.
func UsualStair() Stair { return Stair{Up: 1.25, Down: 0.5, Green: 0.8, Least: 1, Most: 36, Greens: 2} }

// Climb walks a gauge's history of as-found checks, each given as its largest
// |error|/limit, oldest first, from the interval of the first, in months.
func (s Stair) Climb(shares []float64, months float64) (Proposal, error) {
	if err := s.sound(months); err != nil {
		return Proposal{}, err
	}
	at, greens := months, 0
	why := "no check as found"
	for i, r := range shares {
		if !(r >= 0) || math.IsInf(r, 0) {
			return Proposal{}, fmt.Errorf("staircase: share %d of the limit is %v; want a finite one, 0 or more", i+1, r)
		}
		switch {
		case r > 1:
			at, greens = math.Max(s.Least, at*s.Down), 0
			why = fmt.Sprintf("the last check stood at %.0f %% of its limit: shorter", 100*r)
		case r > s.Green:
			greens = 0
			why = fmt.Sprintf("the last check stood at %.0f %% of its limit, more than %.0f %%: kept", 100*r, 100*s.Green)
		default:
			if greens++; greens < s.Greens {
				why = fmt.Sprintf("%d of %d checks in a row within %.0f %% of the limit: kept", greens, s.Greens, 100*s.Green)
				continue
			}
			at, greens = math.Min(s.Most, at*s.Up), 0
			why = fmt.Sprintf("%d checks in a row within %.0f %% of the limit: longer", s.Greens, 100*s.Green)
		}
	}
	inputs := fmt.Sprintf("%d checks as found; up ×%g, down ×%g, from %g to %g months", len(shares), s.Up, s.Down, s.Least, s.Most)
	return Proposal{Staircase, inputs, months, at, why}, nil
}

// Next is the one step that the last checks ask for, from the interval as it
// stands: what came before them was answered when it was new.
func (s Stair) Next(shares []float64, months float64) (Proposal, error) {
	from := len(shares)
	for from > 0 && len(shares)-from < s.Greens {
		r := shares[from-1]
		if from--; !(r <= s.Green) {
			if from < len(shares)-1 {
				from++ // it stands before good ones
			}
			break
		}
	}
	return s.Climb(shares[from:], months)
}

func (s Stair) sound(months float64) error {
	switch {
	case !(s.Up > 1) || !(s.Down > 0 && s.Down < 1) || !(s.Green > 0 && s.Green <= 1) || s.Greens < 1:
		return fmt.Errorf("staircase: factors %v and %v, share %v, %d checks; want up above 1, down and share between 0 and 1, at least 1 check", s.Up, s.Down, s.Green, s.Greens)
	case !(s.Least > 0) || !(s.Most >= s.Least) || !(months > 0) || math.IsInf(months, 0):
		return fmt.Errorf("staircase: interval %v between %v and %v months; want all above 0, in order", months, s.Least, s.Most)
	}
	return nil
}

// A Group is how like gauges came back at about the same interval.
type Group struct {
	Checks int     // as found
	Within int     // of them within the limit
	Target float64 // share that ought to be, above 0 and below 1
	Months float64 // the interval, above 0
}

// Figures of the interval test (house rules): the confidence from which it
// speaks, the fewest checks, and how much it may change at once.
const (
	speaks     = 0.8
	fewChecks  = 10
	mostShrink = 0.5
	mostGrowth = 2
)

// Confidence is that with which the group's interval is wrong for its target:
// 1 − 2·P of a result at least as far off, from the exact binomial
// distribution, and 0 where that is negative (NCSLI RP-1:2010, method A3; read
// in a public tutorial).
func (g Group) Confidence() (float64, error) {
	switch {
	case g.Checks < 1 || g.Within < 0 || g.Within > g.Checks:
		return 0, fmt.Errorf("interval test: %d of %d checks within; want some, and no more than all", g.Within, g.Checks)
	case !(g.Target > 0 && g.Target < 1):
		return 0, fmt.Errorf("interval test: target %v; want a share between 0 and 1", g.Target)
	case !(g.Months > 0) || math.IsInf(g.Months, 0):
		return 0, fmt.Errorf("interval test: interval of %v months; want one above 0", g.Months)
	}
	tail := 1.0
	var err error
	switch seen := float64(g.Within) / float64(g.Checks); {
	case seen < g.Target:
		tail, err = stat.BinomialCDF(g.Within, g.Checks, g.Target)
	case seen > g.Target:
		tail, err = stat.BinomialCDF(g.Within-1, g.Checks, g.Target)
		tail = 1 - tail
	}
	return math.Max(0, 1-2*tail), err
}

// Test proposes I·10^(C(R̂−R)), at least half and at most twice the old
// interval, where the confidence is high enough and the checks are many
// enough; else it leaves the interval.
func (g Group) Test() (Proposal, error) {
	c, err := g.Confidence()
	if err != nil {
		return Proposal{}, err
	}
	seen := float64(g.Within) / float64(g.Checks)
	p := Proposal{Method: ByReliable, Old: g.Months, New: g.Months,
		Inputs: fmt.Sprintf("%d of %d checks as found within the limit, target %g %%; confidence that the interval is wrong %.2f %%", g.Within, g.Checks, 100*g.Target, 100*c)}
	switch {
	case g.Checks < fewChecks:
		p.Why = fmt.Sprintf("fewer than %d checks: kept", fewChecks)
	case c < speaks:
		p.Why = fmt.Sprintf("confidence below %g %%: kept", 100*speaks)
	default:
		p.New = g.Months * math.Min(mostGrowth, math.Max(mostShrink, g.factor(c)))
		p.Why = fmt.Sprintf("%.0f %% came back within the limit: %s", 100*seen, longer(p.New > p.Old))
	}
	return p, nil
}

// factor is 10^(C(R̂−R)), before it is bounded.
func (g Group) factor(c float64) float64 {
	return math.Pow(10, c*(float64(g.Within)/float64(g.Checks)-g.Target))
}

func longer(yes bool) string {
	if yes {
		return "longer"
	}
	return "shorter"
}
