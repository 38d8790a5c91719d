package limits

import (
	"embed"

	"example.org/wring/calib/starts"
)

//go:embed preset/*.toml
var presets embed.FS

// Presets lists the names of the plans that are built in, ascending. They are a
// start: a plan is the workshop's own once it is kept.
func Presets() []string { return shelf().Names() }

// Preset returns the written form of a built-in plan, as it is handed to the
// reader of plans.
func Preset(name string) ([]byte, bool) { return shelf().Find(name) }

func shelf() starts.Shelf { return starts.Shelf{Files: presets, Folder: "preset"} }
