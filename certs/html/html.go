package html

import (
	_ "embed"
	"fmt"
	"html"
	"strings"

	"example.org/wring/certs"
)

// embeddedSheet is the style of every page.
//
//go:embed page.css
var embeddedSheet string

// language is that of every text in certs.
const language = "en-GB"

// Render writes the document as one page. The same document gives the same
// bytes. The error is that of [certs.Document.Check], or names a figure that
// cannot be drawn.
func Render(d certs.Document) ([]byte, error) {
	if err := d.Check(); err != nil {
		return nil, err
	}
	w := &writer{}
	w.put(`<!DOCTYPE html>`+"\n"+`<html lang="%s">`+"\n<head>\n"+`<meta charset="utf-8"/>`+"\n"+
		`<meta name="viewport" content="width=device-width, initial-scale=1"/>`+"\n"+`<meta name="color-scheme" content="light dark"/>`+"\n", language)
	w.put("<title>%s</title>\n<style>\n%s</style>\n</head>\n<body>\n", escape(strings.TrimSpace(d.Title+" "+d.Number)), styleOf(d.Paper))
	w.face(d)
	w.put("<main>\n")
	for i, p := range d.Parts {
		if err := w.part(i+1, p); err != nil {
			return nil, fmt.Errorf("document %q: %w", d.Number, err)
		}
	}
	w.files(d.Files)
	w.put("</main>\n")
	w.foot(d)
	w.put("</body>\n</html>\n")
	return []byte(w.String()), nil
}

// styleOf puts the palettes before the sheet; a paper is printed on white.
func styleOf(p certs.Paper) string {
	inks := func(p palette) string {
		return fmt.Sprintf(":root{--ground:%s;--raised:%s;--ink:%s;--quiet:%s;--heading:%s;--rule:%s;%s}", p.ground, p.raised, p.ink, p.quiet, p.heading, p.rule, p.drawing)
	}
	return inks(light) + "\n@media screen and (prefers-color-scheme:dark){" + inks(dark) + "}\n@page{size:" + pageSizes[string(p)] + ";margin:18mm 15mm}\n" + embeddedSheet
}

type writer struct{ strings.Builder }

// put writes markup; every text in it was escaped.
func (w *writer) put(format string, args ...any) { fmt.Fprintf(w, format, args...) }

func escape(s string) string { return html.EscapeString(s) }

// line writes a paragraph, if it says anything.
func (w *writer) line(class, text string) {
	switch {
	case text == "":
	case class == "":
		w.put("<p>%s</p>\n", escape(text))
	default:
		w.put(`<p class="%s">%s</p>`+"\n", class, escape(text))
	}
}

// longPage is the number of parts from which a page begins with a list of them
// (house rule).
const longPage = 5

func (w *writer) face(d certs.Document) {
	w.put("<header>\n")
	w.line("house", d.House.Name)
	w.line("quiet", strings.Join(d.House.Address, ", "))
	w.put("<h1>%s</h1>\n", escape(d.Title))
	w.line("", d.Subject)
	w.put(`<p class="quiet">Number %s, issued <time datetime="%s">%s</time></p>`+"\n</header>\n", escape(d.Number), d.Issued, d.Issued)
	if len(d.Parts) < longPage {
		return
	}
	w.put(`<nav aria-label="Parts of this page">` + "\n<ul>\n")
	for i, p := range d.Parts {
		if t := titleOf(p); t != "" {
			w.put(`<li><a href="#part-%d">%s</a></li>`+"\n", i+1, escape(t))
		}
	}
	w.put("</ul>\n</nav>\n")
}

func (w *writer) foot(d certs.Document) {
	w.put("<footer>\n")
	w.line("", d.End+", "+d.Number)
	for _, f := range d.Foot {
		w.line("", f)
	}
	w.line("head", d.Head)
	w.line("", d.Program)
	w.put("</footer>\n")
}
