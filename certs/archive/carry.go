package archive

import (
	"crypto/md5"
	"fmt"
	"strings"
	"time"
)

// versionOf is the first line of a file: names of carried files in Unicode came
// with 1.7 (ISO 32000-1:2008, 7.11.3; from memory).
func versionOf(carried []File) string {
	if len(carried) > 0 {
		return "%PDF-1.7"
	}
	return "%PDF-1.4"
}

// carry adds the files, and returns what the catalogue says of them: a tree of
// names in the order given, and that readers are to show the list (ISO 32000-1:2008,
// 7.11.4 and 7.7.4; clauses from memory).
func (w *parcel) carry(files []File, day time.Time) string {
	if len(files) == 0 {
		return ""
	}
	date := day.UTC().Format("D:20060102150405Z")
	var names strings.Builder
	for i, f := range files {
		// The standard's own sum, which finds damage and proves nothing.
		stream := fmt.Sprintf("/Type /EmbeddedFile /Subtype /%s /Params <</Size %d /ModDate (%s) /CheckSum <%x>>>", nameOf(f.Media), len(f.Data), date, md5.Sum(f.Data))
		data := w.add(streamOf(stream, f.Data))
		about := ""
		if f.About != "" {
			about = " /Desc " + literal(f.About)
		}
		spec := w.add(fmt.Appendf(nil, "<</Type /Filespec /F %s /UF %s%s /EF <</F %d 0 R /UF %d 0 R>>>>", literal(f.Name), literal(f.Name), about, data, data))
		fmt.Fprintf(&names, "(%06d) %d 0 R ", i+1, spec)
	}
	return " /PageMode /UseAttachments /Names <</EmbeddedFiles <</Names [" + names.String() + "]>>>>"
}

// nameOf writes a text as a name of a PDF, without the slash before it.
func nameOf(s string) string {
	var b strings.Builder
	for _, c := range []byte(s) {
		if c >= '0' && c <= '9' || c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c == '-' || c == '.' || c == '+' {
			b.WriteByte(c)
			continue
		}
		fmt.Fprintf(&b, "#%02X", c)
	}
	return b.String()
}
