package uncertainty

import (
	"encoding/binary"
	"math"
	"math/rand/v2"
)

// A drawer draws the inputs of a budget together. It belongs to one goroutine.
type drawer struct {
	inputs []Input
	groups []drawnGroup
	source *rand.ChaCha8
	random *rand.Rand  // draws from source
	column [][]float64 // one for each input, trials deep
	common []float64   // of a correlated group: the factor that makes normals a t
}

// A drawnGroup is a set of inputs drawn together; one alone has no lower triangle.
type drawnGroup struct {
	inputs   []int
	cholesky [][]float64
	dof      float64
}

// seed begins the numbers of one batch. ChaCha8 keyed with seed and number of the batch gives streams that have nothing to do
// with each other, nor with how many cores draw them (JCGM 101:2008, 6.4.3 and annex C, ask for a good generator and disjoint streams).
func (d *drawer) seed(seed uint64, batch int) {
	var key [32]byte
	copy(key[16:], "wring batch v1")
	binary.LittleEndian.PutUint64(key[:], seed)
	binary.LittleEndian.PutUint64(key[8:], uint64(batch))
	d.source = rand.NewChaCha8(key)
	d.random = rand.New(d.source)
}

// unit draws from 0 to below 1. It is random.Float64 without the call through an interface, and gives the same numbers.
func (d *drawer) unit() float64 { return float64(d.source.Uint64()<<11>>11) / (1 << 53) }

// drawn prepares the groups of a budget.
func (b Budget) drawn() ([]drawnGroup, error) {
	r, err := b.correlate()
	if err != nil {
		return nil, err
	}
	groups := make([]drawnGroup, len(r.groups))
	for n, group := range r.groups {
		groups[n].inputs = group
		if len(group) == 1 {
			continue
		}
		if groups[n].dof, err = b.joint(group); err != nil {
			return nil, err
		}
		groups[n].cholesky, _ = r.cholesky(group) // positive semidefinite, or correlate had refused it
	}
	return groups, nil
}

func newDrawer(b Budget, groups []drawnGroup, trials int) *drawer {
	d := &drawer{inputs: b.Inputs, groups: groups, common: make([]float64, trials), column: make([][]float64, len(b.Inputs))}
	for i := range d.column {
		d.column[i] = make([]float64, trials)
	}
	return d
}

// draw fills the columns with n trials.
func (d *drawer) draw(n int) {
	for _, g := range d.groups {
		if g.cholesky != nil {
			d.together(g, n)
			continue
		}
		i := g.inputs[0]
		d.alone(d.column[i][:n], d.inputs[i])
	}
}

// alone draws one independent input (JCGM 101:2008, 6.4).
func (d *drawer) alone(x []float64, in Input) {
	k := in.Knowledge
	y, a, r := in.Estimate, k.scale, d.random
	switch {
	case a == 0:
		for i := range x {
			x[i] = y
		}
	case k.tailed():
		g := newGamma(k.dof / 2)
		for i := range x {
			x[i] = y + a*r.NormFloat64()*math.Sqrt(k.dof/2/g.draw(r))
		}
	case k.shape == ShapeNormal || k.shape == ShapeT:
		for i := range x {
			x[i] = y + a*r.NormFloat64()
		}
	case k.shape == ShapeRectangular:
		for i := range x {
			x[i] = y + a*(2*d.unit()-1)
		}
	case k.shape == ShapeArcsine:
		for i := range x {
			x[i] = y + a*math.Sin(2*math.Pi*d.unit())
		}
	case k.shape == ShapeCurvilinear:
		for i := range x {
			x[i] = y + (a+k.extra*(2*d.unit()-1))*(2*d.unit()-1)
		}
	default: // a triangle is the trapezoid without a top; both are sums of two rectangles
		beta := 0.0
		if k.shape == ShapeTrapezoidal {
			beta = k.extra
		}
		wide, narrow := (1+beta)/2, (1-beta)/2
		for i := range x {
			x[i] = y + a*(wide*(2*d.unit()-1)+narrow*(2*d.unit()-1))
		}
	}
}

// together draws correlated normals as L·z (JCGM 101:2008, 6.4.8.4), and correlated t inputs by dividing them all by one χ.
func (d *drawer) together(g drawnGroup, n int) {
	for _, i := range g.inputs {
		for k := range n {
			d.column[i][k] = d.random.NormFloat64()
		}
	}
	common := d.common[:n]
	gamma := newGamma(g.dof / 2)
	for k := range common {
		common[k] = 1
		if !math.IsInf(g.dof, 1) {
			common[k] = math.Sqrt(g.dof / 2 / gamma.draw(d.random))
		}
	}
	for row := len(g.inputs) - 1; row >= 0; row-- { // from below: a row needs the z of those above
		in, x := d.inputs[g.inputs[row]], d.column[g.inputs[row]]
		for k := range n {
			z := 0.0
			for j, l := range g.cholesky[row] {
				z += l * d.column[g.inputs[j]][k]
			}
			x[k] = in.Estimate + in.Knowledge.scale*common[k]*z
		}
	}
}

// gamma draws from the gamma distribution of a shape > 0 and scale 1 (Marsaglia and Tsang 2000, ACM Trans. Math. Softw. 26, 363).
type gamma struct{ shape, d, c float64 }

func newGamma(shape float64) gamma {
	d := shape - 1.0/3
	if shape < 1 {
		d++
	}
	return gamma{shape: shape, d: d, c: 1 / math.Sqrt(9*d)}
}

func (g gamma) draw(r *rand.Rand) float64 {
	lift := 1.0
	if g.shape < 1 {
		lift = math.Pow(1-r.Float64(), 1/g.shape)
	}
	for {
		x := r.NormFloat64()
		v := 1 + g.c*x
		if v <= 0 {
			continue
		}
		v *= v * v
		u := 1 - r.Float64()
		if u < 1-0.0331*x*x*x*x || math.Log(u) < x*x/2+g.d*(1-v+math.Log(v)) {
			return g.d * v * lift
		}
	}
}
