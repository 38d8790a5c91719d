package plot

// A Picture is a composed plot: shapes in the order in which they are drawn.
type Picture struct {
	Width  float64 // mm
	Height float64 // mm
	Frame  Frame   // the inner area that the axes span
	Shapes []Shape
}

// A Frame is a rectangle, in mm from the upper left corner of the picture.
type Frame struct {
	Left   float64 // mm
	Top    float64 // mm
	Right  float64 // mm
	Bottom float64 // mm
}

// A Spot is a place in the picture.
type Spot struct {
	X float64 // mm from the left edge
	Y float64 // mm from the upper edge, downwards
}

// A Shape is one of [Area], [Patch], [Stroke], [Sign] and [Words].
type Shape interface{ shape() }

// An Area is a filled polygon.
type Area struct {
	Kind    BandKind
	Corners []Spot
}

// A Stroke is a run of straight lines.
type Stroke struct {
	Pen  Pen
	Path []Spot
}

// Pen says what a stroke is for; the rendering chooses its width and colour,
// and must dash [AcceptancePen].
type Pen int

const (
	FramePen Pen = iota
	GridPen
	TickPen
	LimitPen
	AcceptancePen
	ZeroPen
	BarPen
)

// A Sign is the mark of a point.
type Sign struct {
	Mark Mark
	At   Spot
}

// Words is a text. At is the middle of its baseline if Anchor is Middle, else
// the end that Anchor names. Turned words run upwards.
type Words struct {
	Role   Role
	Anchor Anchor
	At     Spot
	Text   string
	Turned bool
}

// Role says what a text is for; the rendering chooses its size.
type Role int

const (
	TickRole Role = iota
	TitleRole
	LegendRole
)

// Anchor says which part of a text stands at its place.
type Anchor int

const (
	Start Anchor = iota
	Middle
	End
)

func (Area) shape()   {}
func (Stroke) shape() {}
func (Sign) shape()   {}
func (Words) shape()  {}

// Letters tells how much room texts take in a rendering.
type Letters interface {
	Width(r Role, text string) float64 // mm
	Height(r Role) float64             // mm, height of a figure above the baseline
}
