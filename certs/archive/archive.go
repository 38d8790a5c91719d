package archive

import (
	"bytes"
	"compress/zlib"
	"crypto/sha256"
	"fmt"
	"strconv"
	"strings"
	"sync"
	"time"
)

// About is what a file says of itself. Empty fields are left out.
type About struct {
	Title, Subject, Author string
	Program                string // that made it
	Language               string // as BCP 47 has it: "en-GB"
	Date                   time.Time
}

// A Font is a typeface by the name that the pages use.
type Font struct {
	Resource string // "F0"
	Embedded Embedded
}

// A File travels in another. No file that carries one is PDF/A-1 (6.1.11), and
// none says that it is.
type File struct {
	Name, Media, About string // as in certs.File
	Data               []byte
}

// A Writer holds presses to pack files with. It may serve many goroutines.
type Writer struct {
	presses sync.Pool // of *zlib.Writer: making one costs more than using it
}

// New returns a writer.
func New() *Writer {
	return &Writer{presses: sync.Pool{New: func() any {
		z, _ := zlib.NewWriterLevel(nil, zlib.BestSpeed) // the level is one that there is
		return z
	}}}
}

// Write keeps the pages of a file of gofpdf's, written without compression, and writes everything else anew:
// the typefaces, what the file says of itself, in a form for programs and in one
// for people, and what its colours mean, and the files that are to travel in it. It
// returns an error where the file is not as gofpdf writes them.
func (a *Writer) Write(file []byte, about About, fonts []Font, carried ...File) ([]byte, error) {
	pages, err := pageObjects(file)
	if err != nil {
		return nil, err
	}
	a.pack(pages)
	w := &parcel{}
	w.objects = append(w.objects, pages...)
	w.objects[resources-1] = nil // written below, when the typefaces have numbers
	var list strings.Builder
	for _, f := range fonts {
		fmt.Fprintf(&list, "/%s %d 0 R ", f.Resource, w.font(f.Embedded))
	}
	w.objects[resources-1] = []byte("<</ProcSet [/PDF /Text] /Font <<" + list.String() + ">>>>")
	icc := w.add(readyColours)
	meta := w.add(streamOf("/Type /Metadata /Subtype /XML", about.packet(len(carried) == 0))) // never packed (6.7.2)
	info := w.add(about.info())
	catalogue := w.add(fmt.Appendf(nil, "<</Type /Catalog /Pages 1 0 R /Metadata %d 0 R /Lang %s /ViewerPreferences <</DisplayDocTitle true>>\n"+
		"/OutputIntents [<</Type /OutputIntent /S /GTS_PDFA1 /OutputConditionIdentifier (sRGB) /Info (sRGB, IEC 61966-2-1) /DestOutputProfile %d 0 R>>]%s>>",
		meta, literal(about.Language), icc, w.carry(carried, about.Date)))
	return w.finish(versionOf(carried), catalogue, info), nil
}

// pack presses the pages, which come plain.
func (a *Writer) pack(objects [][]byte) {
	press := a.presses.Get().(*zlib.Writer)
	defer a.presses.Put(press)
	for i, body := range objects {
		n, found := streamLength(body)
		if !found {
			continue
		}
		_, data, _ := bytes.Cut(body[:n], []byte(streamMark))
		objects[i] = packed(press, "", data)
	}
}

// resources is the number of the object that lists the typefaces, in gofpdf's
// files and so in these.
const resources = 2

// parcel gathers objects; the first has number 1.
type parcel struct {
	buf     bytes.Buffer
	objects [][]byte
}

func (w *parcel) add(body []byte) int {
	w.objects = append(w.objects, body)
	return len(w.objects)
}

// finish writes the objects, where each begins, and the trailer. The identity
// is the hash of all before it (6.1.3).
func (w *parcel) finish(version string, catalogue, info int) []byte {
	size := 500 // for the trailer, and 60 about each object
	for _, body := range w.objects {
		size += len(body) + 60
	}
	w.buf.Grow(size)
	// The comment of high bytes says that this is no text (6.1.2).
	w.buf.WriteString(version + "\n%\xe2\xe3\xcf\xd3\n")
	at := make([]int, len(w.objects))
	for i, body := range w.objects {
		at[i] = w.buf.Len()
		w.buf.WriteString(strconv.Itoa(i + 1))
		w.buf.WriteString(" 0 obj\n")
		w.buf.Write(body)
		w.buf.WriteString("\nendobj\n")
	}
	id := sha256.Sum256(w.buf.Bytes())
	start := w.buf.Len()
	fmt.Fprintf(&w.buf, "xref\n0 %d\n0000000000 65535 f \n", len(at)+1)
	for _, n := range at {
		fmt.Fprintf(&w.buf, "%010d 00000 n \n", n)
	}
	fmt.Fprintf(&w.buf, "trailer\n<</Size %d /Root %d 0 R /Info %d 0 R /ID [<%x> <%x>]>>\nstartxref\n%d\n%%%%EOF\n",
		len(at)+1, catalogue, info, id[:16], id[:16], start)
	return w.buf.Bytes()
}

// pageObjects returns the bodies of the objects of a file of gofpdf's, without
// the last two, which are what it says of itself and its catalogue.
func pageObjects(file []byte) ([][]byte, error) {
	const wanted = "a file as gofpdf writes it"
	start := bytes.LastIndex(file, []byte("\nxref\n"))
	if start < 0 {
		return nil, fmt.Errorf("archive: no table of objects; want %s", wanted)
	}
	ends := start + 1
	lines := strings.Split(string(file[ends:]), "\n")
	var bodies [][]byte
	for n := 1; 2+n < len(lines) && strings.HasSuffix(lines[2+n], " n "); n++ {
		number, _, _ := strings.Cut(lines[2+n], " ")
		at, err := strconv.Atoi(number)
		if err != nil || at < 0 || at >= ends {
			return nil, fmt.Errorf("archive: object %d at %q; want %s", n, lines[2+n], wanted)
		}
		body, ok := bytes.CutPrefix(file[at:ends], fmt.Appendf(nil, "%d 0 obj\n", n))
		end := bytes.Index(body, []byte("\nendobj\n"))
		if length, found := streamLength(body); found { // packed bytes may hold anything
			end = bytes.Index(body[length:], []byte("\nendobj\n")) + length
		}
		if !ok || end < 0 {
			return nil, fmt.Errorf("archive: object %d does not begin or end; want %s", n, wanted)
		}
		bodies = append(bodies, body[:end])
	}
	if len(bodies) < 4 {
		return nil, fmt.Errorf("archive: %d objects; want %s, with a page", len(bodies), wanted)
	}
	return bodies[:len(bodies)-2], nil
}

// streamMark stands before the bytes of a stream.
const streamMark = "\nstream\n"

// streamLength is where the bytes of a stream end, and whether an object is one.
func streamLength(body []byte) (int, bool) {
	first, rest, ok := bytes.Cut(body, []byte(streamMark))
	if !ok || bytes.Contains(first, []byte("endobj")) {
		return 0, false
	}
	_, number, ok := bytes.Cut(first, []byte("/Length "))
	if !ok {
		return 0, false
	}
	n := 0
	for _, c := range number {
		if c < '0' || c > '9' || n > len(rest) {
			break
		}
		n = 10*n + int(c-'0')
	}
	if n > len(rest) {
		return 0, false
	}
	return len(first) + len(streamMark) + n, true
}
