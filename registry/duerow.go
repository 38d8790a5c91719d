package registry

import (
	"encoding/binary"
	"errors"
	"strings"

	"example.org/wring/calib"
)

// The written form of a row of the due list: the list of a large fleet is read
// at one go, and JSON would take most of the time (measured). Bytes:
//
//	0      form: 1
//	1      what there is: bit 0 a due day, bit 1 a last day, bit 2 a standard
//	2–5    civil day since 1970 on which it is due, signed, big endian
//	6–9    that of the last check or certificate
//	then   identity, what, description, place, owner, status, part, clock and
//	       verdict, each with its length before it as a varint
//
// A later form begins with another byte and is refused as newer.
const (
	dueForm = 1
	dueHead = 10

	dueHasDue     = 1 << 0
	dueHasLast    = 1 << 1
	dueIsStandard = 1 << 2
)

var errDueRow = errors.New("a row of the due list is cut short")

// written is the row in bytes.
func (r DueRow) written() []byte {
	b := make([]byte, dueHead, 128)
	b[0] = dueForm
	if !r.Due.IsZero() {
		b[1] |= dueHasDue
		binary.BigEndian.PutUint32(b[2:], uint32(r.Due.Day()))
	}
	if !r.Last.IsZero() {
		b[1] |= dueHasLast
		binary.BigEndian.PutUint32(b[6:], uint32(r.Last.Day()))
	}
	if r.Standard {
		b[1] |= dueIsStandard
	}
	for _, s := range []string{r.ID, r.What, r.Description, r.Place, r.Owner, string(r.Status), string(r.Part), string(r.Clock), string(r.Verdict)} {
		b = binary.AppendUvarint(b, uint64(len(s)))
		b = append(b, s...)
	}
	return b
}

// A dueReader reads rows, each into the place of the one before. What is there
// already is kept: most of all a row is like the one before it, and most of the
// rest is like an earlier one.
type dueReader struct {
	row    DueRow
	fields [9]string
	seen   map[string]string
	ids    strings.Builder // identities one behind the other
}

// idBlock is how many bytes of identities are kept in one piece (house rule).
const idBlock = 4 << 10

func newDueReader() *dueReader { return &dueReader{seen: map[string]string{}} }

// read is the inverse of written. The row is written over by the next call.
func (d *dueReader) read(b []byte) (*DueRow, error) {
	if len(b) < dueHead {
		return nil, viewDamage(treeDue, errDueRow)
	}
	if b[0] != dueForm {
		return nil, &RuleError{"the due list: was written by a newer program", "want a newer program"}
	}
	r := &d.row
	r.Due = dayIn(b[2:], b[1]&dueHasDue != 0, r.Due)
	r.Last = dayIn(b[6:], b[1]&dueHasLast != 0, r.Last)
	r.Standard = b[1]&dueIsStandard != 0
	fields := &d.fields
	b = b[dueHead:]
	for i := range fields {
		n, used := binary.Uvarint(b)
		if used <= 0 || n > uint64(len(b)-used) {
			return nil, viewDamage(treeDue, errDueRow)
		}
		if text := b[used : used+int(n)]; string(text) != fields[i] {
			fields[i] = d.text(text, i > 0)
		}
		b = b[used+int(n):]
	}
	r.ID, r.What, r.Description, r.Place, r.Owner = fields[0], fields[1], fields[2], fields[3], fields[4]
	r.Status, r.Part, r.Clock, r.Verdict = calib.Status(fields[5]), calib.Part(fields[6]), calib.Purpose(fields[7]), calib.Verdict(fields[8])
	return r, nil
}

// dayIn is the day in b if there is one, which may be that of the row before.
func dayIn(b []byte, there bool, before calib.Date) calib.Date {
	if !there {
		return calib.Date{}
	}
	day := int32(binary.BigEndian.Uint32(b))
	if !before.IsZero() && before.Day() == day {
		return before
	}
	return calib.DateOfDay(day)
}

// text is a field; one that other rows may have too is kept.
func (d *dueReader) text(b []byte, common bool) string {
	if !common {
		return d.id(b)
	}
	s, ok := d.seen[string(b)]
	if !ok {
		s = string(b)
		d.seen[s] = s
	}
	return s
}

// id is an identity, in one piece of memory with others.
func (d *dueReader) id(b []byte) string {
	if d.ids.Cap()-d.ids.Len() < len(b) {
		d.ids = strings.Builder{}
		d.ids.Grow(max(idBlock, len(b)))
	}
	from := d.ids.Len()
	d.ids.Write(b)
	return d.ids.String()[from:]
}
