package uncertainty

import "math"

// A histogram counts in equal bins about its middle, and in bins that widen with the distance
// outside. With the sizes below a bin is 2.4e-4 of the standard deviation wide, or 7e-4 of the distance
// from the middle; the tolerance of JCGM 101:2008, 7.9.2, is never below 5e-3 of it.
type histogram struct {
	middle, scale float64
	counts        []uint32 // from the farthest below to the farthest above
}

const (
	plainBins  = 1 << 16 // of equal width, over ±plainReach scales
	plainReach = 8.0
	perOctave  = 1 << 10        // bins for each doubling of the distance outside
	outerBins  = perOctave * 64 // on each side
)

// laid is a histogram whose middle and scale are those of a first batch, its median and the points with a sixth of it
// below and above. It disturbs the batch's order.
func laid(y []float64) histogram {
	n := len(y)
	h := histogram{middle: nth(y, n/2), counts: make([]uint32, plainBins+2*outerBins)}
	h.scale = (nth(y, n-1-n/6) - nth(y, n/6)) / 2
	if !(h.scale > 0) {
		h.scale = math.Max(math.Abs(h.middle), math.SmallestNonzeroFloat64/1e-12) * 1e-12
	}
	return h
}

// alike is a histogram of the same bins, empty.
func (h *histogram) alike() histogram {
	return histogram{middle: h.middle, scale: h.scale, counts: make([]uint32, len(h.counts))}
}

// join adds the counts of a histogram of the same bins.
func (h *histogram) join(other histogram) {
	for bin, n := range other.counts {
		h.counts[bin] += n
	}
}

func (h *histogram) add(y float64) {
	u := (y - h.middle) / h.scale
	if -plainReach <= u && u < plainReach {
		h.counts[outerBins+int((u+plainReach)*(plainBins/(2*plainReach)))]++
		return
	}
	far := int(math.Min(outerBins-1, math.Log2(math.Abs(u)/plainReach)*perOctave)) // u may be infinite
	if u < 0 {
		h.counts[outerBins-1-far]++
	} else {
		h.counts[outerBins+plainBins+far]++
	}
}

// edge returns the lower edge of a bin.
func (h *histogram) edge(bin int) float64 {
	u := 0.0
	switch {
	case bin < outerBins:
		u = -plainReach * math.Exp2(float64(outerBins-bin)/perOctave)
	case bin > outerBins+plainBins:
		u = plainReach * math.Exp2(float64(bin-outerBins-plainBins)/perOctave)
	default:
		u = float64(bin-outerBins)*(2*plainReach/plainBins) - plainReach
	}
	return h.middle + h.scale*u
}

// within is the place in a bin above which all but part of its count lies.
func (h *histogram) within(bin int, part float64) float64 {
	low, high := h.edge(bin), h.edge(bin+1)
	return low + (high-low)*part/float64(h.counts[bin])
}

// quantile returns the point with so many trials below it.
func (h *histogram) quantile(below float64) float64 {
	sum := 0.0
	for bin, n := range h.counts {
		if n > 0 && sum+float64(n) >= below {
			return h.within(bin, below-sum)
		}
		sum += float64(n)
	}
	return h.edge(len(h.counts))
}

// shortest returns the shortest interval that holds so many trials and begins at the edge of a bin.
func (h *histogram) shortest(held float64) (low, high float64) {
	best, sum, end := math.Inf(1), 0.0, 0
	for bin, n := range h.counts { // sum is of the bins bin … end−1
		for end < len(h.counts) && sum < held {
			sum += float64(h.counts[end])
			end++
		}
		if sum < held {
			break
		}
		if n > 0 {
			last := end - 1
			from := h.edge(bin)
			to := h.within(last, float64(h.counts[last])-(sum-held))
			if to-from < best {
				best, low, high = to-from, from, to
			}
		}
		sum -= float64(n)
	}
	return low, high
}
