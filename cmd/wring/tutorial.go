package main

import (
	"embed"
	"io"
	"os"
	"path/filepath"

	"github.com/urfave/cli/v2"
)

//go:embed tutorial
var tutorial embed.FS

const tutorialText = "tutorial/TUTORIAL.md"

func newTutorial(e env) *cli.Command {
	return &cli.Command{
		Name:        "tutorial",
		Usage:       "show how to begin, or write the text and its tables to a new folder",
		ArgsUsage:   "[DIR]",
		UsageText:   "wring tutorial first-day",
		Description: "From an empty folder to a certificate, a drift flag and a look-back in a quarter of an hour, with an invented workshop.",
		Action:      reading(e, runTutorial),
	}
}

func runTutorial(d desk, c *cli.Context) error {
	w, err := words(c, "[DIR]")
	if err != nil {
		return err
	}
	if w[0] == "" {
		text, err := tutorial.ReadFile(tutorialText)
		if err != nil {
			return err
		}
		_, err = d.Out.Write(text)
		return err
	}
	list, err := tutorial.ReadDir("tutorial")
	if err != nil {
		return err
	}
	if err := os.Mkdir(w[0], 0o777); err != nil { // who may read it is the user's own setting
		return plainFile(w[0], err)
	}
	for _, f := range list {
		data, err := tutorial.ReadFile("tutorial/" + f.Name())
		if err != nil {
			return err
		}
		if err := writeWhole(filepath.Join(w[0], f.Name()), data); err != nil {
			return err
		}
	}
	return d.answer(tutorialAnswer{w[0], len(list)}, func(out io.Writer) error {
		return line(out, "%s: %s; next: cd %s, and read TUTORIAL.md", w[0], plural(len(list), "file"), w[0])
	})
}

// A tutorialAnswer is what --json says of the files that were written.
type tutorialAnswer struct {
	Folder string `json:"folder"`
	Files  int    `json:"files"`
}
