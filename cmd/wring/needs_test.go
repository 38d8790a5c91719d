package main

import "testing"

// A table that names a command or an option that is not there holds nothing.
func TestEachOptionThatWantsAnotherIsThere(t *testing.T) {
	there := map[string]map[string]bool{}
	for _, k := range leaves(newApp(env{}, nil).Commands, "wring") {
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
	for _, k := range leaves(newApp(env{}, nil).Commands, "wring") {
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

// A command is made only when its name is asked for.
func TestACommandIsOfferedUnderItsName(t *testing.T) {
	for _, o := range offers() {
		if c := o.make(env{}); c.Name != o.name || len(c.Aliases) > 0 {
			t.Errorf("%q makes the command %q with aliases %q; want that name alone", o.name, c.Name, c.Aliases)
		}
		if got := newApp(env{}, []string{"wring", "--registry", "due", "--json", o.name, "version"}).Commands; len(got) != 1 || got[0].Name != o.name {
			t.Errorf("%s: %d commands are made; want that one", o.name, len(got))
		}
	}
	for _, argv := range [][]string{nil, {"wring"}, {"wring", "duw"}, {"wring", "due", "--help"}, {"wring", "help", "due"}, {"wring", completeCommand, "due", ""}} {
		if got := newApp(env{}, argv).Commands; len(got) != len(offers()) {
			t.Errorf("%q: %d commands are made; want all", argv, len(got))
		}
	}
}
