package registry

import (
	"crypto/rand"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"os"
	"sync/atomic"
	"time"

	"example.org/wring/calib"
	"example.org/wring/registry/journal"
	"example.org/wring/registry/store"
)

// A Hand is who and what writes: the person, the program with its version, and
// the clock, which is read once for each transaction.
type Hand struct {
	Person  string
	Program string
	Now     func() time.Time

	// Watch is told of each entry that long work has come to; nil: nobody
	// watches.
	Watch func(entry uint64)
}

// Reached tells who watches.
func (h Hand) Reached(entry uint64) {
	if h.Watch != nil {
		h.Watch(entry)
	}
}

// instant reads the clock as entries keep it: UTC, whole milliseconds.
func (h Hand) instant() time.Time { return h.Now().UTC().Truncate(time.Millisecond) }

// patience is how long opening waits for another process (house rule: long
// enough for its commit, short enough for a person).
const patience = 3 * time.Second

// A Registry is an open file. It is opened late and closed soon: never held
// over a question to a person, nor over the making of a paper.
type Registry struct {
	store *store.Store
	hand  Hand
	held  atomic.Pointer[recall] // of the last update; nil while one is under way, and after one that failed
}

// Create makes a registry at path with its first entry, and refuses with
// [ErrExists] where anything stands there already. It is all there or not at
// all.
func Create(path string, house calib.House, hand Hand) error {
	id := make([]byte, 16)
	if _, err := rand.Read(id); err != nil {
		return fmt.Errorf("registry identity: %w", err)
	}
	return store.Create(path, store.Options{WriteOnce: writeOnce(), Pieces: pieces()}, func(s *store.Tx) error {
		tx := &Tx{s: s, hand: hand, now: hand.instant()}
		_, err := tx.append(KindHouse, Opening{Registry: hex.EncodeToString(id), House: house})
		return err
	})
}

// Open opens an existing registry for reading and writing.
func Open(path string, hand Hand) (*Registry, error) {
	return open(path, hand, store.Options{Timeout: patience, WriteOnce: writeOnce(), Pieces: pieces()})
}

// OpenReading opens an existing registry for reading; others may read too.
func OpenReading(path string) (*Registry, error) {
	return open(path, Hand{}, store.Options{ReadOnly: true, Timeout: patience})
}

// writeOnce names the trees in which the file itself refuses a second writing.
func writeOnce() []string { return []string{treeJournal, treeAttachments} }

// pieces names the trees whose values fill pages best in pieces: entries have
// some kilobytes.
func pieces() []string { return []string{treeJournal} }

// open opens the file and makes sure that it still has its name then: while
// one waits for the lock, a restore may have put the file aside, and what was
// entered in it would be lost.
func open(path string, hand Hand, o store.Options) (*Registry, error) {
	before, _ := os.Lstat(path)
	s, err := store.Open(path, o)
	if err != nil {
		return nil, err
	}
	if after, err := os.Lstat(path); err != nil || before == nil || !os.SameFile(before, after) {
		s.Close()
		return nil, fmt.Errorf("registry %q: %w: it was replaced while it was being opened; want the same again", path, ErrBusy)
	}
	return &Registry{store: s, hand: hand}, nil
}

// Close lets others in.
func (r *Registry) Close() error { return r.store.Close() }

// View runs fn on one consistent state.
func (r *Registry) View(fn func(*Tx) error) error {
	return r.store.View(func(s *store.Tx) error { return fn(&Tx{s: s}) })
}

// Update runs fn and makes all of its entries durable, or none of them. An
// error from fn is returned unchanged and leaves the file as it was.
func (r *Registry) Update(fn func(*Tx) error) error {
	tx := &Tx{hand: r.hand, now: r.hand.instant()}
	if held := r.held.Swap(nil); held != nil {
		tx.recall = *held
	}
	err := r.store.Update(func(s *store.Tx) error {
		tx.s = s
		return fn(tx)
	})
	if err == nil {
		r.held.Store(&tx.recall)
	}
	return err
}

// A Tx is one transaction; it dies with the function that it was handed to.
type Tx struct {
	s      trees
	hand   Hand
	now    time.Time
	recall recall

	head journal.Head // of the entry that was written last here; zero: none was
	made any          // its payload; nil where it was not made here
}

// Head returns the sequence number and chain hash of the last entry.
func (tx *Tx) Head() (journal.Head, error) {
	if tx.head.Seq > 0 {
		return tx.head, nil
	}
	key, record := tx.s.Last(treeJournal)
	if key == nil {
		return journal.Head{}, nil
	}
	seq, err := seqOf(key)
	if err != nil {
		return journal.Head{}, err
	}
	_, hash, err := journal.Open(seq, record)
	if err != nil {
		return journal.Head{}, err
	}
	return journal.Head{Seq: seq, Hash: hash}, nil
}

// append seals the payload as the next entry, writes it, and brings every view
// up to it.
func (tx *Tx) append(kind string, payload any) (journal.Head, error) {
	form, err := journal.FormOf(payload)
	if err != nil {
		return journal.Head{}, fmt.Errorf("entry %q: %w", kind, err)
	}
	return tx.appendForm(kind, payload, form)
}

// appendForm is append of a payload whose canonical form is known.
func (tx *Tx) appendForm(kind string, payload any, form journal.Form) (journal.Head, error) {
	prev, err := tx.Head()
	if err != nil {
		return journal.Head{}, err
	}
	e := journal.Entry{Seq: prev.Seq + 1, At: tx.now, Person: tx.hand.Person, Kind: kind, Program: tx.hand.Program, Payload: form.Text()}
	if err := tx.write(prev, e, form); err != nil {
		return journal.Head{}, err
	}
	head := tx.head
	tx.made = payload
	return head, tx.apply(e)
}

// write writes one entry after the head and moves the head on to it.
func (tx *Tx) write(prev journal.Head, e journal.Entry, form journal.Form) error {
	record, head, err := journal.SealForm(prev, e, form)
	if err != nil {
		return err
	}
	if err := tx.s.Put(treeJournal, seqKey(head.Seq), record); err != nil {
		return err
	}
	tx.head, tx.made = head, nil
	return nil
}

// Entry returns one entry and the head that the journal had when it was made.
func (tx *Tx) Entry(seq uint64) (journal.Entry, journal.Head, error) {
	record := tx.s.Get(treeJournal, seqKey(seq))
	if record == nil {
		return journal.Entry{}, journal.Head{}, &NotFoundError{What: "entry", ID: fmt.Sprint(seq)}
	}
	e, hash, err := journal.Open(seq, record)
	return e, journal.Head{Seq: seq, Hash: hash}, err
}

// payload decodes the payload of one entry of one kind.
func (tx *Tx) payload(seq uint64, kind string, into any) error {
	e, _, err := tx.Entry(seq)
	if err != nil {
		return err
	}
	if e.Kind != kind {
		return &NotFoundError{What: kind, ID: fmt.Sprintf("entry %d", seq)}
	}
	return decode(e, into)
}

func decode(e journal.Entry, into any) error {
	if err := json.Unmarshal(e.Payload, into); err != nil {
		return &DamageError{Seq: e.Seq, Reason: fmt.Sprintf("payload of %q: %v", e.Kind, err)}
	}
	return nil
}
