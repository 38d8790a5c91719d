package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"

	"github.com/urfave/cli/v2"

	"example.org/wring/cmd/internal/screen"
	"example.org/wring/registry"
)

func newAttachment(e env) *cli.Command {
	return &cli.Command{
		Name:  "attachment",
		Usage: "keep files with gauges, standards and checks: add, list, write",
		Subcommands: []*cli.Command{
			{Name: "add", Usage: "keep a file, as the laboratory's certificate, by its SHA-256", ArgsUsage: "NAME FILE",
				UsageText:   "wring attachment add GB-1 26-0417.pdf --entry 70",
				Description: "NAME is a gauge or a standard. A file of at most 16 MiB is kept byte for byte, once however often it is attached.",
				Flags: []cli.Flag{
					text("entry", "N", "of the check or certificate it belongs to"),
					text("note", "TEXT", "to keep with it"),
					text("called", "NAME", "under which it is kept, if not its own"),
				}, Action: entering(e, runAttachmentAdd)},
			{Name: "list", Usage: "list the files of a gauge or a standard", ArgsUsage: "NAME", UsageText: "wring attachment list GB-1",
				Action: reading(e, runAttachmentList)},
			{Name: "write", Usage: "write a file out again, byte for byte", ArgsUsage: "ENTRY",
				UsageText: "wring attachment write 85 --folder papers",
				Flags: []cli.Flag{
					text("folder", "DIR", "to write it to (the present one)"),
					text("called", "NAME", "for the file, if not its own; - for standard output"),
					switchOn("replace", "write over a file that is there"),
				}, Action: reading(e, runAttachmentWrite)},
		},
	}
}

// readAttachment reads a file that is to be kept, within the bound.
func readAttachment(path string) ([]byte, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, plainPathError(err)
	}
	if !info.Mode().IsRegular() {
		return nil, fmt.Errorf("%s: no ordinary file; want a PDF or a picture", path)
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, plainPathError(err)
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, registry.MaxAttachment+1))
	return data, plainPathError(err)
}

// attaching reads the file of an option, and says as what it is to be kept.
func attaching(path, called, note string) (registry.Attachment, []byte, error) {
	a := registry.Attachment{Name: called, Note: note}
	if a.Name == "" {
		a.Name = filepath.Base(path)
	}
	if err := registry.FileName(a.Name); err != nil {
		return a, nil, err
	}
	const most = 400 // characters of a note, as for any remark
	if len([]rune(note)) > most || containsBreak(note) {
		return a, nil, usagef("--note %.60q: want one line of at most %d characters", note, most)
	}
	data, err := readAttachment(path)
	return a, data, err
}

func runAttachmentAdd(d desk, c *cli.Context) error {
	w, err := words(c, "NAME", "FILE")
	if err != nil {
		return err
	}
	a, data, err := attaching(w[1], c.String("called"), c.String("note"))
	if err != nil {
		return err
	}
	a.Subject = w[0]
	if given := c.String("entry"); given != "" {
		if a.Entry, err = strconv.ParseUint(given, 10, 64); err != nil || a.Entry == 0 {
			return usagef("--entry %q: not the number of an entry; want one as wring history shows it", given)
		}
	}
	var kept registry.KeptAttachment
	if err := d.update(func(tx *registry.Tx) (err error) {
		kept, err = tx.Attach(a, data)
		return subjectNamed(tx, a.Subject, err)
	}); err != nil {
		return err
	}
	return d.kept(kept.Entry, "%s attached to %s, %d bytes; %s", kept.Attachment.Name, a.Subject, kept.Attachment.Size, kept.Attachment.SHA256[:16])
}

// subjectNamed says of a name that is not there what is nearest to it.
func subjectNamed(tx *registry.Tx, name string, err error) error {
	var missing *registry.NotFoundError
	if errors.As(err, &missing) && missing.What == "gauge" {
		return noSubject(tx, "gauge or standard", name, err)
	}
	return err
}

func runAttachmentList(d desk, c *cli.Context) error {
	w, err := words(c, "NAME")
	if err != nil {
		return err
	}
	list := []registry.KeptAttachment{}
	if err := d.view(func(tx *registry.Tx) error {
		all, err := tx.Attachments(w[0])
		list = append(list, all...)
		return subjectNamed(tx, w[0], err)
	}); err != nil {
		return err
	}
	return d.answer(list, func(out io.Writer) error {
		if len(list) == 0 {
			return line(out, "no file is attached to %s", w[0])
		}
		t := screen.Table{Columns: []screen.Column{{Title: "entry", Align: screen.Right}, {Title: "name", Wrap: true}, {Title: "type"},
			{Title: "bytes", Align: screen.Right}, {Title: "SHA-256, beginning"}, {Title: "to entry", Align: screen.Right}, {Title: "note", Wrap: true}}}
		for _, k := range list {
			a, to := k.Attachment, ""
			if a.Entry > 0 {
				to = strconv.FormatUint(a.Entry, 10)
			}
			t.Add(strconv.FormatUint(k.Entry, 10), a.Name, a.Type, strconv.FormatInt(a.Size, 10), a.SHA256[:16], to, a.Note)
		}
		return t.Write(out)
	})
}

// A fileAnswer is what --json says of an attachment that was written out.
type fileAnswer struct {
	Entry  uint64 `json:"entry"`
	File   string `json:"file"`
	Bytes  int64  `json:"bytes"`
	SHA256 string `json:"sha256"`
}

func runAttachmentWrite(d desk, c *cli.Context) error {
	w, err := words(c, "ENTRY")
	if err != nil {
		return err
	}
	seq, err := strconv.ParseUint(w[0], 10, 64)
	if err != nil {
		return usagef("attachment write: %q: not the number of an entry; want one as wring attachment list shows it", w[0])
	}
	var k registry.KeptAttachment
	var data []byte
	if err := d.view(func(tx *registry.Tx) (err error) { k, data, err = tx.AttachmentAt(seq); return err }); err != nil {
		return err
	}
	name := k.Attachment.Name
	if called := c.String("called"); called == "-" {
		if d.Terminal && k.Attachment.Type != "other" {
			return usagef("--called -: standard output is a terminal; want a file or a pipe for a %s", k.Attachment.Type)
		}
		_, err := d.Out.Write(data)
		return err
	} else if called != "" {
		name = called
	}
	// The name may come from another program's export: it is looked at again.
	if err := registry.FileName(name); err != nil {
		return &hinted{err, "nothing was written; name it with --called NAME"}
	}
	file := filepath.Join(c.String("folder"), name)
	if err := writeAttachment(file, data, c.Bool("replace")); err != nil {
		return err
	}
	return d.answer(fileAnswer{seq, file, k.Attachment.Size, k.Attachment.SHA256}, func(out io.Writer) error {
		return line(out, "%s: %d bytes, as entered", file, len(data))
	})
}

// writeAttachment writes a file, over another one only when told to.
func writeAttachment(file string, data []byte, replace bool) error {
	if info, err := os.Lstat(file); err == nil && !replace {
		old, err := os.ReadFile(file)
		if !info.Mode().IsRegular() || err != nil || string(old) != string(data) {
			return &hinted{fmt.Errorf("%s: is there already and is another file", file), "nothing was written; give another --folder or --called, or add --replace"}
		}
	}
	return writeWhole(file, data)
}
