package archive

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"strings"
	"time"
	"unicode/utf16"
)

// info is what the file says of itself in the older form. It must agree with
// the packet (ISO 19005-1, 6.7.3), so both are made of one value.
func (a About) info() []byte {
	var b strings.Builder
	b.WriteString("<<")
	for _, f := range []struct{ key, value string }{
		{"Title", a.Title}, {"Subject", a.Subject}, {"Author", a.Author}, {"Creator", a.Program}, {"Producer", a.Program},
	} {
		if f.value != "" {
			fmt.Fprintf(&b, "/%s %s\n", f.key, literal(f.value))
		}
	}
	day := a.Date.UTC().Format("D:20060102150405Z")
	fmt.Fprintf(&b, "/CreationDate (%s) /ModDate (%s)>>", day, day)
	return []byte(b.String())
}

// literal writes a text as a string of a PDF: plain where it is ASCII, else as
// UTF-16 with its mark.
func literal(s string) string {
	ascii := true
	for _, c := range s {
		ascii = ascii && c >= ' ' && c <= '~'
	}
	if ascii {
		return "(" + strings.NewReplacer(`\`, `\\`, `(`, `\(`, `)`, `\)`).Replace(s) + ")"
	}
	var b strings.Builder
	b.WriteString("<FEFF")
	for _, u := range utf16.Encode([]rune(s)) {
		fmt.Fprintf(&b, "%04X", u)
	}
	return b.String() + ">"
}

// packet is what the file says of itself for programs: XMP (ISO 16684-1), with
// the part and level of PDF/A that it follows, if it does (ISO 19005-1, 6.7.11).
func (a About) packet(archival bool) []byte {
	var b bytes.Buffer
	b.WriteString("<?xpacket begin=\"\ufeff\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>\n" +
		"<x:xmpmeta xmlns:x=\"adobe:ns:meta/\">\n<rdf:RDF xmlns:rdf=\"http://www.w3.org/1999/02/22-rdf-syntax-ns#\">\n" +
		"<rdf:Description rdf:about=\"\" xmlns:dc=\"http://purl.org/dc/elements/1.1/\" xmlns:xmp=\"http://ns.adobe.com/xap/1.0/\"" +
		" xmlns:pdf=\"http://ns.adobe.com/pdf/1.3/\" xmlns:pdfaid=\"http://www.aiim.org/pdfa/ns/id/\">\n")
	if archival {
		b.WriteString("<pdfaid:part>1</pdfaid:part>\n<pdfaid:conformance>B</pdfaid:conformance>\n")
	}
	b.WriteString("<dc:format>application/pdf</dc:format>\n")
	put := func(before, text, after string) {
		if text == "" {
			return
		}
		b.WriteString(before)
		// A buffer takes every byte; the text was looked through before.
		_ = xml.EscapeText(&b, []byte(text))
		b.WriteString(after + "\n")
	}
	put("<dc:title><rdf:Alt><rdf:li xml:lang=\"x-default\">", a.Title, "</rdf:li></rdf:Alt></dc:title>")
	put("<dc:description><rdf:Alt><rdf:li xml:lang=\"x-default\">", a.Subject, "</rdf:li></rdf:Alt></dc:description>")
	put("<dc:creator><rdf:Seq><rdf:li>", a.Author, "</rdf:li></rdf:Seq></dc:creator>")
	put("<dc:language><rdf:Bag><rdf:li>", a.Language, "</rdf:li></rdf:Bag></dc:language>")
	put("<xmp:CreatorTool>", a.Program, "</xmp:CreatorTool>")
	put("<pdf:Producer>", a.Program, "</pdf:Producer>")
	day := a.Date.UTC().Format(time.RFC3339)
	put("<xmp:CreateDate>", day, "</xmp:CreateDate>")
	put("<xmp:ModifyDate>", day, "</xmp:ModifyDate>")
	put("<xmp:MetadataDate>", day, "</xmp:MetadataDate>")
	b.WriteString("</rdf:Description>\n</rdf:RDF>\n</x:xmpmeta>\n<?xpacket end=\"r\"?>")
	return b.Bytes()
}
