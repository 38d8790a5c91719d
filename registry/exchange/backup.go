package exchange

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"example.org/wring/registry"
	"example.org/wring/registry/journal"
)

// Backup writes a copy of an open registry to path, and its manifest beside it.
// Others may read the registry meanwhile; it is closed once the copy is
// written, so that they may write while the copy is proved. The copy is read back, and its whole
// journal, views and files are proved, before it gets its name; nothing that
// has the name is touched. Its mode is 0600.
func Backup(r *registry.Registry, path string, hand registry.Hand) (Manifest, error) {
	for _, p := range []string{path, manifestOf(path)} {
		if _, err := os.Lstat(p); err == nil {
			return Manifest{}, errors.Join(&Error{p, "something has this name", "a new one"}, r.Close())
		}
	}
	temp, m, err := copyOut(r, path)
	err = errors.Join(err, r.Close())
	defer os.Remove(temp) // gone already where all went well
	if err != nil {
		return Manifest{}, err
	}
	proof, err := prove(temp, hand)
	if err != nil {
		return Manifest{}, fmt.Errorf("%s: the copy, read back: %w", path, err)
	}
	m.Form, m.Program, m.At, m.File = form, hand.Program, hand.Now().UTC(), filepath.Base(path)
	m.Registry, m.Head, m.Entries, m.Attachments = proof.Registry, proof.Head.String(), proof.Head.Seq, proof.Attachments
	if err := m.write(manifestOf(path)); err != nil {
		return Manifest{}, err
	}
	if err := registry.Place(temp, path); err != nil {
		return Manifest{}, errors.Join(err, os.Remove(manifestOf(path)))
	}
	return m, nil
}

// copyOut writes the copy under another name in the same folder.
func copyOut(r *registry.Registry, path string) (temp string, m Manifest, err error) {
	f, err := os.CreateTemp(filepath.Dir(path), filepath.Base(path)+".new-*") // mode 0600
	if err != nil {
		return "", m, err
	}
	sum := sha256.New()
	m.Bytes, err = r.CopyTo(io.MultiWriter(f, sum))
	m.SHA256 = hex.EncodeToString(sum.Sum(nil))
	return f.Name(), m, errors.Join(err, f.Sync(), f.Close())
}

// prove opens a registry and verifies it whole.
func prove(path string, hand registry.Hand) (registry.Proof, error) {
	r, err := registry.OpenReading(path)
	if err != nil {
		return registry.Proof{}, err
	}
	defer r.Close()
	p, err := r.Verify(func(_ *registry.Tx, k registry.Kept) error { hand.Reached(k.Head.Seq); return nil })
	switch {
	case err != nil:
		return p, err
	case len(p.Files) > 0:
		return p, &registry.DamageError{Seq: p.Files[0].Entry, Reason: "attachment " + p.Files[0].SHA256 + ": " + p.Files[0].Reason}
	}
	return p, nil
}

// CheckBackup proves a backup: its bytes against the manifest beside it, if
// there is one, and its whole journal and files. Views that differ do not
// count, since a restore makes them anew.
func CheckBackup(path string, hand registry.Hand) (Manifest, error) {
	m, err := readManifest(manifestOf(path))
	if err != nil {
		return Manifest{}, err
	}
	p, err := prove(path, hand)
	var bad *registry.DamageError
	if errors.As(err, &bad) {
		return Manifest{}, fmt.Errorf("%s: %w", path, err)
	}
	if err != nil {
		return Manifest{}, err
	}
	sum, n, err := sumOf(path)
	if err != nil {
		return Manifest{}, err
	}
	if m != nil && (m.Bytes != n || m.SHA256 != sum) {
		return Manifest{}, &registry.FileDamageError{Path: path, Reason: fmt.Sprintf("%d bytes with another SHA-256 than its manifest says; want %d bytes as they were written", n, m.Bytes)}
	}
	got := Manifest{Form: form, Registry: p.Registry, Head: p.Head.String(), Entries: p.Head.Seq, Attachments: p.Attachments,
		File: filepath.Base(path), Bytes: n, SHA256: sum}
	if m != nil {
		got.At, got.Program = m.At, m.Program
		if m.Head != got.Head {
			return Manifest{}, &registry.FileDamageError{Path: path, Reason: fmt.Sprintf("its head is %s, and the manifest says %.90s; want the copy that belongs to it", got.Head, m.Head)}
		}
	}
	return got, nil
}

func sumOf(path string) (sum string, n int64, err error) {
	f, err := openPlain(path)
	if err != nil {
		return "", 0, err
	}
	defer f.Close()
	h := sha256.New()
	n, err = io.Copy(h, f)
	return hex.EncodeToString(h.Sum(nil)), n, err
}

// A Restored is what a restore or an import brought back.
type Restored struct {
	Manifest Manifest     // of what was brought back
	Head     journal.Head // of the registry as it is now
	Aside    string       // the name under which an older registry was put aside; empty: there was none
}

// Restore makes a registry at path from a backup, which is proved first, and
// enters that it did. Where a registry stands at path it refuses, unless
// replace is given: then the old one is put aside under another name, and never
// deleted.
func Restore(backup, path string, hand registry.Hand, replace bool) (Restored, error) {
	m, err := CheckBackup(backup, hand)
	if err != nil {
		return Restored{}, err
	}
	r, err := registry.OpenReading(backup)
	if err != nil {
		return Restored{}, err
	}
	defer r.Close()
	out := Restored{Manifest: m}
	err = r.View(func(tx *registry.Tx) error {
		out.Aside, out.Head, err = rebuildAt(path, tx.History(), hand, replace, func(replaced string) registry.Restore {
			return registry.Restore{Head: m.Head, Name: m.File, SHA256: m.SHA256, Attachments: m.Attachments, Replaced: replaced}
		})
		return err
	})
	return out, err
}

// rebuildAt makes the registry under another name first, so that what stands at
// path is touched only when the new one is whole.
func rebuildAt(path string, h registry.History, hand registry.Hand, replace bool, entry func(replaced string) registry.Restore) (aside string, head journal.Head, err error) {
	_, missing := os.Lstat(path)
	if missing != nil {
		head, err = registry.CreateFrom(path, h, hand, func(tx *registry.Tx) error { _, err := tx.AddRestore(entry("")); return err })
		return "", head, err
	}
	if !replace {
		return "", head, fmt.Errorf("registry %q: %w; want a new name, or leave to replace it", path, registry.ErrExists)
	}
	old, err := headOf(path)
	if err != nil {
		return "", head, err
	}
	temp := fmt.Sprintf("%s.restored-%d", path, hand.Now().UnixNano())
	defer os.Remove(temp)
	head, err = registry.CreateFrom(temp, h, hand, func(tx *registry.Tx) error { _, err := tx.AddRestore(entry(old)); return err })
	if err != nil {
		return "", head, err
	}
	aside, err = registry.PutAside(path, hand)
	if err != nil {
		return "", head, err
	}
	if err := registry.Place(temp, path); err != nil {
		return "", head, errors.Join(err, os.Rename(aside, path))
	}
	return aside, head, nil
}

// headOf returns the head of a registry that is to be replaced; nothing where
// it is damaged, which is a reason to replace it.
func headOf(path string) (head string, err error) {
	r, err := registry.OpenReading(path)
	if err == nil {
		defer r.Close()
		err = r.View(func(tx *registry.Tx) error { _, head, err = opening(tx); return err })
	}
	var file *registry.FileDamageError
	var entry *registry.DamageError
	if errors.As(err, &file) || errors.As(err, &entry) {
		return "", nil
	}
	return head, err
}
