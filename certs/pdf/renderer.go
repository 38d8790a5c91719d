package pdf

import (
	"fmt"

	"example.org/wring/certs"
)

// A Renderer holds the parsed typefaces. It never changes once made, so one
// value may serve many goroutines.
type Renderer struct {
	faces [faceCount]face
}

// New parses the typefaces.
func New() (*Renderer, error) {
	r := &Renderer{}
	for i, f := range fontTable {
		parsed, err := parseFace(f.name, f.ttf)
		if err != nil {
			return nil, fmt.Errorf("typeface %s: %w", f.name, err)
		}
		r.faces[i] = parsed
	}
	return r, nil
}

// Render sets the document and returns the file. The same document gives the
// same bytes. The error names what cannot be set: what [certs.Document.Check]
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
	file, err := r.write(d, pages)
	if err != nil {
		return nil, fmt.Errorf("document %q: %w", d.Number, err)
	}
	return file, nil
}
