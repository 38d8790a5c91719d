package registry

import (
	"bytes"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"

	"example.org/wring/registry/journal"
	"example.org/wring/registry/store"
)

// A History is a journal with its files, from wherever it comes back.
type History interface {
	// Entries calls fn with each entry, oldest first, and the chain hash that
	// it is said to have.
	Entries(fn func(e journal.Entry, hash [32]byte) error) error

	// File returns the bytes of the attachment with that SHA-256.
	File(sha256 string) ([]byte, error)
}

// CopyTo writes a copy of the file that holds one consistent state, while
// others read, and returns its length in bytes.
func (r *Registry) CopyTo(w io.Writer) (int64, error) { return r.store.Backup(w) }

// History returns the registry's own, for a copy or an export. It is good as
// long as the transaction is.
func (tx *Tx) History() History { return ownHistory{tx} }

type ownHistory struct{ tx *Tx }

func (h ownHistory) Entries(fn func(journal.Entry, [32]byte) error) error {
	return records(h.tx.s, 0, every, func(seq uint64, record []byte) error {
		e, hash, err := journal.Open(seq, record)
		if err != nil {
			return err
		}
		e.Payload = bytes.Clone(e.Payload)
		return fn(e, hash)
	})
}

func (h ownHistory) File(sha256 string) ([]byte, error) {
	key, err := hex.DecodeString(sha256)
	data := h.tx.s.Get(treeAttachments, key)
	if err != nil || data == nil {
		return nil, &NotFoundError{What: "attachment", ID: sha256}
	}
	return data, nil
}

// CreateFrom makes a new registry at path from a history: every entry with its
// number, time, person and hash as it was, the files, and the views made anew.
// last, if it is not nil, may add entries of its own. The file appears whole,
// or not at all.
//
// It returns a [*DamageError] where an entry does not give the hash that it is
// said to have, and [ErrExists] where something has the name already.
func CreateFrom(path string, h History, hand Hand, last func(*Tx) error) (journal.Head, error) {
	if _, err := os.Lstat(path); err == nil {
		return journal.Head{}, fmt.Errorf("registry %q: %w; want a new name", path, ErrExists)
	}
	if _, err := os.Stat(filepath.Dir(path)); errors.Is(err, os.ErrNotExist) {
		return journal.Head{}, fmt.Errorf("registry %q: %w", path, &RuleError{"its folder is missing", "want a folder that is there"})
	}
	b := &builder{path: fmt.Sprintf("%s.new-%d", path, hand.instant().UnixNano()), hand: hand, history: h}
	defer b.giveUp()
	if err := h.Entries(b.add); err != nil {
		return journal.Head{}, err
	}
	if err := b.flush(last); err != nil {
		return journal.Head{}, err
	}
	return b.head, b.finish(path)
}

// batch is how many entries go into one transaction, and batchBytes how long
// they may be: more would be held in memory, less would wait for the disk.
const (
	batch      = 1000
	batchBytes = 32 << 20
)

// A builder fills a file under another name, batch by batch.
type builder struct {
	path    string
	hand    Hand
	history History
	store   *store.Store // nil until the file is there
	prev    journal.Head // of the entries that were checked
	head    journal.Head // of what is in the file
	waiting []formed
	size    int
}

// A formed is an entry with its payload in canonical form.
type formed struct {
	journal.Entry
	form journal.Form
}

func (b *builder) add(e journal.Entry, hash [32]byte) error {
	form, err := journal.FormOf(e.Payload)
	if err != nil {
		return &DamageError{Seq: e.Seq, Reason: err.Error()}
	}
	_, head, err := journal.SealForm(b.prev, e, form)
	if err != nil {
		return &DamageError{Seq: e.Seq, Reason: err.Error()}
	}
	if head.Hash != hash {
		return &DamageError{Seq: e.Seq, Reason: fmt.Sprintf("the hash in it is not that of its text after entry %d; want the one it was written with", b.prev.Seq)}
	}
	b.prev = head
	b.hand.Reached(e.Seq)
	b.waiting, b.size = append(b.waiting, formed{e, form}), b.size+len(e.Payload)
	if len(b.waiting) >= batch || b.size >= batchBytes {
		return b.flush(nil)
	}
	return nil
}

// flush writes what waits, in one transaction.
func (b *builder) flush(last func(*Tx) error) error {
	fill := func(s *store.Tx) error {
		tx := &Tx{s: s, hand: b.hand, now: b.hand.instant()}
		for _, e := range b.waiting {
			if err := b.enter(tx, e); err != nil {
				return err
			}
		}
		if last != nil {
			if err := last(tx); err != nil {
				return err
			}
		}
		var err error
		b.head, err = tx.Head()
		return err
	}
	if b.prev.Seq == 0 {
		return &DamageError{Seq: 1, Reason: "missing, the history is empty; want the entry that every registry begins with"}
	}
	var err error
	if b.store == nil {
		if err = store.Create(b.path, store.Options{WriteOnce: writeOnce(), Pieces: pieces()}, fill); err == nil {
			b.store, err = store.Open(b.path, store.Options{Timeout: patience, WriteOnce: writeOnce(), Pieces: pieces()})
		}
	} else {
		err = b.store.Update(fill)
	}
	b.waiting, b.size = b.waiting[:0], 0
	return err
}

// enter puts one entry with its file in its place.
func (b *builder) enter(tx *Tx, e formed) error {
	prev, err := tx.Head()
	if err != nil {
		return err
	}
	if e.Kind == KindAttachment {
		if err := b.bring(tx, e.Entry); err != nil {
			return err
		}
	}
	if err := tx.write(prev, e.Entry, e.form); err != nil {
		return err
	}
	if err := tx.apply(e.Entry); err != nil {
		return noFollow(e.Entry, err)
	}
	return nil
}

func (b *builder) bring(tx *Tx, e journal.Entry) error {
	var a Attachment
	if err := decode(e, &a); err != nil {
		return err
	}
	key, err := hex.DecodeString(a.SHA256)
	if err != nil || len(key) != 32 {
		return &DamageError{Seq: e.Seq, Reason: fmt.Sprintf("names a file by %.80q; want a SHA-256", a.SHA256)}
	}
	if tx.s.Get(treeAttachments, key) == nil {
		data, err := b.history.File(a.SHA256)
		if err != nil {
			return &DamageError{Seq: e.Seq, Reason: fmt.Sprintf("attachment: %v; want its bytes as they were entered", err)}
		}
		if err := tx.s.Put(treeAttachments, key, data); err != nil {
			return err
		}
	}
	if reason := tx.fileFault(a); reason != "" {
		return &DamageError{Seq: e.Seq, Reason: "attachment: " + reason}
	}
	return nil
}

// finish gives the file its name, unless something took it meanwhile.
func (b *builder) finish(path string) error {
	if err := b.store.Close(); err != nil {
		return err
	}
	b.store = nil
	return Place(b.path, path)
}

func (b *builder) giveUp() {
	if b.store != nil {
		b.store.Close()
	}
	os.Remove(b.path)
}

// Place gives a finished file its name, and never takes one that something has.
// A second link does that in one step; where there are none, the name is looked
// at and then taken.
func Place(temp, path string) error {
	taken := fmt.Errorf("registry %q: %w; want a new name", path, ErrExists)
	err := os.Link(temp, path)
	switch {
	case err == nil:
		err = os.Remove(temp)
	case os.IsExist(err):
		return taken
	default:
		if _, there := os.Lstat(path); there == nil {
			return taken
		}
		err = os.Rename(temp, path)
	}
	if folder, opened := os.Open(filepath.Dir(path)); opened == nil {
		// The name is durable with its folder, where a system lets one sync it.
		_ = folder.Sync()
		folder.Close()
	}
	return err
}

// PutAside moves a registry out of the way under a name of its own in the same
// folder, and returns that name. It waits until nobody has the file open, and
// refuses with [ErrBusy]; a damaged one is moved as it is.
func PutAside(path string, hand Hand) (aside string, err error) {
	r, err := Open(path, hand)
	switch {
	case err == nil && runtime.GOOS == "windows":
		err = r.Close() // an open file cannot be renamed there
	case err == nil:
		defer r.Close()
	}
	if err != nil && !damaged(err) {
		return "", err
	}
	aside = path + ".replaced-" + hand.instant().Format("20060102T150405.000Z")
	if _, err := os.Lstat(aside); err == nil {
		return "", fmt.Errorf("registry %q: %w; want that name free", aside, ErrExists)
	}
	return aside, os.Rename(path, aside)
}

// damaged reports whether a file could not be opened because of what is in it.
func damaged(err error) bool {
	var file *FileDamageError
	var entry *DamageError
	return errors.As(err, &file) || errors.As(err, &entry)
}
