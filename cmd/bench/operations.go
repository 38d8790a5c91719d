package main

import (
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/calib/history"
	"example.org/wring/cmd/internal/inorder"
	"example.org/wring/registry"
)

// operations are what is measured on one size.
func (s *stage) operations() []operation {
	all := []operation{s.due(), s.dueCold(), s.history(), s.drift(), s.driftCold()}
	all = append(all, s.chain()...)
	all = append(all, s.certificate(), s.certificates())
	all = append(all, s.keep("rollback journal", "DELETE"), s.keep("write-ahead log", "WAL"), s.bulk())
	if s.fleet.gauges == s.sizes[0] {
		all = append(all, exact(), monteCarlo(), monteCarloOnOne())
	}
	return all
}

// words are the program's arguments for a question.
func (s *stage) words(question ...string) []string {
	return append([]string{"--registry", s.fleet.path, "--as", "EK"}, question...)
}

// ask times a whole process of the program.
func (s *stage) ask(words []string) func() error {
	return func() error { return process(nil, s.wring, words...) }
}

// query times a whole process of sqlite3; nil where there is none.
func (s *stage) query(sql string) func() error {
	if s.sqlite == nil {
		return nil
	}
	return func() error { return s.sqlite.run(sql + "\n") }
}

// opening is a process that opens the registry to read and closes it.
func (s *stage) opening() func() error {
	return func() error { return process(nil, s.opener, "-open", s.fleet.path) }
}

// dueDay is the day until which a fifth of the fleet is due.
func (s *stage) dueDay() calib.Date {
	return calib.MustDate(fmt.Sprintf("%d-01-01", firstYear+s.checks)).AddDays(72)
}

func (s *stage) due() operation {
	day := s.dueDay().String()
	asked := s.words("due", "--on", day, "--within", "0d")
	return operation{name: "due, a fifth of the fleet", ours: s.ask(asked),
		other:     s.query("SELECT * FROM due WHERE day <= '" + day + "' ORDER BY day, id;"),
		otherName: "covering index", goalOther: "goal 0.25", limit: s.opening(), limitName: "opening"}
}

func (s *stage) dueCold() operation {
	op := s.due()
	op.name, op.goalOther = "due, the files not in memory", "goal 1.0"
	op.prepare = func(bool) error {
		if s.sqlite == nil {
			return forget(s.fleet.path)
		}
		return first(forget(s.fleet.path), forget(s.sqlite.path))
	}
	return op
}

func first(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

func (s *stage) history() operation {
	id := gaugeID(s.fleet.gauges / 2)
	asked := s.words("history", id)
	return operation{name: "history of a gauge", ours: s.ask(asked),
		other:     s.query("SELECT text FROM entries WHERE seq IN (SELECT seq FROM checks WHERE gauge = '" + id + "') ORDER BY seq;"),
		otherName: "indexed", limit: s.opening(), limitName: "opening", goalLimit: "goal 2"}
}

// drift assesses every gauge; SQLite fits a line for each point, and the limit
// is the same assessment of series that lie in memory.
func (s *stage) drift() operation {
	lines := `SELECT gauge, point, (count(*)*sum(day*error) - sum(day)*sum(error)) / nullif(count(*)*sum(day*day) - sum(day)*sum(day), 0.0), count(*) FROM points GROUP BY gauge, point;`
	asked := s.words("drift")
	var series [][]history.Check
	return operation{name: "drift of the whole fleet", ours: s.ask(asked), other: s.query(lines), otherName: "lines alone by SQL", goalOther: "goal 0.03",
		prepare: func(bool) (err error) {
			if series == nil {
				series, err = s.fleet.series()
			}
			return err
		},
		limit: func() error { return assessAll(series) }, limitName: "the same in memory", goalLimit: "goal 3"}
}

// series reads every gauge's checks.
func (f *fleet) series() (all [][]history.Check, err error) {
	r, err := registry.OpenReading(f.path)
	if err != nil {
		return nil, err
	}
	defer r.Close()
	return all, r.View(func(tx *registry.Tx) error {
		for n := range f.gauges {
			checks, err := tx.Trend(gaugeID(n))
			if err != nil {
				return err
			}
			all = append(all, checks)
		}
		return nil
	})
}

func assessAll(series [][]history.Check) error {
	var like history.Fleet
	scatter := make([]history.Scatter, len(series))
	for i, checks := range series {
		scatter[i] = history.ScatterOf(checks, 0)
		like.Add(scatter[i])
	}
	for i, checks := range series {
		o := history.Options{Due: checks[len(checks)-1].Date.AddMonths(12), Known: like.For(scatter[i])}
		if _, err := history.Assess(checks, o); err != nil {
			return err
		}
	}
	return nil
}

// driftCold is drift when neither file is in memory.
func (s *stage) driftCold() operation {
	op := s.drift()
	op.name, op.limit = "drift, the files not in memory", nil
	op.prepare = s.dueCold().prepare
	return op
}

// chain proves the journal's chain on one processor and on all, a whole process
// each; beside it openssl hashes as many bytes.
func (s *stage) chain() []operation {
	file := filepath.Join(s.dir, "payload")
	prepare := func(bool) error { return s.fleet.writePayload(file) }
	openssl := func() error { return process(nil, "openssl", "dgst", "-sha256", file) }
	asked := s.words("verify", "--chain")
	one := func() error { return process(nil, "env", append([]string{"GOMAXPROCS=1", s.wring}, asked...)...) }
	return []operation{
		{name: "the chain of the journal, one processor", ours: one, prepare: prepare, other: openssl, otherName: "openssl SHA-256", goalOther: "goal 1.0",
			limit: func() error { return hashed(sizeOf(file)) }, limitName: "SHA-256 in memory"},
		{name: "the chain of the journal", ours: s.ask(asked), prepare: prepare, other: one, otherName: "on one processor", goalOther: "goal 0.56 on two"},
	}
}

// onOne does something with one processor.
func onOne(do func() error) error {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	return do()
}

func (s *stage) certificate() operation {
	n := 0
	return operation{name: "one certificate (goal 10 ms)", ours: func() error {
		n++
		return process(nil, s.wring, s.words("certificate", gaugeID(n), "--out", filepath.Join(s.dir, "certificate.pdf"), "--replace")...)
	}, limit: s.opening(), limitName: "opening"}
}

// certificates sets those of a span in one run, a thousand in a fleet of fifty
// thousand and all in one of a thousand; the time is that of one of them.
func (s *stage) certificates() operation {
	papers := filepath.Join(s.dir, "papers")
	last := firstYear + s.checks - 1
	until := calib.MustDate(fmt.Sprintf("%d-12-31", last))
	if s.fleet.gauges > 2000 {
		until = calib.MustDate(fmt.Sprintf("%d-01-01", last)).AddDays(365 * 1000 / s.fleet.gauges)
	}
	op := operation{name: "certificates in one run, each (goal 3 ms)"}
	op.prepare = func(bool) error { return os.RemoveAll(papers) }
	op.ours = s.ask(s.words("report", "certificates", papers, "--since", fmt.Sprintf("%d-01-01", last), "--until", until.String()))
	op.parts = func() int { list, _ := os.ReadDir(papers); return len(list) }
	return op
}

// each is how many checks one measurement of keep keeps.
const each = 50

// keep keeps checks one by one, each durable before the next.
func (s *stage) keep(journal, mode string) operation {
	goals := map[string]string{"DELETE": "goal 0.8", "WAL": "goal 1.8"}
	op := operation{name: fmt.Sprintf("%d checks kept one by one, beside %s", each, mode), otherName: journal + ", FULL", goalOther: goals[mode],
		limitName: "as many pages by hand", goalLimit: "goal 1.3"}
	var next []registry.KeptCheck
	var script string
	var where *ground
	var pages float64
	op.prepare = func(ours bool) (err error) {
		if !ours {
			return nil
		}
		if where == nil {
			if where, err = newGround(s.dir, sizeOf(s.fleet.path)); err != nil {
				return err
			}
		}
		if next, err = s.fleet.more(each); err == nil {
			script, err = s.script(next, true)
		}
		return err
	}
	op.ours = func() error {
		before := bytesWritten()
		err := s.fleet.keepEach(next)
		pages = (bytesWritten() - before) / pageBytes / each
		return err
	}
	if s.sqlite != nil {
		op.other = func() error {
			return s.sqlite.run(fmt.Sprintf("PRAGMA journal_mode = %s;\nPRAGMA synchronous = FULL;\n%s", mode, script))
		}
	}
	op.limit = func() error { return where.write(int(pages+0.5), each) }
	return op
}

// bulk keeps a thousand checks in one transaction, every view with them; they
// are worked out beforehand.
func (s *stage) bulk() operation {
	n := min(batch, s.fleet.gauges)
	op := operation{name: fmt.Sprintf("%d checks kept in one transaction", n), otherName: "rollback journal, FULL", goalOther: "goal 0.67"}
	var next []registry.KeptCheck
	var script string
	op.prepare = func(ours bool) (err error) {
		if !ours {
			return nil
		}
		if next, err = s.fleet.more(n); err == nil {
			script, err = s.script(next, false)
		}
		return err
	}
	op.ours = func() error { return s.fleet.keepAll(next) }
	if s.sqlite != nil {
		op.other = func() error {
			return s.sqlite.run("PRAGMA journal_mode = DELETE;\nPRAGMA synchronous = FULL;\n" + script)
		}
	}
	return op
}

// script keeps the same checks by SQL: one transaction for each, or one for all.
func (s *stage) script(kept []registry.KeptCheck, single bool) (string, error) {
	var b strings.Builder
	begin, end := "BEGIN IMMEDIATE;\n", "COMMIT;\n"
	if !single {
		b.WriteString(begin)
		begin, end = "", ""
	}
	for _, k := range kept {
		text, err := json.Marshal(k)
		if err != nil {
			return "", err
		}
		s.fleet.sqlSeq++
		b.WriteString(begin + keeping(k, s.fleet.sqlSeq+1_000_000_000, string(text), string(text[:min(900, len(text))])) + end)
	}
	if !single {
		b.WriteString("COMMIT;\n")
	}
	return b.String(), nil
}

// more works out further checks of the fleet's gauges, each a day after any
// before.
func (f *fleet) more(n int) ([]registry.KeptCheck, error) {
	r, err := registry.OpenReading(f.path)
	if err != nil {
		return nil, err
	}
	defer r.Close()
	if f.next+n > f.gauges {
		f.next, f.extra = 0, f.extra+1
	}
	jobs, err := f.jobs(r, f.checks+f.extra, f.next, f.next+n)
	if err != nil {
		return nil, err
	}
	f.next += n
	var kept []registry.KeptCheck
	for _, w := range inorder.Each(jobs, worked) {
		if w.err != nil {
			return nil, w.err
		}
		kept = append(kept, w.kept)
	}
	return kept, nil
}

// A workedOut is a check with its result, or why it has none.
type workedOut struct {
	kept registry.KeptCheck
	err  error
}

func worked(j job) (w workedOut) {
	w.kept, w.err = j.workOut()
	return w
}

// keepEach keeps checks one by one.
func (f *fleet) keepEach(kept []registry.KeptCheck) error {
	r, err := f.open()
	if err != nil {
		return err
	}
	defer r.Close()
	for _, k := range kept {
		if err := r.Update(func(tx *registry.Tx) error { _, err := tx.KeepCheck(k); return err }); err != nil {
			return err
		}
	}
	return nil
}

func (f *fleet) keepAll(kept []registry.KeptCheck) error {
	r, err := f.open()
	if err != nil {
		return err
	}
	defer r.Close()
	return r.Update(func(tx *registry.Tx) error {
		for _, w := range inorder.Each(kept, ready) {
			if w.err != nil {
				return w.err
			}
			if _, err := tx.KeepReady(w.check); err != nil {
				return err
			}
		}
		return nil
	})
}

// A readied is a check that is ready to be kept, or why not.
type readied struct {
	check registry.ReadyCheck
	err   error
}

func ready(k registry.KeptCheck) (w readied) {
	w.check, w.err = registry.Ready(k)
	return w
}

func (f *fleet) open() (*registry.Registry, error) {
	now := f.now()
	return registry.Open(f.path, f.hand(&now))
}

// errHash cannot come; it keeps the hash from being left out.
var errHash = errors.New("a hash of nothing but zeros")

// hashed hashes so many bytes out of memory.
func hashed(n int64) error {
	block := make([]byte, 1<<20)
	sum := sha256.New()
	for ; n > 0; n -= int64(len(block)) {
		sum.Write(block[:min(n, int64(len(block)))])
	}
	if [32]byte(sum.Sum(nil)) == [32]byte{} {
		return errHash
	}
	return nil
}
