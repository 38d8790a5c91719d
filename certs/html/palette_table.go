package html

// A palette gives each ink and ground of the page its colour, as #rrggbb.
type palette struct {
	ground  string // of the page
	raised  string // of the outcome, and of rows with a remark
	ink     string // of texts
	quiet   string // of labels, notes and the foot
	heading string // of headings and links
	rule    string // between things; carries no meaning
}

// The inks stand on either ground with a contrast of at least 4.5 (WCAG 2.1,
// 1.4.3; from memory), which a test computes; chosen by eye besides.
var (
	light = palette{ground: "#ffffff", raised: "#f3f0e7", ink: "#161a1c", quiet: "#565f63", heading: "#0c4a56", rule: "#bac2c5"}
	dark  = palette{ground: "#14191b", raised: "#22292b", ink: "#e7eaea", quiet: "#a9b3b6", heading: "#8fd0dd", rule: "#4a5458"}
)

// pageSizes are the papers as style sheets call them (CSS Paged Media 3, 7.1;
// from memory).
var pageSizes = map[string]string{"A4": "A4", "Letter": "letter"}
