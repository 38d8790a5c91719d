package plot

// A Plot is what is to be seen, in the units of its axes.
type Plot struct {
	X, Y   Axis
	Bands  []Band // drawn first, in order
	Tiles  []Tile // of a map, or columns
	Keys   []Key  // of the tiles' shades
	Lines  []Line
	Series []Series // drawn last

	Columns bool // the tiles stand on the axis and reach up to the number in them
}

// An Axis carries a quantity and its unit.
type Axis struct {
	Quantity string // "error of indication"
	Unit     string // "µm"; empty for a pure number
	Signed   bool   // positive ticks carry a plus sign, as errors do
	Whole    bool   // values are counts: no tick lies between two of them
	Dates    bool   // values are those of [YearOf], and are shown as dates
	Range    *Range // nil: wide enough for everything in the plot
}

// A Range is the part of an axis that is shown.
type Range struct {
	Low  float64 // in the unit of the axis, finite
	High float64 // in the unit of the axis, finite, above Low
}

// A Vertex is one place in the plot.
type Vertex struct {
	X float64 // in the unit of the X axis, finite
	Y float64 // in the unit of the Y axis, finite
}

// A Band is an area between two lines that run from left to right.
type Band struct {
	Label string // for the legend; empty: not listed
	Kind  BandKind
	Low   []Vertex // at least two
	High  []Vertex // at least two
}

// BandKind says how an area is told from others.
type BandKind int

const (
	Tolerance BandKind = iota // within the limits
	Guard                     // within the limits, but nearer than the guard band
)

// A Line runs from left to right through its vertices.
type Line struct {
	Label  string // for the legend; empty: not listed
	Kind   LineKind
	Points []Vertex // at least two
}

// LineKind says how a line is told from others, without colour.
type LineKind int

const (
	Limit      LineKind = iota // solid: the maximum permissible error
	Acceptance                 // dashed: the limit less the guard band
	Zero                       // fine: the axis of no error
)

// A Series is a set of points that share a mark and a meaning.
type Series struct {
	Label  string // for the legend; empty: not listed
	Mark   Mark
	Points []Point
}

// Mark is the shape of a point. Shapes differ in outline, so that a copy in
// black and white says the same.
type Mark int

const (
	Disc    Mark = iota // filled circle
	Ring                // open circle
	Square              // open square
	Saltire             // diagonal cross
	Cross               // diagonal cross in a square
)

// A Point is one measured value.
type Point struct {
	X   float64 // in the unit of the X axis, finite
	Y   float64 // in the unit of the Y axis, finite
	Bar float64 // half-length of the bar, in the unit of the Y axis, ≥ 0; 0: no bar
}

// Steps turns a limit that is constant over stretches into vertices: value[i]
// holds from edge[i] to edge[i+1]. There is one edge more than there are
// values; other lengths give no vertices, which [Compose] refuses.
func Steps(edge, value []float64) []Vertex {
	if len(edge) != len(value)+1 {
		return nil
	}
	var line []Vertex
	for i, v := range value {
		line = append(line, Vertex{edge[i], v}, Vertex{edge[i+1], v})
	}
	return line
}

// Mirror returns the line on the other side of zero, as limits often are.
func Mirror(line []Vertex) []Vertex {
	m := make([]Vertex, len(line))
	for i, v := range line {
		m[i] = Vertex{v.X, -v.Y}
	}
	return m
}
