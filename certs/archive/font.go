package archive

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"strings"

	"example.org/wring/certs/typeface"
)

// Embedded is a typeface as it stands in files, the same in each.
type Embedded struct {
	name, widths, measures           string
	file, drawings, present, unicode []byte
}

// Embed makes a typeface ready for files, which costs more than writing one. A
// character is its own code, so that what is copied is what was written, and a
// map leads from it to its drawing.
func Embed(p typeface.Program) Embedded {
	most := p.Characters[len(p.Characters)-1]
	drawings := make([]byte, 2*(most+1))
	present := make([]byte, most/8+1)
	present[0] = 1 << 7 // what stands for no character is always there
	var widths strings.Builder
	last := rune(-2)
	for i, c := range p.Characters {
		drawings[2*c], drawings[2*c+1] = byte(p.Glyphs[i]>>8), byte(p.Glyphs[i])
		present[c/8] |= 1 << (7 - c%8)
		if c != last+1 {
			if i > 0 {
				widths.WriteString("] ")
			}
			fmt.Fprintf(&widths, "%d [", c)
		}
		fmt.Fprintf(&widths, "%d ", p.Widths[i])
		last = c
	}
	widths.WriteString("]")
	press := zlib.NewWriter(nil) // one for all: making it costs more than using it
	return Embedded{
		name: p.Name, widths: widths.String(),
		measures: fmt.Sprintf("/Ascent %d /Descent %d /CapHeight %d /StemV %d /FontBBox [%d %d %d %d]",
			p.Ascent, p.Descent, p.CapHeight, p.Stem, p.Box[0], p.Box[1], p.Box[2], p.Box[3]),
		file:     packed(press, fmt.Sprintf("/Length1 %d", len(p.File)), p.File),
		drawings: packed(press, "", drawings), present: packed(press, "", present),
		unicode: packed(press, "", []byte(unicodeMap(most))),
	}
}

// font adds a typeface for texts in UTF-16 and returns its number. Which
// characters a cut one holds is said, as 6.3.5 asks.
func (w *parcel) font(e Embedded) int {
	file, drawings, present, unicode := w.add(e.file), w.add(e.drawings), w.add(e.present), w.add(e.unicode)
	descriptor := w.add(fmt.Appendf(nil, "<</Type /FontDescriptor /FontName /%s /Flags 4 /ItalicAngle 0 %s /FontFile2 %d 0 R /CIDSet %d 0 R>>",
		e.name, e.measures, file, present))
	inner := w.add(fmt.Appendf(nil, "<</Type /Font /Subtype /CIDFontType2 /BaseFont /%s /CIDSystemInfo <</Registry (Adobe) /Ordering (Identity) /Supplement 0>>\n"+
		"/FontDescriptor %d 0 R /CIDToGIDMap %d 0 R /DW 0 /W [%s]>>", e.name, descriptor, drawings, e.widths))
	return w.add(fmt.Appendf(nil, "<</Type /Font /Subtype /Type0 /BaseFont /%s /Encoding /Identity-H /DescendantFonts [%d 0 R] /ToUnicode %d 0 R>>",
		e.name, inner, unicode))
}

// unicodeMap says that each code is its own character, in ranges that do not
// cross a high byte (ISO 32000-1:2008, 9.10.3; clause from memory).
func unicodeMap(most rune) string {
	var b strings.Builder
	b.WriteString("/CIDInit /ProcSet findresource begin 12 dict begin begincmap\n" +
		"/CIDSystemInfo <</Registry (Adobe) /Ordering (UCS) /Supplement 0>> def\n" +
		"/CMapName /Adobe-Identity-UCS def /CMapType 2 def\n1 begincodespacerange <0000> <FFFF> endcodespacerange\n")
	fmt.Fprintf(&b, "%d beginbfrange\n", most>>8+1)
	for high := range most>>8 + 1 {
		fmt.Fprintf(&b, "<%02X00> <%02XFF> <%02X00>\n", high, high, high)
	}
	b.WriteString("endbfrange\nendcmap CMapName currentdict /CMap defineresource pop end end")
	return b.String()
}

// packed writes bytes, pressed, as the body of an object.
func packed(press *zlib.Writer, entries string, data []byte) []byte {
	var b bytes.Buffer
	press.Reset(&b)
	// A buffer takes every byte.
	_, _ = press.Write(data)
	_ = press.Close()
	return streamOf(entries+" /Filter /FlateDecode", b.Bytes())
}

// streamOf writes bytes, as they are, as the body of an object.
func streamOf(entries string, data []byte) []byte {
	out := fmt.Appendf(nil, "<<%s /Length %d>>%s", strings.TrimSpace(entries), len(data), streamMark)
	return append(append(out, data...), "\nendstream"...)
}
