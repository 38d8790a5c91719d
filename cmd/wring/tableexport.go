package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"example.org/wring/calib/table"
	"example.org/wring/registry"
	"example.org/wring/registry/exchange"
)

func exportable() []string { return exchange.Tables() }

// exportTables writes one table to standard output or a file, or all of them to
// a new folder.
func (d desk) exportTables(name, file, format string) error {
	list := []string{name}
	if name == "all" {
		list = exportable()
	} else if !slices.Contains(exportable(), name) {
		return usagef("table export: %q: no such table; want all, or one of %s", name, strings.Join(exportable(), ", "))
	}
	if name == "all" && file == "" {
		return usagef("table export: the folder is missing; want wring table export all DIR")
	}
	written := map[string][]byte{}
	var answer []exportedTable
	err := d.view(func(tx *registry.Tx) error {
		for _, one := range list {
			t, err := exchange.Table(tx, one)
			if err != nil {
				return err
			}
			var out bytes.Buffer
			if err := writeTable(&out, t, format); err != nil {
				return err
			}
			written[one] = out.Bytes()
			answer = append(answer, exportedTable{Table: one, Rows: len(t.Rows)})
		}
		return nil
	})
	switch {
	case err != nil:
		return err
	case file == "":
		_, err := d.Out.Write(written[name])
		return err
	case name != "all":
		answer[0].File = file
		err = writeWhole(file, written[name])
	default:
		err = writeFolder(file, format, written, answer)
	}
	if err != nil {
		return err
	}
	return d.answer(answer, func(out io.Writer) error {
		for _, t := range answer {
			if err := line(out, "%s: %s", t.File, plural(t.Rows, "row")); err != nil {
				return err
			}
		}
		return nil
	})
}

// An exportedTable is what --json says of a table that was written to a file.
type exportedTable struct {
	Table string `json:"table"`
	File  string `json:"file"`
	Rows  int    `json:"rows"`
}

func writeTable(w io.Writer, t table.Table, format string) error {
	if format == "json" {
		return t.JSON(w)
	}
	return t.CSV(w)
}

// writeFolder writes the tables into a folder that is new or empty.
func writeFolder(dir, format string, written map[string][]byte, answer []exportedTable) error {
	if list, err := os.ReadDir(dir); err == nil && len(list) > 0 {
		return fmt.Errorf("%s: something is in this folder; want a new one, or an empty one", dir)
	} else if err != nil && !errors.Is(err, os.ErrNotExist) {
		return plainFile(dir, err)
	}
	if err := os.MkdirAll(dir, 0o777); err != nil { // who may read it is the user's own setting
		return plainFile(dir, err)
	}
	for i, t := range answer {
		answer[i].File = filepath.Join(dir, t.Table+"."+format)
		if err := writeWhole(answer[i].File, written[t.Table]); err != nil {
			return err
		}
	}
	return nil
}
