package main

import (
	"errors"
	"io"

	"github.com/urfave/cli/v2"

	"example.org/wring/registry"
	"example.org/wring/registry/exchange"
)

func newExport(e env) *cli.Command {
	return &cli.Command{
		Name:        "export",
		Usage:       "write everything out in JSON, so that any program can read and prove it",
		ArgsUsage:   "DIR",
		UsageText:   "wring export shop-2026-11-25",
		Description: "DIR is made, or is empty. It then holds the journal with its hashes, one entry a line, the attachments, and a description of the form for a reader who has nothing else.",
		Action:      reading(e, runExport),
	}
}

func runExport(d desk, c *cli.Context) error {
	w, err := words(c, "DIR")
	if err != nil {
		return err
	}
	var m exchange.Manifest
	p := d.watch("export", 0)
	err = d.view(func(tx *registry.Tx) (err error) { m, err = exchange.Export(tx, w[0], d.watching(p)); return err })
	p.end()
	if err != nil {
		return plainFile(w[0], err)
	}
	return d.answer(m, func(out io.Writer) error {
		return line(out, "%s: %s and %s up to head %s", w[0], plural(int(m.Entries), "entry"), plural(m.Attachments, "file"), shortHead(m.Head))
	})
}

func newImport(e env) *cli.Command {
	return &cli.Command{
		Name:        "import",
		Usage:       "make a registry from an export: the same entries, the same head",
		ArgsUsage:   "DIR",
		UsageText:   "wring --registry copy.wring import shop-2026-11-25",
		Description: "Every hash is proved on the way. Nothing that is there is written over.",
		Action:      entering(e, runImport),
	}
}

func runImport(d desk, c *cli.Context) error {
	w, err := words(c, "DIR")
	if err != nil {
		return err
	}
	p := d.watch("import", 0)
	got, err := exchange.Import(w[0], d.registry, d.watching(p))
	p.end()
	if errors.Is(err, registry.ErrExists) {
		return &hinted{err, "nothing was changed; give another --registry FILE"}
	}
	if err != nil {
		return &hinted{plainFile(w[0], err), "nothing was made"}
	}
	return d.restored(got, "from "+w[0])
}
