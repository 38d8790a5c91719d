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

// A summary is what the stopping rule needs of a batch.
type summary struct {
	n, mean, square float64 // square is Σ(y − mean)²
	low, high       float64 // the ends of the batch's own interval
}

// summarise reads the summary of a batch, whose order it disturbs.
func summarise(y []float64, p float64) summary {
	s := summary{n: float64(len(y))}
	for _, v := range y {
		s.mean += v / s.n
	}
	for _, v := range y {
		s.square += (v - s.mean) * (v - s.mean)
	}
	tail := int(math.Round(s.n * (1 - p) / 2))
	s.low, s.high = nth(y, tail), nth(y, len(y)-1-tail)
	return s
}

// take adds a batch to the moments; its trials go to the bins by themselves.
func (t *tally) take(s summary) {
	before, shift := float64(t.trials), s.mean-t.mean
	t.square += s.square + shift*shift*before*s.n/(before+s.n)
	t.mean += shift * s.n / (before + s.n)
	t.trials += int(s.n)
	t.kept[ofMean].add(s.mean)
	t.kept[ofDeviation].add(math.Sqrt(s.square / (s.n - 1)))
	t.kept[ofLow].add(s.low)
	t.kept[ofHigh].add(s.high)
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

// nth returns the element that would be at place k if y were sorted, k counted from 0, and partly sorts y.
func nth(y []float64, k int) float64 {
	selectIn(y, 0, len(y)-1, k)
	return y[k]
}

// selectIn brings the element of place k there, among those of places low to high (Hoare's selection; from a long stretch, a
// small sample about place k gives the pivot: Floyd and Rivest 1975, CACM 18, 165; their constants, from memory).
func selectIn(y []float64, low, high, k int) {
	const long = 600
	for low < high {
		pivot := medianOf(y[low], y[(low+high)/2], y[high])
		if high-low > long {
			from, to := sampled(low, high, k)
			selectIn(y, from, to, k)
			pivot = y[k]
		}
		i, j := parted(y, low, high, pivot)
		switch {
		case k <= j:
			high = j
		case k >= i:
			low = i
		default:
			return
		}
	}
}

// sampled are the places of a sample among low to high in which the element of place k is one near its own.
func sampled(low, high, k int) (from, to int) {
	n, i := float64(high-low+1), float64(k-low+1)
	size := 0.5 * math.Exp(2*math.Log(n)/3)
	spread := 0.5 * math.Sqrt(math.Log(n)*size*(n-size)/n)
	if i < n/2 {
		spread = -spread
	}
	return max(low, int(float64(k)-i*size/n+spread)), min(high, int(float64(k)+(n-i)*size/n+spread))
}

// parted sorts places low to high into those not above the pivot, up to j, and those not below it, from i on.
func parted(y []float64, low, high int, pivot float64) (i, j int) {
	i, j = low, high
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
	return i, j
}

func medianOf(a, b, c float64) float64 { return math.Max(math.Min(a, b), math.Min(math.Max(a, b), c)) }
