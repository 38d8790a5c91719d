package main

import (
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/urfave/cli/v2"

	"example.org/wring/calib/sheet"
	"example.org/wring/calib/table"
	"example.org/wring/cmd/internal/screen"
)

func newTable(e env) *cli.Command {
	return &cli.Command{
		Name:  "table",
		Usage: "tables for and from a spreadsheet: columns, import, export",
		Subcommands: []*cli.Command{
			{Name: "columns", Usage: "show which columns a table may have, and the headings they go by", ArgsUsage: "TABLE", UsageText: "wring table columns gauges", Action: reading(e, runTableColumns)},
			{Name: "import", Usage: "enter gauges, standards, certificates, past checks, lots or surveys from a table, CSV or a workbook", ArgsUsage: "TABLE FILE",
				UsageText: "wring table import gauges gauges.csv --dry-run\nwring table import gauges gauges.csv --mapping ours.toml",
				Description: "TABLE is " + importable() + "; - for FILE reads standard input. Either every line is entered, in one transaction, or none; what is in the registry already is left as it is, so that the same table may come twice. " +
					"UTF-8, UTF-16 with its mark and Windows-1252 are recognised, and comma, semicolon or tab; of a workbook (.xlsx) one sheet is read. A mapping says which heading is which column, how dates and decimals are written, and what the table's words mean here.",
				Flags: []cli.Flag{
					text("mapping", "FILE", "of headings, words and dates, TOML"),
					text("sheet", "NAME", "of a workbook; else the only one that holds anything"),
					switchOn("dry-run", "say line by line what would happen, and keep nothing"),
					text("amend", "REASON", "for which gauges that are here with other values are amended; else they are refused"),
					switchOn("good-lines", "enter the lines that can be used, and refuse only the others"),
				}, Action: entering(e, runTableImport)},
			{Name: "export", Usage: "write a table as CSV or JSON, or all of them to a folder", ArgsUsage: "TABLE [FILE]",
				UsageText:   "wring table export gauges gauges.csv\nwring table export all tables-2026-11-25",
				Description: "TABLE is " + strings.Join(exportable(), ", ") + ", or all. A cell that a spreadsheet could take for a formula has an apostrophe before it, which table import takes off again; plain numbers, signed or not, have none. For a copy that is proved, see export and backup.",
				Flags:       []cli.Flag{text("format", "FORMAT", "csv (if left out) or json")},
				Action:      reading(e, runTableExport)},
		},
	}
}

func importable() string {
	var out []string
	for _, k := range table.Kinds() {
		out = append(out, k.Name)
	}
	return strings.Join(out, ", ")
}

// A shownColumn is one column as --json has it.
type shownColumn struct {
	Column    string   `json:"column"`
	Wanted    bool     `json:"wanted"`
	Spellings []string `json:"spellings"`
	About     string   `json:"about,omitempty"`
}

func runTableColumns(d desk, c *cli.Context) error {
	w, err := words(c, "TABLE")
	if err != nil {
		return err
	}
	for _, k := range table.Kinds() {
		if k.Name != w[0] {
			continue
		}
		var list []shownColumn
		t := screen.Table{Columns: []screen.Column{{Title: "column"}, {Title: "what", Wrap: true}, {Title: "also under the heading", Wrap: true}}}
		for _, col := range k.Columns {
			list = append(list, shownColumn{col.Name, col.Wanted, append([]string{}, col.Spellings...), col.About})
			t.Add(col.Name, strings.TrimSpace(col.About+yes(col.Wanted, " (wanted)", "")), strings.Join(col.Spellings, ", "))
		}
		return d.answer(list, func(out io.Writer) error {
			return first(line(out, "%s: %s\n", k.Name, k.About), t.Write(out),
				screen.Paragraph(out, "\nHeadings are compared by their letters and digits alone: \"Serial No.\" is serialno.", ""))
		})
	}
	return usagef("table columns: %q: no table that can be read; want one of %s", w[0], importable())
}

func runTableImport(d desk, c *cli.Context) error {
	w, err := words(c, "TABLE", "FILE")
	if err != nil {
		return err
	}
	if !strings.Contains(", "+importable()+",", ", "+w[0]+",") {
		return usagef("table import: %q: no table that can be read; want one of %s", w[0], importable())
	}
	if w[0] != table.Gauges && c.IsSet("amend") {
		return usagef("--amend: only gauges can be amended by a table; want it left out")
	}
	var m sheet.Mapping
	if name := c.String("mapping"); name != "" {
		shown, data, err := d.readInput(name)
		if err != nil {
			return err
		}
		if m, err = sheet.ReadMapping(shown, data); err != nil {
			return err
		}
	}
	if name := c.String("sheet"); name != "" {
		m.Sheet = name
	}
	name, data, err := d.readTable(w[1])
	if err != nil {
		return err
	}
	f, err := table.Read(w[0], name, data, m)
	if err != nil {
		return err
	}
	return d.importTable(f, importOptions{dry: c.Bool("dry-run"), good: c.Bool("good-lines"), amend: strings.TrimSpace(c.String("amend"))})
}

// readTable reads a table from a file, or from standard input for "-".
func (d desk) readTable(name string) (string, []byte, error) {
	if name == "-" {
		data, err := io.ReadAll(io.LimitReader(d.In, table.MaxSize+1))
		return "standard input", data, at("standard input", err)
	}
	f, err := os.Open(name)
	if err != nil {
		return name, nil, plainPathError(err)
	}
	defer f.Close()
	data, err := settled(name, f)
	return name, data, err
}

// A statReader is an open file.
type statReader interface {
	io.Reader
	Stat() (os.FileInfo, error)
}

// settled reads a file that nobody writes to meanwhile: a table that is being
// saved has half a line at its end.
func settled(name string, f statReader) ([]byte, error) {
	before, err := f.Stat()
	if err != nil {
		return nil, at(name, err)
	}
	if before.IsDir() {
		return nil, fmt.Errorf("%s: is a folder; want a file", name)
	}
	data, err := io.ReadAll(io.LimitReader(f, table.MaxSize+1))
	if err != nil {
		return nil, at(name, err)
	}
	after, err := f.Stat()
	switch {
	case err != nil:
		return nil, at(name, err)
	case before.Mode().IsRegular() && len(data) <= table.MaxSize && (after.Size() != before.Size() || int64(len(data)) != before.Size() || !after.ModTime().Equal(before.ModTime())):
		return nil, fmt.Errorf("%s: was written to while it was read, %d bytes and then %d; want it saved and closed", name, before.Size(), after.Size())
	}
	return data, nil
}

func runTableExport(d desk, c *cli.Context) error {
	w, err := words(c, "TABLE", "[FILE]")
	if err != nil {
		return err
	}
	format := c.String("format")
	switch {
	case format == "" && d.json:
		format = "json"
	case format == "":
		format = "csv"
	case format != "csv" && format != "json":
		return usagef("--format %q: want csv or json", format)
	case format == "csv" && d.json && w[1] == "":
		return usagef("--format csv beside --json: want one of the two")
	}
	return d.exportTables(w[0], w[1], format)
}
