package pdf

import (
	"fmt"
	"sync"

	"example.org/wring/certs"
	"example.org/wring/certs/archive"
	"example.org/wring/certs/typeface"
)

// A Renderer holds the parsed typefaces. It never changes once made, so one
// value may serve many goroutines; many papers want one Renderer.
type Renderer struct {
	faces   [typeface.Count]*typeface.Face
	archive *archive.Writer

	// fonts holds each typeface ready for a file, at every reach; beyond the
	// usual one made when first wanted.
	fonts [typeface.Count][typeface.Reaches]func() archive.Embedded
}

// New parses the typefaces.
func New() (*Renderer, error) {
	r := &Renderer{archive: archive.New()}
	for i := range r.faces {
		f, err := typeface.Load(typeface.Name(i))
		if err != nil {
			return nil, err
		}
		r.faces[i] = f
		for reach := typeface.Usual + 1; reach < typeface.Reaches; reach++ {
			r.fonts[i][reach] = sync.OnceValue(func() archive.Embedded { return archive.Embed(f.Program(reach)) })
		}
		usual, err := archive.Ready(typeface.Name(i))
		if err != nil {
			return nil, err
		}
		r.fonts[i][typeface.Usual] = func() archive.Embedded { return usual }
	}
	return r, nil
}

// Render sets the document and returns the file. The same document gives the
// same bytes, a PDF/A-1b unless files travel in it. The error names what cannot be set: what [certs.Document.Check]
// finds, a character without a glyph, a table wider than the page.
func (r *Renderer) Render(d certs.Document) ([]byte, error) {
	if err := d.Check(); err != nil {
		return nil, err
	}
	d, err := d.MapText(r.settable)
	if err != nil {
		return nil, fmt.Errorf("document %q: %w", d.Number, err)
	}
	pages, err := r.set(d)
	if err != nil {
		return nil, fmt.Errorf("document %q: %w", d.Number, err)
	}
	about, err := aboutOf(d)
	if err != nil {
		return nil, fmt.Errorf("document %q: %w", d.Number, err)
	}
	var carried []archive.File
	for _, f := range d.Files {
		carried = append(carried, archive.File(f))
	}
	file, err := r.write(about, sheetOf(d.Paper), pages, carried...)
	if err != nil {
		return nil, fmt.Errorf("document %q: %w", d.Number, err)
	}
	return file, nil
}
