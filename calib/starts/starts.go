package starts

import (
	"embed"
	"path"
	"slices"
	"strings"
)

// A Shelf holds written forms; Folder is the one of its files that they lie in.
type Shelf struct {
	Files  embed.FS
	Folder string
}

const ending = ".toml"

// Names lists what is on the shelf, ascending.
func (s Shelf) Names() []string {
	files, err := s.Files.ReadDir(s.Folder)
	if err != nil {
		panic(err) // the folder is part of the program
	}
	var out []string
	for _, f := range files {
		out = append(out, strings.TrimSuffix(f.Name(), ending))
	}
	slices.Sort(out)
	return out
}

// Find returns the written form of that name, and whether there is one.
func (s Shelf) Find(name string) ([]byte, bool) {
	if !slices.Contains(s.Names(), name) {
		return nil, false
	}
	b, err := s.Files.ReadFile(path.Join(s.Folder, name+ending))
	return b, err == nil
}
