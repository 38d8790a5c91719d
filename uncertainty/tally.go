package uncertainty

import "math"

// A tally gathers batches of trials in bounded memory: running moments for the stopping rule, and a
// histogram from which the quantiles of all trials are read at the end.
type tally struct {
	wild   bool // the draws have no variance
	trials int
	mean   float64
	square float64 // Σ(y − mean)² of all trials
	kept   [4]moments
	bins   histogram
}

// What is kept of each batch.
const (
	ofMean = iota
	ofDeviation
	ofLow
	ofHigh
)

// moments are a running mean and sum of squares (Welford 1962, Technometrics 4, 419).
type moments struct{ n, mean, square float64 }

func (m *moments) add(x float64) {
	m.n++
	d := x - m.mean
	m.mean += d / m.n
	m.square += d * (x - m.mean)
}

// error is the standard deviation of the mean.
func (m moments) error() float64 { return math.Sqrt(m.square / (m.n * (m.n - 1))) }

func newTally(wild bool) *tally { return &tally{wild: wild} }

// take adds a batch, whose order it disturbs.
func (t *tally) take(y []float64, p float64) {
	n := float64(len(y))
	mean, square := 0.0, 0.0
	for _, v := range y {
		mean += v / n
	}
	for _, v := range y {
		square += (v - mean) * (v - mean)
	}
	tail := int(math.Round(n * (1 - p) / 2))
	low, high := nth(y, tail), nth(y, len(y)-1-tail)
	if t.trials == 0 {
		t.bins.lay(nth(y, len(y)/2), nth(y, len(y)/6), nth(y, len(y)-1-len(y)/6))
	}
	for _, v := range y {
		t.bins.add(v)
	}
	before := float64(t.trials)
	shift := mean - t.mean
	t.square += square + shift*shift*before*n/(before+n)
	t.mean += shift * n / (before + n)
	t.trials += len(y)
	t.kept[ofMean].add(mean)
	t.kept[ofDeviation].add(math.Sqrt(square / (n - 1)))
	t.kept[ofLow].add(low)
	t.kept[ofHigh].add(high)
}

func (t *tally) variance() float64 { return t.square / (float64(t.trials) - 1) }

// tolerance is half of the second significant digit of u (JCGM 101:2008, 7.9.2). Without a variance, a quarter of the
// interval's length stands for u (house rule).
func (t *tally) tolerance() float64 {
	u := math.Sqrt(t.variance())
	if t.wild {
		u = (t.kept[ofHigh].mean - t.kept[ofLow].mean) / 4
	}
	if !(u > 0) || math.IsInf(u, 0) {
		return 0
	}
	return 0.5 * math.Pow(10, math.Floor(math.Log10(u))-1)
}

// leastBatches is asked for before the batches' own scatter is believed; JCGM 101:2008 has 2 and warns (house rule).
const leastBatches = 10

// stable applies JCGM 101:2008, 7.9.4 i, to estimate, standard uncertainty and both ends; where there is no variance, to the ends only.
func (t *tally) stable() bool {
	if t.kept[ofMean].n < leastBatches {
		return false
	}
	limit := t.tolerance()
	for i, m := range t.kept {
		if t.wild && (i == ofMean || i == ofDeviation) {
			continue
		}
		if !(2*m.error() <= limit) {
			return false
		}
	}
	return true
}

func (t *tally) quantile(q float64) float64 { return t.bins.quantile(q * float64(t.trials)) }

func (t *tally) shortest(p float64) (low, high float64) {
	return t.bins.shortest(p * float64(t.trials))
}

// nth returns the element that would be at place k if y were sorted, k counted from 0, and partly sorts y
// (Hoare's selection, with the middle of three as pivot).
func nth(y []float64, k int) float64 {
	low, high := 0, len(y)-1
	for low < high {
		pivot := medianOf(y[low], y[(low+high)/2], y[high])
		i, j := low, high
		for i <= j {
			for y[i] < pivot {
				i++
			}
			for y[j] > pivot {
				j--
			}
			if i <= j {
				y[i], y[j] = y[j], y[i]
				i, j = i+1, j-1
			}
		}
		switch {
		case k <= j:
			high = j
		case k >= i:
			low = i
		default:
			return y[k]
		}
	}
	return y[k]
}

func medianOf(a, b, c float64) float64 { return math.Max(math.Min(a, b), math.Min(math.Max(a, b), c)) }
