package pdf

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"
	"time"

	"github.com/jung-kurt/gofpdf"

	"example.org/wring/certs"
	"example.org/wring/certs/archive"
	"example.org/wring/certs/typeface"
)

// fileWriter draws marks into a gofpdf document and spares what is set already.
// Texts are drawn without the library, whose way with typefaces costs more than
// all the rest: it sees their codes only, and the typefaces join the file last.
type fileWriter struct {
	*gofpdf.Fpdf
	renderer *Renderer
	height   float64 // of the sheet, mm
	used     [typeface.Count]bool
	reach    [typeface.Count]typeface.Reach // of what was written in it
	pen      ruleMark                       // only its width, ink and dash count
	line     []byte                         // the text being written
}

// write turns pages into a file. gofpdf panics on some input; whatever it
// still may find to panic about comes back as an error.
func (r *Renderer) write(about archive.About, s sheet, pages []page, carried ...archive.File) (file []byte, err error) {
	defer func() {
		if p := recover(); p != nil {
			file, err = nil, fmt.Errorf("writing the file: gofpdf gave up with %q; want a report of this document", fmt.Sprint(p))
		}
	}()
	w := r.open(s)
	for _, p := range pages {
		w.AddPage()
		w.pen = ruleMark{}
		w.SetLineCapStyle("butt")
		for _, m := range p.marks {
			m.draw(w)
		}
	}
	var buf bytes.Buffer
	if err := w.Output(&buf); err != nil {
		return nil, fmt.Errorf("writing the file: %w", err)
	}
	var fonts []archive.Font
	for i, used := range w.used {
		if used {
			fonts = append(fonts, archive.Font{Resource: resource(typeface.Name(i)), Embedded: r.fonts[i][w.reach[i]]()})
		}
	}
	return r.archive.Write(buf.Bytes(), about, fonts, carried...)
}

// resource is how the pages call a typeface.
func resource(n typeface.Name) string { return "F" + strconv.Itoa(int(n)) }

// aboutOf is what the file of a document says of itself, dated by the day of
// issue, so that its bytes depend on the document alone.
func aboutOf(d certs.Document) (archive.About, error) {
	issued, err := time.Parse(time.DateOnly, d.Issued)
	if err != nil {
		return archive.About{}, fmt.Errorf("date of issue: %q; want a date as 2026-03-02", d.Issued)
	}
	return archive.About{Title: strings.TrimSpace(d.Title + " " + d.Number), Subject: d.Subject, Author: d.House.Name,
		Program: d.Program, Language: language, Date: issued}, nil
}

// language is that of every text in certs.
const language = "en-GB"

func (r *Renderer) open(s sheet) *fileWriter {
	f := gofpdf.NewCustom(&gofpdf.InitType{UnitStr: "mm", Size: gofpdf.SizeType{Wd: s.width, Ht: s.height}})
	f.SetMargins(0, 0, 0)
	f.SetAutoPageBreak(false, 0)
	f.SetCompression(false) // the archive packs them, at less cost
	return &fileWriter{Fpdf: f, renderer: r, height: s.height}
}

func (m textMark) draw(w *fileWriter) {
	text := strings.ReplaceAll(m.text, "\u00a0", " ") // has done its work; readers search for plain spaces
	if strings.TrimSpace(text) == "" {
		return
	}
	n := m.style.face
	w.used[n] = true
	w.reach[n] = max(w.reach[n], typeface.ReachOf(text))
	b := append(w.line[:0], "q"...)
	for _, part := range palette[m.style.ink] {
		b = number(b, float64(part)/255, 3)
	}
	b = append(b, " rg BT /"...)
	b = append(b, resource(n)...)
	b = append(number(b, m.style.size, 2), " Tf"...)
	if m.turned {
		b = append(b, " 0 1 -1 0"...)
	} else {
		b = append(b, " 1 0 0 1"...)
	}
	b = number(b, m.at.x/point, 2)
	b = number(b, (w.height-m.at.y)/point, 2)
	b = append(b, " Tm <"...)
	const digits = "0123456789ABCDEF"
	for _, c := range text { // none lies beyond U+FFFF: the typefaces end before
		b = append(b, digits[c>>12&15], digits[c>>8&15], digits[c>>4&15], digits[c&15])
	}
	w.line = append(b, "> Tj ET Q"...)
	w.RawWriteBuf(bytes.NewReader(w.line))
}

// number adds a space and a number of so many places.
func number(b []byte, v float64, places int) []byte {
	return strconv.AppendFloat(append(b, ' '), v, 'f', places, 64)
}

func (m ruleMark) draw(w *fileWriter) {
	w.take(m.width, m.ink, m.dashed)
	w.MoveTo(m.path[0].x, m.path[0].y)
	for _, s := range m.path[1:] {
		w.LineTo(s.x, s.y)
	}
	w.DrawPath("D")
}

// take picks up the pen, if it is not in the hand already.
func (w *fileWriter) take(width float64, k ink, dashed bool) {
	if w.pen.width == width && w.pen.ink == k && w.pen.dashed == dashed {
		return
	}
	w.pen = ruleMark{width: width, ink: k, dashed: dashed}
	w.SetLineWidth(width)
	c := palette[k]
	w.SetDrawColor(c[0], c[1], c[2])
	dash := []float64{}
	if dashed {
		dash = []float64{1.6, 1.1}
	}
	w.SetDashPattern(dash, 0)
}

func (w *fileWriter) fillWith(k ink) {
	c := palette[k]
	w.SetFillColor(c[0], c[1], c[2])
}

func (m areaMark) draw(w *fileWriter) {
	w.fillWith(m.ink)
	corners := make([]gofpdf.PointType, len(m.corners))
	for i, s := range m.corners {
		corners[i] = gofpdf.PointType{X: s.x, Y: s.y}
	}
	w.Polygon(corners, "F")
}

func (m dotMark) draw(w *fileWriter) {
	w.fillWith(m.fill)
	if m.rim == 0 {
		w.Circle(m.at.x, m.at.y, m.radius, "F")
		return
	}
	w.take(m.rim, black, false)
	w.Circle(m.at.x, m.at.y, m.radius, "FD")
}
