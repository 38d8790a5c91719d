package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// licences gathers the licences of Go's own library and of every module that
// is linked into the program for any system, from the module cache.
func (b *builder) licences() ([]byte, error) {
	modules := map[string]string{} // "path version" and its folder
	for _, t := range targets() {
		list, err := b.golang(t, "list", "-deps", "-f", "{{with .Module}}{{if not .Main}}{{.Path}} {{.Version}}\t{{.Dir}}{{end}}{{end}}", "./cmd/wring")
		if err != nil {
			return nil, err
		}
		for line := range strings.Lines(string(list)) {
			if name, dir, ok := strings.Cut(strings.TrimSpace(line), "\t"); ok {
				modules[name] = dir
			}
		}
	}
	root, err := b.golang(targets()[0], "env", "GOROOT")
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	fmt.Fprintf(&out, "The licences of what is linked into wring: Go's own library and %d modules.\n", len(modules))
	if err := one(&out, "The Go standard library", strings.TrimSpace(string(root)), "LICENSE"); err != nil {
		return nil, err
	}
	names := make([]string, 0, len(modules))
	for name := range modules {
		names = append(names, name)
	}
	slices.Sort(names)
	for _, name := range names {
		if err := one(&out, name, modules[name], "LICEN[SC]E*", "COPYING*", "NOTICE*", "font/gofont/ttfs/README"); err != nil {
			return nil, err
		}
	}
	return out.Bytes(), nil
}

// one writes what a folder holds under the names of licences.
func one(out *bytes.Buffer, name, dir string, patterns ...string) error {
	fmt.Fprintf(out, "\n%s\n%s\n", strings.Repeat("=", 78), name)
	found := 0
	for _, p := range patterns {
		list, err := filepath.Glob(filepath.Join(dir, p))
		if err != nil {
			return err
		}
		for _, path := range list {
			data, err := os.ReadFile(path)
			if err != nil {
				return err
			}
			found++
			text := strings.ReplaceAll(strings.ToValidUTF8(string(data), "?"), "\r\n", "\n")
			fmt.Fprintf(out, "\n%s\n", strings.Trim(text, "\n"))
		}
	}
	if found == 0 {
		return fmt.Errorf("%s: no licence in %s; want one", name, dir)
	}
	return nil
}
