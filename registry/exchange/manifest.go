package exchange

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"time"

	"example.org/wring/registry"
)

// form is the number of the form of backups and exports that this program
// writes; it reads that one and every earlier one.
const form = 1

// A Manifest stands beside a backup, or in an export, and says what it holds.
type Manifest struct {
	Form        int       `json:"form"`
	Registry    string    `json:"registry"` // the registry's own identity
	Head        string    `json:"head"`     // number of entries and hash of the last
	Entries     uint64    `json:"entries"`
	Attachments int       `json:"attachments"`
	At          time.Time `json:"at"`      // when it was made, UTC
	Program     string    `json:"program"` // that made it

	// File, Bytes and SHA256 are those of a backup; empty in an export.
	File   string `json:"file,omitempty"`
	Bytes  int64  `json:"bytes,omitempty"`
	SHA256 string `json:"sha256,omitempty"`
}

// An Error says of a backup or an export what is not as it should be.
type Error struct {
	Path  string
	Found string
	Want  string
}

func (e *Error) Error() string { return fmt.Sprintf("%s: %s; want %s", e.Path, e.Found, e.Want) }

// openPlain opens an ordinary file, as every part of a copy is: a pipe would be
// waited for for ever.
func openPlain(path string) (*os.File, error) {
	info, err := os.Stat(path)
	switch {
	case err != nil:
		return nil, err
	case info.IsDir():
		return os.Open(path) // said by the first reading
	case !info.Mode().IsRegular():
		return nil, &Error{path, "no ordinary file", "the one that was written"}
	}
	return os.Open(path)
}

// maxManifest is the longest manifest that is read, in bytes: a house rule, a
// hundred times what is written.
const maxManifest = 100 << 10

// readManifest reads a manifest; nil where there is none.
func readManifest(path string) (*Manifest, error) {
	f, err := openPlain(path)
	if errors.Is(err, os.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	defer f.Close()
	text, err := io.ReadAll(io.LimitReader(f, maxManifest+1))
	if err != nil {
		return nil, err
	}
	var m Manifest
	if len(text) > maxManifest || json.Unmarshal(text, &m) != nil || m.Form < 1 {
		return nil, &Error{path, "no manifest", "one as backup and export write it"}
	}
	if m.Form > form {
		return nil, &Error{path, fmt.Sprintf("form %d, written by a newer program (%.60s)", m.Form, m.Program), fmt.Sprintf("form %d or a newer program", form)}
	}
	return &m, nil
}

func (m Manifest) write(path string) error {
	text, err := json.MarshalIndent(m, "", "  ")
	if err != nil {
		return err
	}
	return writeFile(path, append(text, '\n'))
}

// writeFile makes a new file of mode 0600, durable when it returns.
func writeFile(path string, data []byte) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	return errors.Join(err, f.Sync(), f.Close())
}

// opening returns the registry's identity and head.
func opening(tx *registry.Tx) (id, head string, err error) {
	o, err := tx.House()
	if err != nil {
		return "", "", err
	}
	h, err := tx.Head()
	return o.Registry, h.String(), err
}

// manifestOf is where the manifest of a backup stands.
func manifestOf(backup string) string { return backup + ".manifest.json" }

func inFolder(dir, name string) string { return filepath.Join(dir, name) }
