package html

// A palette gives each ink and ground of the page its colour, as #rrggbb.
type palette struct {
	ground  string // of the page
	raised  string // of the outcome, and of rows with a remark
	ink     string // of texts
	quiet   string // of labels, notes and the foot
	heading string // of headings and links
	rule    string // between things; carries no meaning
	drawing string // the inks of drawings, by class, as declarations
}

// The inks stand on either ground with a contrast of at least 4.5 (WCAG 2.1,
// 1.4.3; from memory), which a test computes; chosen by eye besides.
var (
	light = palette{ground: "#ffffff", raised: "#f3f0e7", ink: "#161a1c", quiet: "#565f63", heading: "#0c4a56", rule: "#bac2c5",
		drawing: "--grid:#cccccc;--zero:#777777;--limit:#0b4f5c;--tolerance:#eef3f2;--guard:#f4e8c8;--edge:#555555;" +
			"--far-below:#8fbfdc;--below:#cfe3ee;--above:#f7e6b5;--far-above:#e9c46a;--alarming:#eba59a"}
	dark = palette{ground: "#14191b", raised: "#22292b", ink: "#e7eaea", quiet: "#a9b3b6", heading: "#8fd0dd", rule: "#4a5458",
		drawing: "--grid:#353f43;--zero:#98a3a6;--limit:#8fd0dd;--tolerance:#1d2628;--guard:#3d351b;--edge:#c2cbce;" +
			"--far-below:#1f5a7d;--below:#173a4d;--above:#4a3d12;--far-above:#75580f;--alarming:#8a2f24"}
)

// pageSizes are the papers as style sheets call them (CSS Paged Media 3, 7.1;
// from memory).
var pageSizes = map[string]string{"A4": "A4", "Letter": "letter"}
