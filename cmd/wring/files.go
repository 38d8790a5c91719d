package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"example.org/wring/calib/sheet"
)

// readBounded reads a file that a person handed in, and refuses one that is
// too large without reading it whole.
func readBounded(name string, r io.Reader) ([]byte, error) {
	data, err := io.ReadAll(io.LimitReader(r, sheet.MaxSize+1))
	if err != nil {
		return nil, at(name, err)
	}
	if len(data) > sheet.MaxSize {
		return nil, fmt.Errorf("%s: more than %d KiB; want a sheet that a person can have written", name, sheet.MaxSize/1024)
	}
	return data, nil
}

// readInput reads a named file, or standard input for "-".
func (d desk) readInput(name string) (shown string, data []byte, err error) {
	if name == "-" {
		data, err = readBounded("standard input", d.In)
		return "standard input", data, err
	}
	f, err := os.Open(name)
	if err != nil {
		return name, nil, plainPathError(err)
	}
	defer f.Close()
	data, err = readBounded(name, f)
	return name, data, err
}

// plainPathError says "FILE: no such file" instead of the system call.
func plainPathError(err error) error {
	var p *os.PathError
	if errors.As(err, &p) {
		return at(p.Path, err)
	}
	return err
}

// at puts what the system said of a file behind the name that a person knows
// it by.
func at(name string, err error) error {
	var p *os.PathError
	var l *os.LinkError
	switch {
	case err == nil:
		return nil
	case errors.As(err, &p):
		err = p.Err
	case errors.As(err, &l):
		err = l.Err
	}
	return fmt.Errorf("%s: %w", name, err)
}

// writeWhole writes a file that is there whole or not at all: under another
// name in the same folder, then renamed. Who may read it is the user's own
// setting, as for any paper.
func writeWhole(name string, data []byte) error {
	if name == "-" {
		return errors.New("-: standard output cannot be written to here; want the name of a file")
	}
	if info, err := os.Stat(name); err == nil && info.IsDir() {
		return fmt.Errorf("%s: is a folder; want the name of a file", name)
	}
	temp := filepath.Join(filepath.Dir(name), fmt.Sprintf(".%s.%d", filepath.Base(name), os.Getpid()))
	f, err := os.OpenFile(temp, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return at(name, err)
	}
	defer os.Remove(temp) // gone already where all went well
	_, err = f.Write(data)
	if err := first(err, f.Sync(), f.Close()); err != nil {
		return at(name, err)
	}
	return at(name, os.Rename(temp, name))
}

// plural writes a number with its noun.
func plural(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	if strings.HasSuffix(noun, "y") && !strings.HasSuffix(noun, "ay") && !strings.HasSuffix(noun, "ey") {
		noun = strings.TrimSuffix(noun, "y") + "ie"
	}
	return fmt.Sprintf("%d %ss", n, noun)
}
