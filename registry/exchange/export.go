package exchange

import (
	"bufio"
	"crypto/sha256"
	_ "embed" // format.txt
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"time"

	"example.org/wring/registry"
	"example.org/wring/registry/journal"
)

//go:embed format.txt
var formatText []byte

// The names in an export.
const (
	journalFile  = "journal.jsonl"
	filesFolder  = "attachments"
	manifestFile = "manifest.json"
	formatFile   = "FORMAT.txt"
)

// An entry is one line's object that is hashed, its members in the order of
// the canonical form.
type entry struct {
	At      string          `json:"at"`
	Kind    string          `json:"kind"`
	Payload json.RawMessage `json:"payload"`
	Person  string          `json:"person"`
	Program string          `json:"program"`
}

// A record is one line of journal.jsonl.
type record struct {
	Entry json.RawMessage `json:"entry"`
	Hash  string          `json:"hash"`
	Seq   uint64          `json:"seq"`
}

// instant is the form of a time in an entry: UTC with milliseconds, as
// registry/journal writes it.
const instant = "2006-01-02T15:04:05.000Z"

// Export writes everything in a registry to a new folder, or to one that is
// there and empty. The folder appears whole or not at all; its mode is 0700.
func Export(tx *registry.Tx, dir string, hand registry.Hand) (Manifest, error) {
	if list, err := os.ReadDir(dir); err == nil && len(list) > 0 {
		return Manifest{}, &Error{dir, "something is in this folder", "a new one, or an empty one"}
	} else if err != nil && !errors.Is(err, os.ErrNotExist) {
		return Manifest{}, err
	}
	temp, err := os.MkdirTemp(filepath.Dir(filepath.Clean(dir)), filepath.Base(dir)+".new-*") // mode 0700
	if err != nil {
		return Manifest{}, err
	}
	defer os.RemoveAll(temp) // gone already where all went well
	m := Manifest{Form: form, At: hand.Now().UTC(), Program: hand.Program}
	if m.Registry, m.Head, err = opening(tx); err != nil {
		return Manifest{}, err
	}
	x := &exporter{hand: hand, history: tx.History(), dir: temp, done: map[string]bool{}}
	if err := x.run(); err != nil {
		return Manifest{}, err
	}
	m.Entries, m.Attachments = x.entries, len(x.done)
	if err := errors.Join(m.write(inFolder(temp, manifestFile)), writeFile(inFolder(temp, formatFile), formatText)); err != nil {
		return Manifest{}, err
	}
	if err := os.Remove(dir); err != nil && !errors.Is(err, os.ErrNotExist) { // only an empty one goes
		return Manifest{}, err
	}
	return m, os.Rename(temp, dir)
}

type exporter struct {
	hand    registry.Hand
	history registry.History
	dir     string
	entries uint64
	done    map[string]bool // files that were written
}

func (x *exporter) run() error {
	if err := os.Mkdir(inFolder(x.dir, filesFolder), 0o700); err != nil {
		return err
	}
	f, err := os.OpenFile(inFolder(x.dir, journalFile), os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return err
	}
	w := bufio.NewWriter(f)
	err = x.history.Entries(func(e journal.Entry, hash [32]byte) error { return x.entry(w, e, hash) })
	return errors.Join(err, w.Flush(), f.Sync(), f.Close())
}

func (x *exporter) entry(w io.Writer, e journal.Entry, hash [32]byte) error {
	text, err := journal.Canonical(entry{e.At.Format(instant), e.Kind, e.Payload, e.Person, e.Program})
	if err != nil {
		return err
	}
	line, err := journal.Canonical(record{text, hex.EncodeToString(hash[:]), e.Seq})
	if err != nil {
		return err
	}
	if _, err := w.Write(append(line, '\n')); err != nil {
		return err
	}
	x.entries++
	x.hand.Reached(e.Seq)
	if e.Kind != registry.KindAttachment {
		return nil
	}
	var a registry.Attachment
	if err := json.Unmarshal(e.Payload, &a); err != nil || !isSum(a.SHA256) {
		return &registry.DamageError{Seq: e.Seq, Reason: fmt.Sprintf("names a file by %.80q; want a SHA-256", a.SHA256)}
	}
	if x.done[a.SHA256] {
		return nil
	}
	x.done[a.SHA256] = true
	data, err := x.history.File(a.SHA256)
	if err != nil {
		return err
	}
	return writeFile(filepath.Join(x.dir, filesFolder, a.SHA256), data)
}

// isSum reports a SHA-256 in the one form that is used as a name.
func isSum(s string) bool {
	b, err := hex.DecodeString(s)
	return err == nil && len(b) == sha256.Size && hex.EncodeToString(b) == s
}

// Import makes a registry at path from an export: the same entries, the same
// head. Every hash is proved on the way, and the manifest at the end.
func Import(dir, path string, hand registry.Hand) (Restored, error) {
	m, err := readManifest(inFolder(dir, manifestFile))
	if err != nil {
		return Restored{}, err
	}
	if m == nil {
		return Restored{}, &Error{dir, "no " + manifestFile + " in this folder", "one that export wrote"}
	}
	head, err := registry.CreateFrom(path, folder{dir, m}, hand, nil)
	return Restored{Manifest: *m, Head: head}, err
}

// A folder is an export as a history.
type folder struct {
	dir      string
	manifest *Manifest
}

// maxLine is the longest line that is read, in bytes: a house rule, far above
// the largest certificate.
const maxLine = 16 << 20

func (x folder) Entries(fn func(journal.Entry, [32]byte) error) error {
	name := inFolder(x.dir, journalFile)
	f, err := openPlain(name)
	if err != nil {
		return err
	}
	defer f.Close()
	lines := bufio.NewScanner(f)
	lines.Buffer(nil, maxLine)
	n, last := uint64(0), ""
	for lines.Scan() {
		n++
		e, hash, err := parseLine(lines.Bytes())
		if err != nil {
			return fmt.Errorf("%s:%d: %w", name, n, err)
		}
		if e.Seq != n {
			return &registry.DamageError{Seq: n, Reason: fmt.Sprintf("line %d of %s holds entry %d; want every number once and in order", n, name, e.Seq)}
		}
		if err := fn(e, hash); err != nil {
			return err
		}
		last = journal.Head{Seq: n, Hash: hash}.String()
	}
	switch err := lines.Err(); {
	case errors.Is(err, bufio.ErrTooLong):
		return fmt.Errorf("%s:%d: longer than %d MiB; want one entry a line", name, n+1, maxLine>>20)
	case err != nil:
		return fmt.Errorf("%s:%d: %w", name, n+1, err)
	}
	if n > 0 && (last != x.manifest.Head || n != x.manifest.Entries) { // an empty one is refused above
		return &registry.DamageError{Seq: n, Reason: fmt.Sprintf("is the last of %s, and the manifest says that head %.90s is; want the whole journal", name, x.manifest.Head)}
	}
	return nil
}

// parseLine reads one line. White space between its parts does not matter:
// what is hashed is the canonical form.
func parseLine(line []byte) (journal.Entry, [32]byte, error) {
	var r record
	var e entry
	var hash [32]byte
	const want = `want an object with "entry", "hash" and "seq", see ` + formatFile
	if err := json.Unmarshal(line, &r); err != nil {
		return journal.Entry{}, hash, fmt.Errorf("%v; %s", err, want)
	}
	if err := json.Unmarshal(r.Entry, &e); err != nil || !isSum(r.Hash) {
		return journal.Entry{}, hash, fmt.Errorf("no entry with a hash of 64 digits; %s", want)
	}
	at, err := time.Parse(instant, e.At)
	if err != nil {
		return journal.Entry{}, hash, fmt.Errorf("time %.40q; want one as 2026-11-25T09:30:00.000Z", e.At)
	}
	_, err = hex.Decode(hash[:], []byte(r.Hash))
	return journal.Entry{Seq: r.Seq, At: at, Person: e.Person, Kind: e.Kind, Program: e.Program, Payload: e.Payload}, hash, err
}

func (x folder) File(sum string) ([]byte, error) {
	if !isSum(sum) {
		return nil, fmt.Errorf("%.80q; want a SHA-256", sum)
	}
	f, err := openPlain(filepath.Join(x.dir, filesFolder, sum))
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, registry.MaxAttachment+1))
}
