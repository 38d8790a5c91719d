package table

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"time"
	"unicode"
)

// A numberStyle is how a number is shown: as a date, as a percentage, with so
// many places after the point and so many digits before it at the least, between
// words.
type numberStyle struct {
	date, percent  bool
	places, digits int
	before, after  string
	odd            string // a format that shows another number than there is
}

// readStyles reads how the numbers of the workbook are shown.
func (b *workbook) readStyles() error {
	var x struct {
		Formats []struct {
			ID   int    `xml:"numFmtId,attr"`
			Code string `xml:"formatCode,attr"`
		} `xml:"numFmts>numFmt"`
		Cells []struct {
			Format int `xml:"numFmtId,attr"`
		} `xml:"cellXfs>xf"`
	}
	_, err := b.part("xl/styles.xml", &x)
	codes := builtIn()
	for _, f := range x.Formats {
		codes[f.ID] = f.Code
	}
	known := map[int]numberStyle{}
	for _, c := range x.Cells {
		if _, ok := known[c.Format]; !ok {
			known[c.Format] = styleOf(codes[c.Format])
		}
		b.styles = append(b.styles, known[c.Format])
	}
	return err
}

// builtIn is the formats that have a number and no code (ECMA-376 part 1,
// 18.8.30, memory), as far as they show places or a date.
func builtIn() map[int]string {
	out := map[int]string{2: "0.00", 4: "#,##0.00", 9: "0%", 10: "0.00%", 39: "#,##0.00", 40: "#,##0.00"}
	for _, dates := range [][2]int{{14, 22}, {27, 36}, {45, 47}, {50, 58}} {
		for id := dates[0]; id <= dates[1]; id++ {
			out[id] = "yyyy-mm-dd"
		}
	}
	return out
}

// styleOf reads what of a format's code matters here. It is cut into words in
// quotes or behind a backslash, what stands in brackets, blanks of the width of
// a character, filling, and single characters (ECMA-376 part 1, 18.8.31, memory).
func styleOf(code string) (s numberStyle) {
	bare := ""
	for _, token := range regexp.MustCompile(`(?s)"[^"]*"|\\.|\[[^\]]*\]|_.|\*.|.`).FindAllString(code, -1) {
		if token == ";" { // the others are for numbers below 0
			break
		}
		text, inner := "", strings.Trim(token, "[]")
		switch {
		case token[0] == '"' || token[0] == '\\':
			text = strings.Trim(strings.TrimPrefix(token, `\`), `"`)
		case len(token) > 1 && token[0] == '[' && strings.HasPrefix(inner, "$"): // a unit of money, or another
			text, _, _ = strings.Cut(inner[1:], "-")
		case len(token) > 1 && token[0] == '[' && strings.ContainsAny(inner, "<>="):
			s.odd = code
		case len(token) > 1 && token[0] == '[' && strings.Trim(strings.ToLower(inner), "hms") == "": // hours beyond a day
			bare += inner
		case len(token) == 1:
			bare += token
		}
		if strings.ContainsAny(bare, "0#?") || strings.Contains(strings.ToLower(bare), "general") {
			s.after += text
		} else {
			s.before += text
		}
	}
	return s.shaped(strings.TrimSpace(bare), code)
}

// shaped reads the part of a format that is no words.
func (s numberStyle) shaped(bare, code string) numberStyle {
	if strings.EqualFold(bare, "general") {
		return s
	}
	s.date = strings.ContainsAny(strings.ToLower(bare), "dmyhs")
	s.percent = strings.Contains(bare, "%")
	whole, decimals, pointed := strings.Cut(bare, ".")
	switch {
	case s.date:
	case strings.ContainsAny(bare, "eE/"):
	case regexp.MustCompile(`[0#?],+([^0#?,]|$)|[0#?][^0#?.,% ]+[0#?]`).MatchString(bare): // in thousands, or parted
		s.odd = code
	case pointed:
		s.places = strings.Count(decimals, "0")
	default:
		s.digits = strings.Count(whole, "0")
	}
	return s
}

// text is what a cell says: a text as it is, a number in decimals, a date in
// ISO 8601. What was not worked out, or went wrong, is refused.
func (b *workbook) text(c bookCell) (string, error) {
	switch c.Type {
	case "s":
		i, err := strconv.ParseUint(c.Value, 10, 32)
		if err != nil || i >= uint64(len(b.strings)) {
			return "", fmt.Errorf("text %q is not in the workbook; want it saved anew", clip(c.Value))
		}
		return unescaped(b.strings[i]), nil
	case "inlineStr":
		return unescaped(c.Inline.String()), nil
	case "str":
		return unescaped(c.Value), nil
	case "b":
		return truthOf(c.Value)
	case "e":
		return "", fmt.Errorf("%s; want a value", clip(c.Value))
	case "d":
		day, _, _ := strings.Cut(c.Value, "T")
		return day, nil
	case "", "n":
	default:
		return "", fmt.Errorf("of the kind %q; want a text, a number or a date", clip(c.Type))
	}
	if c.Value == "" {
		return "", errors.New("a formula that was not worked out; want the workbook opened and saved once in a spreadsheet program")
	}
	v, err := strconv.ParseFloat(c.Value, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return "", fmt.Errorf("%q: not a number; want one", clip(c.Value))
	}
	var style numberStyle
	if c.Style >= 0 && c.Style < len(b.styles) {
		style = b.styles[c.Style]
	}
	switch {
	case style.date:
		return b.day(v)
	case style.odd != "":
		return "", fmt.Errorf("%g, shown by the format %q; want one that shows the number as it is", v, clip(style.odd))
	}
	return style.number(v), nil
}

// unescaped puts characters in the place of their numbers, as _x000D_, which
// programs write where XML has no such character, or an end of line would be
// made another (ECMA-376 part 1, 22.9.2.19, memory). What can stand in no cell
// stays as it is.
func unescaped(text string) string {
	if !strings.Contains(text, "_x") {
		return text
	}
	return regexp.MustCompile(`_x[0-9A-Fa-f]{4}_`).ReplaceAllStringFunc(text, func(code string) string {
		n, err := strconv.ParseUint(code[2:6], 16, 16)
		if r := rune(n); err == nil && (unicode.IsGraphic(r) || unicode.IsSpace(r)) {
			return string(r)
		}
		return code
	})
}

func truthOf(value string) (string, error) {
	switch value {
	case "1", "true":
		return "yes", nil
	case "0", "false":
		return "no", nil
	}
	return "", fmt.Errorf("%q: neither true nor false; want one", clip(value))
}

// number writes a number with the digits that it was typed with: spreadsheets
// have no more than 15, and of those that end in zeros as many as are shown.
func (s numberStyle) number(v float64) string {
	if s.percent {
		v *= 100
	}
	const digits = 15
	short, err := strconv.ParseFloat(strconv.FormatFloat(v, 'e', digits-1, 64), 64)
	if err != nil {
		short = v
	}
	text := strconv.FormatFloat(short, 'f', -1, 64)
	whole, decimals, _ := strings.Cut(text, ".")
	places := s.places
	if n := len(decimals); n < places {
		text = whole + "." + decimals + strings.Repeat("0", places-n)
	}
	if n := len(strings.TrimPrefix(whole, "-")); n < s.digits {
		text = strings.Replace(text, whole, whole[:len(whole)-n]+strings.Repeat("0", s.digits-n)+whole[len(whole)-n:], 1)
	}
	if s.percent {
		text += " %"
	}
	return strings.TrimSpace(s.before + text + s.after)
}

// day is the date of a number of days, whose time is midnight.
func (b *workbook) day(v float64) (string, error) {
	const (
		earliest = 61      // 1900-03-01: before it programs count a day that never was (common practice)
		latest   = 2958465 // 9999-12-31, from 1900
	)
	days := math.Floor(v)
	switch {
	case v < earliest && b.from == from1900 || v < 0:
		return "", fmt.Errorf("%g, shown as a date or a time of day; want a date from 1900-03-01 on", v)
	case days != v:
		return "", fmt.Errorf("%g, a date with a time of day; want the date alone", v)
	case int64(days)-b.from > latest-from1900:
		return "", fmt.Errorf("%g, shown as a date after the year 9999; want one before", v)
	}
	return time.Unix((int64(days)-b.from)*24*60*60, 0).UTC().Format(time.DateOnly), nil
}
