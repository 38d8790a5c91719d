package archive

import (
	"encoding/binary"
	"errors"

	"example.org/wring/certs/typeface"
)

// Ready is what [Embed] makes of a typeface at the reach [typeface.Usual], in
// which nearly every paper is set. To make it took a quarter of the time of a
// certificate (measured).
func Ready(n typeface.Name) (e Embedded, err error) {
	return e, e.read(readyTable[n])
}

// fields lists what is embedded, in the order in which it is written and read.
func (e *Embedded) fields() (texts []*string, bodies []*[]byte) {
	return []*string{&e.name, &e.widths, &e.measures}, []*[]byte{&e.file, &e.drawings, &e.present, &e.unicode}
}

// written is the typeface as it lies ready: each field behind its length as a
// varint.
func (e *Embedded) written() (data []byte) {
	texts, bodies := e.fields()
	for _, s := range texts {
		data = append(binary.AppendUvarint(data, uint64(len(*s))), *s...)
	}
	for _, b := range bodies {
		data = append(binary.AppendUvarint(data, uint64(len(*b))), *b...)
	}
	return data
}

// read is the inverse of written. The bodies share the memory of data.
func (e *Embedded) read(data []byte) error {
	whole := true
	next := func() (field []byte) {
		n, used := binary.Uvarint(data)
		if whole = whole && used > 0 && n <= uint64(len(data)-used); !whole {
			return nil
		}
		field, data = data[used:used+int(n):used+int(n)], data[used+int(n):]
		return field
	}
	texts, bodies := e.fields()
	for _, s := range texts {
		*s = string(next())
	}
	for _, b := range bodies {
		*b = next()
	}
	if !whole || len(data) > 0 {
		return errReady
	}
	return nil
}

var errReady = errors.New("a typeface that lies ready is not whole; want it made anew")
