package survey

import (
	"embed"
	"path"
	"slices"
	"strings"
)

//go:embed preset/*.toml
var presets embed.FS

// Presets lists the names of the methods that are built in, ascending. They
// are a start: a method is the workshop's own once it is kept.
func Presets() []string {
	files, err := presets.ReadDir("preset")
	if err != nil {
		panic(err) // the folder is part of the program
	}
	var out []string
	for _, f := range files {
		out = append(out, strings.TrimSuffix(f.Name(), ".toml"))
	}
	slices.Sort(out)
	return out
}

// Preset returns the written form of a built-in method, as it is handed to the
// reader of methods.
func Preset(name string) ([]byte, bool) {
	if !slices.Contains(Presets(), name) {
		return nil, false
	}
	b, err := presets.ReadFile(path.Join("preset", name+".toml"))
	return b, err == nil
}
