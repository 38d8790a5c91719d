package main

import (
	"errors"
	"io"

	"github.com/urfave/cli/v2"

	"example.org/wring/registry"
	"example.org/wring/registry/exchange"
)

func newRestore(e env) *cli.Command {
	return &cli.Command{
		Name:        "restore",
		Usage:       "bring a registry back from a backup, which is proved first",
		ArgsUsage:   "FILE",
		UsageText:   "wring --registry shop.wring restore shop-2026-11-25.wring",
		Description: "Every entry, its hash and every file come back as they were, and one entry is added that says where from. Where a registry stands, nothing is done unless --replace says so; the old one is then put aside under another name, and never deleted.",
		Flags: []cli.Flag{
			switchOn("replace", "put the registry that is there aside"),
			switchOn("check-only", "prove the backup and restore nothing"),
		},
		Action: entering(e, runRestore),
	}
}

// A restoreAnswer is what --json says of a restore, an import or the proof of a
// backup.
type restoreAnswer struct {
	Registry string            `json:"registry,omitempty"` // empty where nothing was made
	Head     string            `json:"head,omitempty"`
	Aside    string            `json:"put_aside,omitempty"`
	Manifest exchange.Manifest `json:"manifest"` // of what was brought back
}

func runRestore(d desk, c *cli.Context) error {
	w, err := words(c, "FILE")
	if err != nil {
		return err
	}
	if err := d.named(); err != nil {
		return err
	}
	if c.Bool("check-only") {
		p := d.watch("proving", 0)
		m, err := exchange.CheckBackup(w[0], d.watching(p))
		p.end()
		if err == nil {
			err = d.checkStructure(w[0])
		}
		if err != nil {
			return plainFile(w[0], err)
		}
		return d.answer(restoreAnswer{Manifest: m}, func(out io.Writer) error {
			return line(out, "%s: %s and %s up to head %s, proved", w[0], plural(int(m.Entries), "entry"), plural(m.Attachments, "file"), shortHead(m.Head))
		})
	}
	p := d.watch("restore", 0)
	got, err := exchange.Restore(w[0], d.registry, d.watching(p), c.Bool("replace"))
	p.end()
	if errors.Is(err, registry.ErrExists) {
		return &hinted{err, "nothing was changed; add --replace to put the old one aside, or give another --registry FILE"}
	}
	if err != nil {
		return &hinted{plainFile(w[0], err), "nothing was changed"}
	}
	return d.restored(got, "from "+w[0])
}

// restored says what came back.
func (d desk) restored(got exchange.Restored, from string) error {
	a := restoreAnswer{Registry: d.registry, Head: got.Head.String(), Aside: got.Aside, Manifest: got.Manifest}
	return d.answer(a, func(out io.Writer) error {
		if err := line(out, "%s: %s and %s %s, head %s", d.registry, plural(int(got.Manifest.Entries), "entry"),
			plural(got.Manifest.Attachments, "file"), from, shortHead(got.Manifest.Head)); err != nil {
			return err
		}
		if got.Aside != "" {
			if err := line(out, "the registry that stood there is now %s", got.Aside); err != nil {
				return err
			}
		}
		if a.Head == got.Manifest.Head {
			return nil
		}
		return line(out, "entry %d: restored; what was entered after head %s is not in it", got.Head.Seq, shortHead(got.Manifest.Head))
	})
}
