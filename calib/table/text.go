package table

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"

	"example.org/wring/calib/sheet"
)

// MaxSize is the most that is taken in, in bytes: a house rule, room for a
// hundred thousand lines.
const MaxSize = 16 << 20

// characters turns the bytes of a file into text, and says by which encoding.
func characters(name string, data []byte, said string) (text, encoding string, err error) {
	refuse := func(line int, format string, args ...any) (string, string, error) {
		return "", "", &sheet.LineError{Name: name, Line: line, Err: fmt.Errorf(format, args...)}
	}
	switch {
	case len(data) > MaxSize:
		return refuse(0, "more than %d MiB; want a table in parts", MaxSize>>20)
	case len(bytes.TrimSpace(data)) == 0:
		return refuse(0, "nothing in it; want a line of headings and the lines under it")
	case bytes.HasPrefix(data, []byte("\xd0\xcf\x11\xe0")):
		return refuse(0, "a workbook of an old kind, or with a password; want it saved as .xlsx without one, or one of its sheets as CSV")
	}
	text, encoding, err = decode(data, said)
	if err != nil {
		return refuse(0, "%w", err)
	}
	line := 1
	for _, r := range text {
		switch r {
		case '\n':
			line++
		case 0:
			return refuse(line, "a zero byte; want plain text")
		case utf8.RuneError:
			return refuse(line, "a byte that is no character in %s; want the table saved as UTF-8", encoding)
		}
	}
	return text, encoding, nil
}

// decode reads the bytes by the encoding that was said, else by the one they
// show.
func decode(data []byte, said string) (text, encoding string, err error) {
	wide := bytes.HasPrefix(data, []byte("\xff\xfe")) || bytes.HasPrefix(data, []byte("\xfe\xff"))
	switch {
	case said == sheet.UTF16 && !wide:
		return "", "", errors.New("no UTF-16: its mark is missing; want it saved as UTF-8")
	case said == sheet.UTF16, said == "" && wide:
		out, err := unicode.UTF16(unicode.LittleEndian, unicode.ExpectBOM).NewDecoder().Bytes(data)
		return string(out), "UTF-16", err
	case said == sheet.Windows1252, said == "" && !utf8.Valid(data):
		out, err := charmap.Windows1252.NewDecoder().Bytes(data)
		return string(out), "Windows-1252", err
	}
	return strings.ToValidUTF8(strings.TrimPrefix(string(data), "\ufeff"), string(utf8.RuneError)), "UTF-8", nil
}
