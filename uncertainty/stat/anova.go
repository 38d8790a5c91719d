package stat

import (
	"errors"
	"math"
)

// An Anova is the table of a one-way analysis of variance. Mean squares are in the
// square of the data's unit.
type Anova struct {
	// Mean is the mean of all data, in their unit.
	Mean float64
	// Between and Within are the sums of squares, in the square of the data's unit.
	Between, Within float64
	// DoFBetween is groups − 1; DoFWithin is data − groups; both ≥ 1.
	DoFBetween, DoFWithin float64
	// F is the ratio of the mean squares; +Inf when the groups are without scatter but differ.
	F float64
	// PerGroup is the number of data in each group, or n₀ = (N − Σnᵢ²/N)/(g−1) when they differ.
	PerGroup float64
}

// OneWay analyses at least two groups of data with at least one more datum than groups
// (JCGM 100:2008, H.5.2).
func OneWay(groups [][]float64) (Anova, error) {
	if len(groups) < 2 {
		return Anova{}, &CountError{What: "groups", Have: len(groups), Want: 2}
	}
	var all []float64
	squareCounts := 0.0
	for _, g := range groups {
		if err := finite("data of a group", 1, g); err != nil {
			return Anova{}, err
		}
		all = append(all, g...)
		squareCounts += float64(len(g)) * float64(len(g))
	}
	if len(all) <= len(groups) {
		return Anova{}, &CountError{What: "data", Have: len(all), Want: len(groups) + 1}
	}
	n := float64(len(all))
	a := Anova{Mean: mean(all), DoFBetween: float64(len(groups) - 1), DoFWithin: n - float64(len(groups))}
	a.PerGroup = (n - squareCounts/n) / a.DoFBetween
	for _, g := range groups {
		m := mean(g)
		a.Between += float64(len(g)) * (m - a.Mean) * (m - a.Mean)
		a.Within += squares(g, m)
	}
	switch {
	case a.Within > 0:
		a.F = (a.Between / a.DoFBetween) / (a.Within / a.DoFWithin)
	case a.Between > 0:
		a.F = math.Inf(1)
	default:
		return Anova{}, errors.New("analysis of variance: all data are equal; want data with scatter")
	}
	return a, nil
}

// SWithin returns the standard deviation within groups, in the data's unit.
func (a Anova) SWithin() float64 { return math.Sqrt(a.Within / a.DoFWithin) }

// SBetween returns the standard deviation of the groups' true means,
// √((MS_between − MS_within)/n₀) (JCGM 100:2008, H.5.2.6), in the data's unit; 0 when the groups
// scatter less than their insides would make them.
func (a Anova) SBetween() float64 {
	return math.Sqrt(math.Max(0, a.Between/a.DoFBetween-a.Within/a.DoFWithin) / a.PerGroup)
}
