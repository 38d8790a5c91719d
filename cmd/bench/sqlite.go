package main

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/registry"
)

// A sqlite is the fleet's data as one would keep it in SQLite: entries whole,
// the gauges' states, what is due in an index that holds what is printed, and a
// row for each point of each check, indexed by gauge.
type sqlite struct {
	program, path string
}

const schema = `
PRAGMA page_size = 4096;
CREATE TABLE entries(seq INTEGER PRIMARY KEY, hash TEXT, text TEXT);
CREATE TABLE gauges(id TEXT PRIMARY KEY, state TEXT) WITHOUT ROWID;
CREATE TABLE due(day TEXT, id TEXT, last TEXT, verdict TEXT, what TEXT, place TEXT, owner TEXT, PRIMARY KEY(day, id, last, verdict, what, place, owner)) WITHOUT ROWID;
CREATE INDEX due_of ON due(id);
CREATE TABLE checks(gauge TEXT, seq INTEGER, PRIMARY KEY(gauge, seq)) WITHOUT ROWID;
CREATE TABLE points(gauge TEXT, point INTEGER, day INTEGER, seq INTEGER, error INTEGER, expanded INTEGER, PRIMARY KEY(gauge, point, day, seq)) WITHOUT ROWID;
CREATE TABLE used(standard TEXT, seq INTEGER, PRIMARY KEY(standard, seq)) WITHOUT ROWID;
`

// newSQLite copies the fleet.
func newSQLite(s *stage) (*sqlite, error) {
	program, err := exec.LookPath("sqlite3")
	if err != nil {
		return nil, err
	}
	q := &sqlite{program, filepath.Join(s.dir, fmt.Sprintf("fleet-%d.sqlite", s.fleet.gauges))}
	tables := filepath.Join(s.dir, "tables")
	if err := os.MkdirAll(tables, 0o777); err != nil {
		return nil, err
	}
	defer os.RemoveAll(tables)
	if err := s.fleet.tables(tables); err != nil {
		return nil, err
	}
	var b strings.Builder
	b.WriteString(schema + ".mode csv\n")
	for _, name := range tableNames() {
		fmt.Fprintf(&b, ".import %q %s\n", filepath.Join(tables, name), name)
	}
	return q, q.run(b.String())
}

func tableNames() []string { return []string{"entries", "gauges", "due", "checks", "points", "used"} }

// run runs a script in one process.
func (q *sqlite) run(script string) error {
	return process(strings.NewReader(".bail on\n"+script), q.program, q.path)
}

func (q *sqlite) bytes() float64 { return float64(sizeOf(q.path)) }

// tables writes the fleet's tables as CSV.
func (f *fleet) tables(dir string) error {
	files := map[string]*csv.Writer{}
	for _, name := range tableNames() {
		file, err := os.Create(filepath.Join(dir, name))
		if err != nil {
			return err
		}
		defer file.Close()
		files[name] = csv.NewWriter(file)
		defer files[name].Flush()
	}
	put := func(table string, row ...string) error { return files[table].Write(row) }
	r, err := registry.OpenReading(f.path)
	if err != nil {
		return err
	}
	defer r.Close()
	return r.View(func(tx *registry.Tx) error {
		if err := f.entryRows(tx, put); err != nil {
			return err
		}
		if err := tx.Gauges(func(g registry.GaugeState) error {
			state, err := json.Marshal(g)
			if err != nil {
				return err
			}
			return put("gauges", g.Gauge.ID, string(state))
		}); err != nil {
			return err
		}
		return tx.Due(calib.MustDate("9999-01-01"), func(d *registry.DueRow) error { return put("due", dueRow(d)...) })
	})
}

func dueRow(d *registry.DueRow) []string {
	return []string{d.Due.String(), d.ID, d.Last.String(), string(d.Verdict), d.What, d.Place, d.Owner}
}

// entryRows writes what the entries give: themselves, and of each check what
// it is about.
func (f *fleet) entryRows(tx *registry.Tx, put func(table string, row ...string) error) error {
	head, err := tx.Head()
	if err != nil {
		return err
	}
	for seq := uint64(1); seq <= head.Seq; seq++ {
		e, h, err := tx.Entry(seq)
		if err != nil {
			return err
		}
		if err := put("entries", strconv.FormatUint(seq, 10), h.String(), string(e.Payload)); err != nil {
			return err
		}
		if e.Kind != registry.KindCheck {
			continue
		}
		var k registry.KeptCheck
		if err := json.Unmarshal(e.Payload, &k); err != nil {
			return err
		}
		for _, row := range checkRows(k, seq) {
			if err := put(row[0], row[1:]...); err != nil {
				return err
			}
		}
	}
	return nil
}

// checkRows are the rows of a check, each with its table before it.
func checkRows(k registry.KeptCheck, seq uint64) (rows [][]string) {
	at, id := strconv.FormatUint(seq, 10), k.Check.Gauge
	rows = append(rows, []string{"checks", id, at})
	for _, s := range k.Check.Standards {
		rows = append(rows, []string{"used", s, at})
	}
	for i, p := range k.Result.Points {
		rows = append(rows, []string{"points", id, strconv.Itoa(i), strconv.Itoa(int(k.Check.Date.Day())), at,
			strconv.Itoa(int(p.Error.Float() * 1e6)), strconv.Itoa(int(p.Expanded * 1e6))})
	}
	return rows
}

// keeping is the script that keeps one check: its entry, its rows, the gauge's
// state and its place in what is due.
func keeping(k registry.KeptCheck, seq uint64, text, state string) string {
	var b strings.Builder
	fmt.Fprintf(&b, "INSERT INTO entries VALUES(%d, '%064d', %s);\n", seq, seq, quoted(text))
	for _, row := range checkRows(k, seq) {
		var values []string
		for _, v := range row[1:] {
			values = append(values, quoted(v))
		}
		fmt.Fprintf(&b, "INSERT INTO %s VALUES(%s);\n", row[0], strings.Join(values, ", "))
	}
	id := quoted(k.Check.Gauge)
	fmt.Fprintf(&b, "UPDATE gauges SET state = %s WHERE id = %s;\n", quoted(state), id)
	fmt.Fprintf(&b, "UPDATE due SET day = '%s', last = '%s', verdict = '%s' WHERE id = %s;\n",
		k.Check.Date.AddMonths(12), k.Check.Date, k.Result.Verdict, id)
	return b.String()
}

func quoted(s string) string { return "'" + strings.ReplaceAll(s, "'", "''") + "'" }
