package aside

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
)

// The file is three lines: the form with its version, the SHA-256 of what
// follows, and the content in JSON.
//
//	wring entry 1
//	sha256 5f2c…                      64 hexadecimal digits
//	{"gauge":"MIC-014",…}
//
// A later form has another number in the first line and is refused as newer.
const (
	title    = "wring entry "
	form     = 1
	mostSize = 1 << 20 // bytes; the largest check is a fifth of it (house rule)
)

// ErrTaken is returned by Save and Remove where another process wrote the file
// since it was read.
var ErrTaken = errors.New("another process has gone on with it")

// errDamaged, errNewer and errForeign say what was found in a file.
var (
	errDamaged = errors.New("damaged")
	errNewer   = errors.New("written by a newer program")
	errForeign = errors.New("no entry that was left aside")
)

// A File is one such file and what this process knows to stand in it.
type File struct {
	path  string
	stood []byte // the bytes as read or last written; nil: no file
}

// At names a file. Nothing is read or made.
func At(path string) *File { return &File{path: path} }

// Path returns the name.
func (f *File) Path() string { return f.path }

// There reports whether a file is known to stand there.
func (f *File) There() bool { return f.stood != nil }

// Read decodes the content into v. It reports false where there is no file;
// what cannot be read is an error, and [File.PutAway] puts it out of the way.
func (f *File) Read(v any) (bool, error) {
	data, err := f.now()
	if err != nil || data == nil {
		return false, err
	}
	f.stood = data
	content, err := open(data)
	if err == nil && json.Unmarshal(content, v) != nil {
		err = errDamaged
	}
	return err == nil, err
}

// open takes the content out of its form.
func open(data []byte) ([]byte, error) {
	first, rest, _ := bytes.Cut(data, []byte("\n"))
	number, ours := strings.CutPrefix(string(first), title)
	version, err := strconv.Atoi(number)
	switch {
	case !ours || err != nil || version < 1:
		return nil, errForeign
	case version > form:
		return nil, errNewer
	}
	line, content, _ := bytes.Cut(rest, []byte("\n"))
	sum := sha256.Sum256(content)
	if string(line) != "sha256 "+hex.EncodeToString(sum[:]) {
		return nil, errDamaged
	}
	return content, nil
}

// now returns the bytes that stand there; nil where no file does.
func (f *File) now() ([]byte, error) {
	info, err := os.Lstat(f.path)
	switch {
	case errors.Is(err, os.ErrNotExist):
		return nil, nil
	case err != nil:
		return nil, err
	case !info.Mode().IsRegular() || info.Size() > mostSize:
		return nil, errForeign
	}
	return os.ReadFile(f.path)
}

// Save puts v in the place of what stood there, durably: after it returns, the
// end of the process or of the current loses nothing. Two processes that save
// in the same millisecond are not told apart; two people are.
func (f *File) Save(v any) error {
	content, err := json.Marshal(v)
	if err != nil {
		return err
	}
	sum := sha256.Sum256(content)
	data := fmt.Appendf(nil, "%s%d\nsha256 %s\n%s", title, form, hex.EncodeToString(sum[:]), content)
	if err := f.untouched(); err != nil {
		return err
	}
	if err := replace(f.path, data); err != nil {
		return err
	}
	f.stood = data
	return nil
}

// Remove takes the file away; none is as good.
func (f *File) Remove() error {
	if f.stood == nil {
		return nil
	}
	if err := f.untouched(); err != nil {
		return err
	}
	f.stood = nil
	return os.Remove(f.path)
}

// PutAway renames the file to the first free name after it, and returns that.
func (f *File) PutAway() (string, error) {
	for n := 1; ; n++ {
		name := fmt.Sprintf("%s.old%d", f.path, n)
		if _, err := os.Lstat(name); !errors.Is(err, os.ErrNotExist) {
			continue
		}
		f.stood = nil
		return name, os.Rename(f.path, name)
	}
}

func (f *File) untouched() error {
	data, err := f.now()
	if err == nil && !bytes.Equal(data, f.stood) {
		err = ErrTaken
	}
	return err
}

// replace writes under another name in the same folder, then renames.
func replace(path string, data []byte) error {
	temp := fmt.Sprintf("%s.%d", path, os.Getpid())
	file, err := os.OpenFile(temp, os.O_WRONLY|os.O_CREATE|os.O_TRUNC, 0o600)
	if err != nil {
		return err
	}
	_, err = file.Write(data)
	if err = errors.Join(err, file.Sync(), file.Close()); err == nil {
		err = os.Rename(temp, path)
	}
	if err != nil {
		return errors.Join(err, os.Remove(temp))
	}
	if folder, err := os.Open(filepath.Dir(path)); err == nil {
		_ = folder.Sync() // not every system has it; the file itself is written
		folder.Close()
	}
	return nil
}
