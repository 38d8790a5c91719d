package typeface

import (
	"encoding/binary"
	"slices"
)

// A Program is a typeface as a file carries it. Lengths are in 1/1000 of the
// size.
type Program struct {
	Name       string // "ABCDEF+GoBold" where it is cut
	File       []byte // TrueType, without the tables that PDF does not use
	Characters []rune // that it can show, ascending
	Glyphs     []uint16
	Widths     []int

	Ascent, Descent, CapHeight int
	Box                        [4]int // lower left, upper right
	Stem                       int    // thickness of upright strokes
}

// Stems are not recorded in a TrueType file; readers use them only for a
// typeface that is not in the file, and this one is (house rule: a usual value).
const stem = 80

// cut keeps the glyphs of the characters that are wanted.
func (f *Face) cut(wanted func(rune) bool) Program {
	p := Program{Name: "WRINGA+" + f.name, Stem: stem}
	keep := map[uint16]bool{0: true}
	for c := range f.glyph {
		if g := f.glyph[c]; g != 0 && wanted(rune(c)) {
			keep[g] = true
			p.Characters, p.Glyphs, p.Widths = append(p.Characters, rune(c)), append(p.Glyphs, g), append(p.Widths, int(f.advance[c]))
		}
	}
	t := tablesOf(f.ttf)
	t.cutGlyphs(keep)
	p.File = t.file(usedTables())
	t.measure(&p)
	return p
}

// tables are those of a TrueType file, by their tags (OpenType 1.9, "Organization
// of an OpenType Font"; names and offsets of fields from memory, and held by
// readers of the cut file in a test).
type tables map[string][]byte

// usedTables lists, in their order, the tables that a typeface in a PDF needs
// (ISO 32000-1:2008, 9.9; clause from memory). Those that fit the drawings to the
// dots of a coarse screen go with the instructions that use them.
func usedTables() []string {
	return []string{"glyf", "head", "hhea", "hmtx", "loca", "maxp"}
}

func tablesOf(ttf []byte) tables {
	t := tables{}
	for i := range int(binary.BigEndian.Uint16(ttf[4:])) {
		e := ttf[12+16*i:]
		tag, at, n := string(e[:4]), binary.BigEndian.Uint32(e[8:]), binary.BigEndian.Uint32(e[12:])
		t[tag] = slices.Clone(ttf[at : at+n])
	}
	return t
}

// cutGlyphs empties every glyph that is not to be kept, nor part of one.
func (t tables) cutGlyphs(keep map[uint16]bool) {
	count := int(binary.BigEndian.Uint16(t["maxp"][4:]))
	long := binary.BigEndian.Uint16(t["head"][50:]) != 0
	at := func(g int) int {
		if long {
			return int(binary.BigEndian.Uint32(t["loca"][4*g:]))
		}
		return 2 * int(binary.BigEndian.Uint16(t["loca"][2*g:]))
	}
	drawing := func(g int) []byte { return t["glyf"][at(g):at(g+1)] }
	for range count { // a part may have parts of its own
		before := len(keep)
		for g := range keep {
			for _, part := range components(drawing(int(g))) {
				keep[part] = true
			}
		}
		if len(keep) == before {
			break
		}
	}
	var glyf, loca []byte
	for g := range count {
		loca = binary.BigEndian.AppendUint32(loca, uint32(len(glyf)))
		if keep[uint16(g)] {
			glyf = append(glyf, withoutInstructions(drawing(g))...)
			for len(glyf)%4 != 0 {
				glyf = append(glyf, 0)
			}
		}
	}
	t["glyf"], t["loca"] = glyf, binary.BigEndian.AppendUint32(loca, uint32(len(glyf)))
	binary.BigEndian.PutUint16(t["head"][50:], 1)
}

// withoutInstructions takes out of a glyph what fits it to the dots of a coarse
// screen: a third of the file, for what paper does not have.
func withoutInstructions(drawing []byte) []byte {
	if len(drawing) < 10 {
		return drawing
	}
	contours := int(int16(binary.BigEndian.Uint16(drawing)))
	if contours < 0 {
		return drawing // a composed glyph has a few at most, and says so by a flag
	}
	at := 10 + 2*contours
	n := int(binary.BigEndian.Uint16(drawing[at:]))
	return slices.Concat(drawing[:at], []byte{0, 0}, drawing[at+2+n:])
}

// components lists the glyphs that a glyph is put together from; none for one
// that is drawn itself.
func components(drawing []byte) (parts []uint16) {
	const words, scale, more, both, matrix = 1 << 0, 1 << 3, 1 << 5, 1 << 6, 1 << 7
	if len(drawing) < 10 || int16(binary.BigEndian.Uint16(drawing)) >= 0 {
		return nil
	}
	for at := 10; at+4 <= len(drawing); {
		flags := binary.BigEndian.Uint16(drawing[at:])
		parts = append(parts, binary.BigEndian.Uint16(drawing[at+2:]))
		at += 6
		if flags&words != 0 {
			at += 2
		}
		switch {
		case flags&scale != 0:
			at += 2
		case flags&both != 0:
			at += 4
		case flags&matrix != 0:
			at += 8
		}
		if flags&more == 0 {
			break
		}
	}
	return parts
}

// file puts tables together in the order given, which is that of their tags, each at a multiple of four bytes.
func (t tables) file(tags []string) []byte {
	n := uint16(len(tags))
	selector, power := uint16(0), uint16(1)
	for 2*power <= n {
		power, selector = 2*power, selector+1
	}
	out := binary.BigEndian.AppendUint32(nil, 0x00010000)
	for _, v := range []uint16{n, 16 * power, selector, 16 * (n - power)} {
		out = binary.BigEndian.AppendUint16(out, v)
	}
	binary.BigEndian.PutUint32(t["head"][8:], 0)
	at := uint32(12 + 16*len(tags))
	var body []byte
	for _, tag := range tags {
		data := t[tag]
		out = append(out, tag...)
		for _, v := range []uint32{checksum(data), at + uint32(len(body)), uint32(len(data))} {
			out = binary.BigEndian.AppendUint32(out, v)
		}
		body = append(body, data...)
		for len(body)%4 != 0 {
			body = append(body, 0)
		}
	}
	out = append(out, body...)
	const whole = 0xB1B0AFBA // what the sum of a file and its adjustment is taken from
	headAt := binary.BigEndian.Uint32(out[12+16*slices.Index(tags, "head")+8:])
	binary.BigEndian.PutUint32(out[headAt+8:], whole-checksum(out))
	return out
}

func checksum(data []byte) (sum uint32) {
	for ; len(data) >= 4; data = data[4:] {
		sum += binary.BigEndian.Uint32(data)
	}
	var last [4]byte
	copy(last[:], data)
	return sum + binary.BigEndian.Uint32(last[:])
}

// measure reads the heights of the typeface.
func (t tables) measure(p *Program) {
	em := int(binary.BigEndian.Uint16(t["head"][18:]))
	read := func(tag string, at int) int {
		return int(int16(binary.BigEndian.Uint16(t[tag][at:]))) * 1000 / em
	}
	p.Ascent, p.Descent, p.CapHeight = read("hhea", 4), read("hhea", 6), read("OS/2", 88)
	for i := range p.Box {
		p.Box[i] = read("head", 36+2*i)
	}
}
