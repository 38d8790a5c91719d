package main

import (
	_ "embed" // LICENCES.txt
	"io"
	"runtime"
	"runtime/debug"

	"github.com/urfave/cli/v2"

	"example.org/wring/cmd/internal/screen"
)

//go:embed LICENCES.txt
var licences string

func newVersion(e env) *cli.Command {
	return &cli.Command{
		Name:        "version",
		Usage:       "which program this is, and the licences of what is in it",
		UsageText:   "wring version",
		Description: "The version stands in every entry that the program makes. The commit is known where the program was built in a clone, the module's version where it was installed by go install; a release has neither, so that the same files give the same bytes.",
		Flags:       []cli.Flag{switchOn("licences", "print the licences of all modules that are linked into it")},
		Action:      reading(e, runVersion),
	}
}

// A versionAnswer is what --json says of the program.
type versionAnswer struct {
	Version  string `json:"version"`
	Module   string `json:"module,omitempty"`
	Commit   string `json:"commit,omitempty"`
	At       string `json:"commit_time,omitempty"`
	Modified bool   `json:"modified"` // files of the checkout were not as in the commit
	Go       string `json:"go"`
	System   string `json:"system"`
}

func runVersion(d desk, c *cli.Context) error {
	if _, err := words(c); err != nil {
		return err
	}
	if c.Bool("licences") {
		_, err := io.WriteString(d.Out, licences)
		return err
	}
	a := versionAnswer{Version: version, Go: runtime.Version(), System: runtime.GOOS + "/" + runtime.GOARCH}
	if info, ok := debug.ReadBuildInfo(); ok {
		a.built(info)
	}
	return d.answer(a, func(out io.Writer) error {
		commit := a.Commit
		if commit != "" {
			commit += " of " + a.At + yes(a.Modified, ", with changes since", "")
		}
		return first(line(out, "%s", a.Version), screen.Facts(out, [][2]string{{"module", a.Module}, {"commit", commit}, {"built by", a.Go + " for " + a.System}}...))
	})
}

// built takes over what the Go tools wrote into the program.
func (a *versionAnswer) built(info *debug.BuildInfo) {
	a.Module = info.Main.Path + " " + info.Main.Version
	for _, s := range info.Settings {
		switch s.Key {
		case "vcs.revision":
			a.Commit = s.Value
		case "vcs.time":
			a.At = s.Value
		case "vcs.modified":
			a.Modified = s.Value == "true"
		}
	}
}
