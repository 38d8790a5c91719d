package registry

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"time"

	"example.org/wring/registry/journal"
	"example.org/wring/registry/store"
)

// A Proof is what [Registry.Verify] found of a registry whose journal is
// whole.
type Proof struct {
	Head        journal.Head // of the journal; its number is how many entries there are
	Registry    string       // the registry's own identity
	Checks      int          // entries of checks, amended ones with them
	Surveys     int          // entries of surveys
	Studies     int          // entries of studies and comparisons
	Attachments int          // files that entries name
	Bytes       int64        // of those files

	// Backward lists the entries whose clock stands before that of the entry
	// before. That is no damage: clocks are set back, and machines differ.
	Backward []ClockStep

	// Views are those that are other than the journal gives them. They can be
	// made again: see Rebuild.
	Views []ViewFault

	// Files are the attachments that are not what their entries say.
	Files []FileFault

	// Lone says that the last commit was interrupted or was damaged later:
	// only one of the file's two meta pages can be used, and what is read may
	// be one commit old. The head on the last certificate tells which.
	Lone bool
}

// Sound reports whether everything in the file is as it was written.
func (p Proof) Sound() bool { return len(p.Views) == 0 && len(p.Files) == 0 }

// A ClockStep is an entry that was made before the one before it, by the clock.
type ClockStep struct {
	Entry  uint64    `json:"entry"`
	Before time.Time `json:"before"` // clock of the entry before
	At     time.Time `json:"at"`     // clock of the entry
}

// A ViewFault says how many rows of a view are not as the journal gives them.
type ViewFault struct {
	View    string `json:"view"`
	Changed int    `json:"changed"` // other contents, or not there
	Missing int    `json:"missing"`
	Extra   int    `json:"extra"`
}

func (f ViewFault) String() string {
	return fmt.Sprintf("view %q: %d changed, %d missing, %d too many", f.View, f.Changed, f.Missing, f.Extra)
}

// A FileFault is an attachment that is missing, changed, or named by no entry
// (Entry is 0 then).
type FileFault struct {
	Entry  uint64 `json:"entry,omitempty"`
	SHA256 string `json:"sha256"`
	Reason string `json:"reason"`
}

// Verify walks the whole journal in one consistent state, makes every view
// again beside it, and compares; then every attachment is held against its
// hash. eachCheck, if it is not nil, is called with every kept check once the
// chain up to it is proved.
//
// The first bad entry ends it, with a [*DamageError] that names it. It takes
// as long as reading the file does; others may read meanwhile.
func (r *Registry) Verify(eachCheck func(*Tx, Kept) error) (Proof, error) {
	return r.VerifyEach(Each{Check: eachCheck})
}

// An Each is what is done with everything that was computed, once the chain up
// to it is proved; nil: nothing.
type Each struct {
	Check      func(*Tx, Kept) error
	Survey     func(*Tx, Surveyed) error
	Study      func(*Tx, Studied) error
	Comparison func(*Tx, Compared) error
}

// VerifyEach is Verify with surveys, studies and comparisons too.
func (r *Registry) VerifyEach(each Each) (Proof, error) {
	var p Proof
	stat, err := r.store.Stat()
	if err != nil {
		return p, err
	}
	p.Lone = stat.LoneMeta
	if err := r.store.CheckPages(); err != nil {
		return p, err
	}
	err = r.store.View(func(s *store.Tx) error {
		v := verification{proof: &p, tx: &Tx{s: s}, shadow: newShadow(s), files: map[string]bool{}, each: each}
		return v.run()
	})
	return p, err
}

type verification struct {
	proof  *Proof
	tx     *Tx
	shadow *shadow
	each   Each
	files  map[string]bool // hashes that entries name
	last   time.Time
}

func (v *verification) run() error {
	var prev journal.Head
	again := &Tx{s: v.shadow}
	err := records(v.tx.s, 0, every, func(seq uint64, record []byte) error {
		head, e, err := journal.Check(prev, seq, record)
		if err != nil {
			return err
		}
		prev, v.shadow.now = head, seq
		if err := again.apply(e); err != nil {
			return noFollow(e, err)
		}
		return v.entry(head, e)
	})
	if err != nil {
		return err
	}
	if prev.Seq == 0 {
		return &DamageError{Seq: 1, Reason: "missing, the journal is empty; want the entry that every registry begins with"}
	}
	v.proof.Head = prev
	o, err := v.tx.House()
	if err != nil {
		return err
	}
	v.proof.Registry = o.Registry
	if v.proof.Views, err = v.shadow.differences(); err != nil {
		return err
	}
	return v.strangers()
}

// noFollow says of an entry whose hash is right that it does not follow from
// those before it.
func noFollow(e journal.Entry, err error) error {
	switch err.(type) {
	case *NotFoundError, *TakenError:
		return &DamageError{Seq: e.Seq, Reason: fmt.Sprintf("%q: %v, in the entries before it; want what it names there", e.Kind, err)}
	}
	return err
}

func (v *verification) entry(head journal.Head, e journal.Entry) error {
	if e.At.Before(v.last) {
		v.proof.Backward = append(v.proof.Backward, ClockStep{head.Seq, v.last, e.At})
	}
	v.last = e.At
	switch {
	case e.Kind == KindAttachment:
		return v.attachment(e)
	case isCheck(e.Kind):
		v.proof.Checks++
		if v.each.Check == nil {
			return nil
		}
		k, err := keptOf(e, head)
		if err != nil {
			return err
		}
		return v.each.Check(v.tx, k)
	case e.Kind == KindSurvey:
		v.proof.Surveys++
		if v.each.Survey == nil {
			return nil
		}
		k := Surveyed{Entry: e, Head: head}
		if err := decode(e, &k.Survey); err != nil {
			return err
		}
		return v.each.Survey(v.tx, k)
	case e.Kind == KindStudy, e.Kind == KindComparison:
		return v.studied(head, e)
	}
	return nil
}

func (v *verification) studied(head journal.Head, e journal.Entry) error {
	v.proof.Studies++
	if e.Kind == KindStudy {
		k := Studied{Entry: e, Head: head}
		err := decode(e, &k.Study)
		if err == nil && v.each.Study != nil {
			err = v.each.Study(v.tx, k)
		}
		return err
	}
	k := Compared{Entry: e, Head: head}
	err := decode(e, &k.Comparison)
	if err == nil && v.each.Comparison != nil {
		err = v.each.Comparison(v.tx, k)
	}
	return err
}

func (v *verification) attachment(e journal.Entry) error {
	var a Attachment
	if err := decode(e, &a); err != nil {
		return err
	}
	if v.files[a.SHA256] {
		return nil
	}
	v.files[a.SHA256] = true
	v.proof.Attachments++
	v.proof.Bytes += a.Size
	if reason := v.tx.fileFault(a); reason != "" {
		v.proof.Files = append(v.proof.Files, FileFault{e.Seq, a.SHA256, reason})
	}
	return nil
}

// strangers finds files that no entry names.
func (v *verification) strangers() error {
	return v.tx.s.Range(treeAttachments, nil, nil, func(k, data []byte) error {
		name := hex.EncodeToString(k)
		if !v.files[name] {
			v.proof.Files = append(v.proof.Files, FileFault{SHA256: name, Reason: fmt.Sprintf("%d bytes that no entry names; want none", len(data))})
		}
		return nil
	})
}

// fileFault says what is wrong with an attachment's bytes; nothing if they are
// those that its entry names.
func (tx *Tx) fileFault(a Attachment) string {
	key, err := hex.DecodeString(a.SHA256)
	if err != nil || len(key) != sha256.Size {
		return fmt.Sprintf("named by %.80q; want a SHA-256", a.SHA256)
	}
	data := tx.s.Get(treeAttachments, key)
	sum := sha256.Sum256(data)
	switch {
	case data == nil:
		return "its bytes are missing; want them as they were entered"
	case !bytes.Equal(sum[:], key):
		return "its bytes have another SHA-256; want them as they were entered"
	case int64(len(data)) != a.Size:
		return fmt.Sprintf("%d bytes; want %d", len(data), a.Size)
	}
	return ""
}

// CheckStructure runs the check of the library under the file. It belongs in a
// process of its own with a time limit: see store.CheckStructure.
func CheckStructure(path string) error { return store.CheckStructure(path) }
