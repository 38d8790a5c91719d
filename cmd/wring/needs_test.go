package main

import "testing"

// A table that names a command or an option that is not there holds nothing.
func TestEachOptionThatWantsAnotherIsThere(t *testing.T) {
	there := map[string]map[string]bool{}
	for _, k := range leaves(newApp(env{}).Commands, "wring") {
		there[k.path] = map[string]bool{}
		for _, f := range k.Flags {
			there[k.path][f.Names()[0]] = true
		}
	}
	for _, table := range []map[string]map[string][]string{needs, excludes} {
		for path, options := range table {
			for name, others := range options {
				for _, option := range append([]string{name}, others...) {
					if !there[path][option] {
						t.Errorf("%s has no --%s", path, option)
					}
				}
			}
		}
	}
}

// A command that writes a paper takes its size and leave to replace only with it.
func TestEachPaperWantsItsFile(t *testing.T) {
	for _, k := range leaves(newApp(env{}).Commands, "wring") {
		file, sized := "", false
		for _, f := range k.Flags {
			switch name := f.Names()[0]; name {
			case "pdf":
				file = name
			case "paper":
				sized = true
			}
		}
		if file != "" && sized && len(needs[k.path]["paper"]) == 0 {
			t.Errorf("%s --paper without --%s is ignored; want it in needs_table.go", k.path, file)
		}
	}
}
