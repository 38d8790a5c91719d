package registry

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"path/filepath"
	"strings"
	"unicode"
	"unicode/utf8"

	"example.org/wring/registry/journal"
)

// MaxAttachment is the largest file that a registry takes, in bytes: a house
// rule, a long certificate scanned in colour.
const MaxAttachment = 16 << 20

// maxFileName is the longest name of an attachment, in bytes: a house rule,
// below what file systems take.
const maxFileName = 120

// An Attachment is the payload of an entry that brings a file into the
// registry. The bytes lie beside the journal under their SHA-256, once however
// many entries name them.
type Attachment struct {
	Subject string `json:"subject"`         // identity of a gauge or a standard
	Entry   uint64 `json:"entry,omitempty"` // of the check or certificate it belongs to; 0: to the gauge or standard itself
	Name    string `json:"name"`            // of the file, without a folder
	Size    int64  `json:"size"`            // bytes, 1 to MaxAttachment
	Type    string `json:"type"`            // by its first bytes: PDF, PNG, JPEG, TIFF or other
	SHA256  string `json:"sha256"`          // 64 hexadecimal digits
	Note    string `json:"note,omitempty"`  // in words
}

// A KeptAttachment is an attachment with the entry that holds it.
type KeptAttachment struct {
	Entry      uint64     `json:"entry"`
	Attachment Attachment `json:"attachment"`
}

// FileName refuses a name that could leave its folder, hide, or mean something
// else on another system: only the last part of a path, without a leading
// point, a blank at its ends, or a character that some system reserves.
func FileName(name string) error {
	refuse := func(found string) error {
		return fmt.Errorf("file name %.130q: %s; want a plain name such as certificate.pdf", name, found)
	}
	stem, _, _ := strings.Cut(strings.ToUpper(name), ".")
	switch {
	case name == "" || len(name) > maxFileName || !utf8.ValidString(name):
		return refuse(fmt.Sprintf("empty, longer than %d bytes, or not UTF-8", maxFileName))
	case strings.ContainsAny(name, `/\:*?"<>|`):
		return refuse("a character that parts folders or is reserved")
	case strings.ContainsFunc(name, func(r rune) bool { return unicode.IsControl(r) || unicode.Is(unicode.Cf, r) }):
		return refuse("a character that cannot be seen")
	case strings.HasPrefix(name, "."), strings.HasPrefix(name, "-"), strings.HasSuffix(name, "."), strings.TrimSpace(name) != name:
		return refuse("begins or ends with a mark that hides it or starts an option")
	case !filepath.IsLocal(name), isDevice(stem):
		return refuse("reserved by some system")
	}
	return nil
}

// isDevice reports a name that Windows keeps for a device, whatever follows
// the point (Microsoft, "Naming Files, Paths, and Namespaces"; from memory).
func isDevice(stem string) bool {
	switch stem {
	case "CON", "PRN", "AUX", "NUL":
		return true
	}
	port := strings.HasPrefix(stem, "COM") || strings.HasPrefix(stem, "LPT")
	return port && len(stem) == 4 && stem[3] >= '1' && stem[3] <= '9'
}

// typeOf names what a file is by its first bytes. A PDF begins with %PDF-
// (ISO 32000-1, 7.5.2), a PNG with eight bytes (ISO/IEC 15948, 5.2), a JPEG
// with SOI and a marker (ISO/IEC 10918-1, B.1.1.3), a TIFF with its byte order
// (TIFF 6.0, section 2); all from memory.
func typeOf(data []byte) string {
	for _, t := range []struct{ begins, name string }{
		{"%PDF-", "PDF"}, {"\x89PNG\r\n\x1a\n", "PNG"}, {"\xff\xd8\xff", "JPEG"}, {"II*\x00", "TIFF"}, {"MM\x00*", "TIFF"},
	} {
		if strings.HasPrefix(string(data[:min(len(data), 8)]), t.begins) {
			return t.name
		}
	}
	return "other"
}

// Attach enters a file that belongs to a gauge, a standard, a check or a
// standard's certificate. Size, type and hash are taken from its bytes.
func (tx *Tx) Attach(a Attachment, data []byte) (KeptAttachment, error) {
	if err := FileName(a.Name); err != nil {
		return KeptAttachment{}, err
	}
	switch n := len(data); {
	case n == 0:
		return KeptAttachment{}, &RuleError{fmt.Sprintf("file %q: empty", a.Name), "want a file with something in it"}
	case n > MaxAttachment:
		return KeptAttachment{}, &RuleError{fmt.Sprintf("file %q: more than %d MiB", a.Name, MaxAttachment>>20), "want a smaller scan of it"}
	}
	if err := tx.belongs(a); err != nil {
		return KeptAttachment{}, err
	}
	sum := sha256.Sum256(data)
	a.Size, a.Type, a.SHA256 = int64(len(data)), typeOf(data), hex.EncodeToString(sum[:])
	if err := tx.attachedAlready(a); err != nil {
		return KeptAttachment{}, err
	}
	if tx.s.Get(treeAttachments, sum[:]) == nil {
		if err := tx.s.Put(treeAttachments, sum[:], data); err != nil {
			return KeptAttachment{}, err
		}
	}
	head, err := tx.append(KindAttachment, a)
	return KeptAttachment{head.Seq, a}, err
}

// belongs wants the gauge or standard to be there, and the entry, if one is
// named, to be about it.
func (tx *Tx) belongs(a Attachment) error {
	entries, err := tx.Entries(a.Subject)
	if err != nil || a.Entry == 0 {
		return err
	}
	for _, e := range entries {
		if e.Seq == a.Entry && (isCheck(e.Kind) || isCertificate(e.Kind)) {
			return nil
		}
	}
	return &RuleError{fmt.Sprintf("entry %d: no check and no certificate of %s", a.Entry, a.Subject), "want the number of one, as wring history shows it"}
}

func (tx *Tx) attachedAlready(a Attachment) error {
	list, err := tx.Attachments(a.Subject)
	for _, k := range list {
		if k.Attachment.SHA256 == a.SHA256 && k.Attachment.Entry == a.Entry {
			return &RuleError{fmt.Sprintf("file %q: is attached to %s already, by entry %d", a.Name, a.Subject, k.Entry), "want another file"}
		}
	}
	return err
}

// Attachments returns the files of a gauge or a standard and of its checks and
// certificates, oldest first.
func (tx *Tx) Attachments(id string) ([]KeptAttachment, error) {
	entries, err := tx.Entries(id)
	if err != nil {
		return nil, err
	}
	var out []KeptAttachment
	for _, e := range entries {
		if e.Kind != KindAttachment {
			continue
		}
		k := KeptAttachment{Entry: e.Seq}
		if err := decode(e, &k.Attachment); err != nil {
			return nil, err
		}
		out = append(out, k)
	}
	return out, nil
}

// AttachmentAt returns the attachment that an entry holds, with its bytes, or
// a [*DamageError] where they are not those that were entered.
func (tx *Tx) AttachmentAt(seq uint64) (KeptAttachment, []byte, error) {
	k := KeptAttachment{Entry: seq}
	if err := tx.payload(seq, KindAttachment, &k.Attachment); err != nil {
		return k, nil, err
	}
	if reason := tx.fileFault(k.Attachment); reason != "" {
		return k, nil, &DamageError{Seq: seq, Reason: "attachment: " + reason}
	}
	key, err := hex.DecodeString(k.Attachment.SHA256)
	return k, tx.s.Get(treeAttachments, key), err
}

// applyAttachment brings the subject's history up to the entry.
func (tx *Tx) applyAttachment(e journal.Entry) error {
	var a Attachment
	if err := decode(e, &a); err != nil {
		return err
	}
	return tx.s.Put(treeSeries, idSeqKey(a.Subject, e.Seq), otherRow())
}

// String names the file and what it belongs to.
func (a Attachment) String() string {
	text := fmt.Sprintf("%s, %s, %d bytes, SHA-256 %.16s…", a.Name, a.Type, a.Size, a.SHA256)
	if a.Entry > 0 {
		text += fmt.Sprintf(", to entry %d", a.Entry)
	}
	if a.Note != "" {
		text += " (" + a.Note + ")"
	}
	return text
}
