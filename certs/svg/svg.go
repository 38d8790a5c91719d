package svg

import (
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"

	"example.org/wring/certs/plot"
)

// Sizes of texts and the width of a sans serif figure, as a share of its size:
// which typeface a reader has is not known, and the broadest usual ones take
// 0.64 (house rules).
const (
	textSize  = 3.2 // mm
	charWidth = 0.64
	capHeight = 0.72
)

// Render sets the plot in width × height mm. The same plot gives the same
// bytes. Every shape carries its inks, and a class by which a page that shows
// the drawing may give it others. The error names what cannot be drawn.
func Render(title string, p plot.Plot, width, height float64) ([]byte, error) {
	pic, err := plot.Compose(p, width, height, letters{})
	if err != nil {
		return nil, err
	}
	var b strings.Builder
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" role="img" width="%smm" height="%smm" viewBox="0 0 %s %s" font-family="sans-serif" font-size="%s">`+"\n",
		number(width), number(height), number(width), number(height), number(textSize))
	fmt.Fprintf(&b, "<title>%s</title>\n<desc>%s</desc>\n", escape(title), escape(p.Describe()))
	fmt.Fprintf(&b, `<rect class="paper" width="%s" height="%s" fill="white"/>`+"\n", number(width), number(height))
	for _, s := range pic.Shapes {
		draw(&b, s)
	}
	b.WriteString("</svg>\n")
	return []byte(b.String()), nil
}

type letters struct{}

func (letters) Width(_ plot.Role, text string) float64 {
	return float64(utf8.RuneCountInString(text)) * charWidth * textSize
}
func (letters) Height(plot.Role) float64 { return capHeight * textSize }

func draw(b *strings.Builder, s plot.Shape) {
	switch s := s.(type) {
	case plot.Area:
		class, fill := "tolerance", "#eef3f2"
		if s.Kind == plot.Guard {
			class, fill = "guard", "#f4e8c8"
		}
		fmt.Fprintf(b, `<polygon class="%s" points="%s" fill="%s"/>`+"\n", class, path(s.Corners), fill)
	case plot.Patch:
		class, fill := shade(s.Shade)
		fmt.Fprintf(b, `<polygon class="tile %s" points="%s" fill="%s" stroke="#555555" stroke-width="0.15"/>`+"\n", class, path(s.Corners), fill)
	case plot.Stroke:
		fmt.Fprintf(b, `<polyline points="%s" fill="none" %s/>`+"\n", path(s.Path), pen(s.Pen))
	case plot.Sign:
		sign(b, s)
	case plot.Words:
		words(b, s)
	}
}

// shade gives each shade its class and a pale ink on which a number can be
// read; the numbers carry signs that say the same.
func shade(s plot.Shade) (class, fill string) {
	switch s {
	case plot.FarBelow:
		return "far-below", "#8fbfdc"
	case plot.Below:
		return "below", "#cfe3ee"
	case plot.Above:
		return "above", "#f7e6b5"
	case plot.FarAbove:
		return "far-above", "#e9c46a"
	case plot.Alarming:
		return "alarming", "#eba59a"
	}
	return "even", "#ffffff"
}

func path(spots []plot.Spot) string {
	var out []string
	for _, s := range spots {
		out = append(out, number(s.X)+","+number(s.Y))
	}
	return strings.Join(out, " ")
}

// pen gives each pen its width and ink; the acceptance pen is dashed.
func pen(p plot.Pen) string {
	switch p {
	case plot.GridPen:
		return `class="grid" stroke="#cccccc" stroke-width="0.1"`
	case plot.LimitPen:
		return `class="limit" stroke="#0b4f5c" stroke-width="0.4"`
	case plot.AcceptancePen:
		return `class="limit" stroke="#0b4f5c" stroke-width="0.3" stroke-dasharray="1.6 1"`
	case plot.ZeroPen:
		return `class="zero" stroke="#777777" stroke-width="0.15"`
	}
	return `class="drawn" stroke="black" stroke-width="0.2"`
}

// sign draws the mark of a point: the shapes differ, not only the inks.
func sign(b *strings.Builder, s plot.Sign) {
	const r, line = 0.9, `class="drawn" stroke="black" stroke-width="0.28"`
	x, y := number(s.At.X), number(s.At.Y)
	box := fmt.Sprintf(`<rect x="%s" y="%s" width="1.8" height="1.8" fill="white" %s/>`+"\n", number(s.At.X-r), number(s.At.Y-r), line)
	cross := fmt.Sprintf(`<path d="M%s %sl1.8 1.8m0 -1.8l-1.8 1.8" %s/>`+"\n", number(s.At.X-r), number(s.At.Y-r), line)
	switch s.Mark {
	case plot.Ring:
		fmt.Fprintf(b, `<circle cx="%s" cy="%s" r="0.9" fill="white" %s/>`+"\n", x, y, line)
	case plot.Square:
		b.WriteString(box)
	case plot.Saltire:
		b.WriteString(cross)
	case plot.Cross:
		b.WriteString(box + cross)
	default:
		fmt.Fprintf(b, `<circle class="disc" cx="%s" cy="%s" r="0.9"/>`+"\n", x, y)
	}
}

func words(b *strings.Builder, w plot.Words) {
	anchor := map[plot.Anchor]string{plot.Start: "start", plot.Middle: "middle", plot.End: "end"}[w.Anchor]
	x, y := number(w.At.X), number(w.At.Y)
	turn := ""
	if w.Turned {
		turn = fmt.Sprintf(` transform="rotate(-90 %s %s)"`, x, y)
	}
	fmt.Fprintf(b, `<text x="%s" y="%s" text-anchor="%s"%s>%s</text>`+"\n", x, y, anchor, turn, escape(w.Text))
}

// escape leaves nothing that XML would read as its own, or may not hold.
func escape(s string) string {
	s = strings.Map(func(r rune) rune {
		if r < 0x20 || r == 0xfffe || r == 0xffff {
			return -1
		}
		return r
	}, strings.ToValidUTF8(s, "\uFFFD"))
	return strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;").Replace(s)
}

func number(v float64) string {
	return strings.TrimSuffix(strings.TrimRight(strconv.FormatFloat(v, 'f', 3, 64), "0"), ".")
}
