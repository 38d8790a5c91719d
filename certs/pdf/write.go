package pdf

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/jung-kurt/gofpdf"

	"example.org/wring/certs"
)

// fileWriter draws marks into a gofpdf document and spares what is set already.
type fileWriter struct {
	*gofpdf.Fpdf
	renderer *Renderer
	has      [faceCount]bool // typefaces that are in the file
	style    style
	pen      ruleMark // only its width, ink and dash count
}

// write turns pages into a file. gofpdf panics on some input; whatever it
// still may find to panic about comes back as an error.
func (r *Renderer) write(d certs.Document, pages []page) (file []byte, err error) {
	defer func() {
		if p := recover(); p != nil {
			file, err = nil, fmt.Errorf("writing the file: gofpdf gave up with %q; want a report of this document", fmt.Sprint(p))
		}
	}()
	w, err := r.open(d)
	if err != nil {
		return nil, err
	}
	for _, p := range pages {
		w.AddPage()
		w.style, w.pen = style{}, ruleMark{}
		w.SetLineCapStyle("butt")
		for _, m := range p.marks {
			m.draw(w)
		}
	}
	var buf bytes.Buffer
	if err := w.Output(&buf); err != nil {
		return nil, fmt.Errorf("writing the file: %w", err)
	}
	return buf.Bytes(), nil
}

// open begins a file whose bytes depend on the document alone: dates from the
// date of issue, sorted catalogue.
func (r *Renderer) open(d certs.Document) (*fileWriter, error) {
	issued, err := time.Parse(time.DateOnly, d.Issued)
	if err != nil {
		return nil, fmt.Errorf("date of issue: %q; want a date as 2026-03-02", d.Issued)
	}
	s := sheetOf(d.Paper)
	f := gofpdf.NewCustom(&gofpdf.InitType{UnitStr: "mm", Size: gofpdf.SizeType{Wd: s.width, Ht: s.height}})
	f.SetCatalogSort(true)
	f.SetCreationDate(issued)
	f.SetModificationDate(issued)
	f.SetTitle(strings.TrimSpace(d.Title+" "+d.Number), true)
	f.SetSubject(d.Subject, true)
	f.SetAuthor(d.House.Name, true)
	f.SetCreator(d.Program, true)
	f.SetProducer(d.Program, true)
	f.SetMargins(0, 0, 0)
	f.SetAutoPageBreak(false, 0)
	w := &fileWriter{Fpdf: f, renderer: r}
	return w, f.Error()
}

func (m textMark) draw(w *fileWriter) {
	text := strings.ReplaceAll(m.text, "\u00a0", " ") // has done its work; readers search for plain spaces
	if strings.TrimSpace(text) == "" {
		return
	}
	if m.style != w.style {
		w.SetFont(w.typeface(m.style.face), "", m.style.size)
		c := palette[m.style.ink]
		w.SetTextColor(c[0], c[1], c[2])
		w.style = m.style
	}
	if !m.turned {
		w.Text(m.at.x, m.at.y, text)
		return
	}
	w.TransformBegin()
	w.TransformRotate(90, m.at.x, m.at.y)
	w.Text(m.at.x, m.at.y, text)
	w.TransformEnd()
}

// typeface puts a typeface into the file when it is first used, for that costs
// more than setting a page does.
func (w *fileWriter) typeface(name faceName) string {
	f := &w.renderer.faces[name]
	if !w.has[name] {
		w.has[name] = true
		// gofpdf keeps the bytes; a copy keeps the typeface ours.
		w.AddUTF8FontFromBytes(f.name, "", slices.Clone(f.ttf))
	}
	return f.name
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
