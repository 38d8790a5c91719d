package main

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"strconv"

	"github.com/urfave/cli/v2"

	"example.org/wring/registry"
	"example.org/wring/registry/exchange"
)

func newBackup(e env) *cli.Command {
	return &cli.Command{
		Name:        "backup",
		Usage:       "copy the whole registry to another file, and prove the copy",
		ArgsUsage:   "FILE",
		UsageText:   "wring backup shop-2026-11-25.wring",
		Description: "The copy holds one consistent state, also while others read. It is read back and proved before it gets its name; its manifest stands beside it. That it was made is an entry in the registry. A copy on the same disk is no backup: take it elsewhere.",
		Flags:       []cli.Flag{text("remind", "DAYS", "after which the next one is due (as last time or as the house has set, else 30)")},
		Action:      entering(e, runBackup),
	}
}

func runBackup(d desk, c *cli.Context) error {
	w, err := words(c, "FILE")
	if err != nil {
		return err
	}
	days, err := remindDays("remind", c.String("remind"))
	if err != nil {
		return err
	}
	if err := d.named(); err != nil {
		return err
	}
	r, err := registry.OpenReading(d.registry)
	if err != nil {
		return d.opening(err)
	}
	p := d.watch("backup, proving", entriesIn(r))
	m, err := exchange.Backup(r, w[0], d.watching(p))
	p.end()
	if err != nil {
		return plainFile(w[0], err)
	}
	var seq uint64
	if err := d.update(func(tx *registry.Tx) error {
		last, err := tx.LastBackup()
		if err != nil {
			return err
		}
		if days == 0 {
			days = last.RemindDays
		}
		head, err := tx.AddBackup(registry.Backup{Head: m.Head, Name: m.File, Bytes: m.Bytes, SHA256: m.SHA256, RemindDays: days})
		seq = head.Seq
		return err
	}); err != nil {
		return &hinted{err, w[0] + " was written and proved, and stands; only the entry that says so was not kept"}
	}
	return d.answer(backupAnswer{seq, m}, func(out io.Writer) error {
		return line(out, "%s: %s and %s, %d bytes, proved\nentry %d: backup up to head %s; the next is due in %s",
			w[0], plural(int(m.Entries), "entry"), plural(m.Attachments, "file"), m.Bytes, seq, shortHead(m.Head), plural(days, "day"))
	})
}

// A backupAnswer is what --json says of a backup.
type backupAnswer struct {
	Entry    uint64            `json:"entry"` // that says it was made
	Manifest exchange.Manifest `json:"manifest"`
}

func remindDays(option, given string) (int, error) {
	if given == "" {
		return 0, nil
	}
	n, err := strconv.Atoi(given)
	if err != nil || n < 1 || n > 3660 || strconv.Itoa(n) != given {
		return 0, usagef("--%s %q: not a number of days; want a whole number from 1 to 3660", option, given)
	}
	return n, nil
}

// shortHead is a head for screens: its number and the first 16 digits.
func shortHead(head string) string {
	m, err := registry.ParseMark(head)
	if err != nil {
		return head
	}
	return strconv.FormatUint(m.Seq, 10) + "-" + m.Digits[:16]
}

// plainFile says what the system said of a file by the name that a person gave
// it.
func plainFile(name string, err error) error {
	var p *fs.PathError
	var l *os.LinkError
	if errors.As(err, &p) || errors.As(err, &l) {
		return at(name, err)
	}
	return err
}
