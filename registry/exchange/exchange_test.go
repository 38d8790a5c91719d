package exchange

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"example.org/wring/calib"
	"example.org/wring/registry"
	"example.org/wring/uncertainty/unit"
)

func hand() registry.Hand {
	return registry.Hand{Person: "EK", Program: "test", Now: func() time.Time { return time.Date(2026, 11, 25, 10, 0, 0, 0, time.UTC) }}
}

// workshop makes a registry with n gauges and two entries of one file.
func workshop(t *testing.T, n int) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "shop.wring")
	if err := registry.Create(path, calib.House{Organisation: "invented", Unit: "mm"}, hand()); err != nil {
		t.Fatal(err)
	}
	update(t, path, func(tx *registry.Tx) error {
		for i := range n {
			g := calib.Gauge{ID: fmt.Sprintf("MIC-%04d", i), Kind: calib.OutsideMicrometer, Unit: "mm",
				Low: unit.Must("0 mm", unit.Length), High: unit.Must("25 mm", unit.Length), Resolution: unit.Must("0.001 mm", unit.Length)}
			if _, err := tx.AddGauge(g); err != nil {
				return err
			}
		}
		for _, name := range []string{"one.pdf", "two.pdf"} {
			subject := map[string]string{"one.pdf": "MIC-0000", "two.pdf": "MIC-0001"}[name]
			if _, err := tx.Attach(registry.Attachment{Subject: subject, Name: name}, []byte("%PDF-1.4 a certificate – invented")); err != nil {
				return err
			}
		}
		return nil
	})
	return path
}

func update(t *testing.T, path string, fn func(*registry.Tx) error) {
	t.Helper()
	r, err := registry.Open(path, hand())
	if err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(r.Update(fn), r.Close()); err != nil {
		t.Fatal(err)
	}
}

func view(t *testing.T, path string, fn func(*registry.Tx) error) error {
	t.Helper()
	r, err := registry.OpenReading(path)
	if err != nil {
		return err
	}
	defer r.Close()
	return r.View(fn)
}

func headAt(t *testing.T, path string) (head string) {
	t.Helper()
	p, err := prove(path, hand())
	if err != nil || !p.Sound() {
		t.Fatalf("%s: %+v, %v", path, p.Views, err)
	}
	return p.Head.String()
}

func export(t *testing.T, path string) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "out")
	if err := view(t, path, func(tx *registry.Tx) error { _, err := Export(tx, dir, hand()); return err }); err != nil {
		t.Fatal(err)
	}
	return dir
}

func TestAnImportOfAnExportHasTheSameHead(t *testing.T) {
	for _, n := range []int{2, 1500} { // one batch, and more than one
		path := workshop(t, n)
		dir := export(t, path)
		copied := filepath.Join(t.TempDir(), "copy.wring")
		got, err := Import(dir, copied, hand())
		if err != nil {
			t.Fatal(err)
		}
		if want := headAt(t, path); headAt(t, copied) != want || got.Head.String() != want || got.Manifest.Head != want || got.Manifest.Attachments != 1 {
			t.Errorf("%d gauges: head %s, manifest %+v, want %s", n, got.Head, got.Manifest, want)
		}
		info, err := os.Stat(copied)
		if err != nil || info.Mode().Perm() != 0o600 {
			t.Errorf("mode %v, %v; want 0600", info.Mode(), err)
		}
	}
}

// The export is proved here by FORMAT.txt alone, without a line of the journal
// package: encoding/json for the fields, and SHA-256 over the text as it stands.
func TestAnExportIsProvedByItsDescriptionAlone(t *testing.T) {
	path := workshop(t, 40)
	dir := export(t, path)
	text, err := os.ReadFile(filepath.Join(dir, "journal.jsonl"))
	if err != nil {
		t.Fatal(err)
	}
	prev := make([]byte, 32)
	lines := bytes.Split(bytes.TrimSuffix(text, []byte("\n")), []byte("\n"))
	for i, line := range lines {
		var r struct {
			Entry json.RawMessage
			Hash  string
			Seq   uint64
		}
		if err := json.Unmarshal(line, &r); err != nil {
			t.Fatal(err)
		}
		h := sha256.New()
		h.Write([]byte("wring journal 1\n"))
		h.Write(prev)
		h.Write(binary.BigEndian.AppendUint64(nil, r.Seq))
		h.Write(r.Entry)
		if prev = h.Sum(nil); hex.EncodeToString(prev) != r.Hash || r.Seq != uint64(i+1) {
			t.Fatalf("line %d: SHA-256 %x, the line says %s", i+1, prev, r.Hash)
		}
	}
	if head := fmt.Sprintf("%d-%x", len(lines), prev); head != headAt(t, path) {
		t.Errorf("head %s by the description, %s by the program", head, headAt(t, path))
	}
	list, err := os.ReadDir(filepath.Join(dir, "attachments"))
	if err != nil || len(list) != 1 {
		t.Fatalf("%d files, %v; want one", len(list), err)
	}
	data, _ := os.ReadFile(filepath.Join(dir, "attachments", list[0].Name()))
	if sum := sha256.Sum256(data); hex.EncodeToString(sum[:]) != list[0].Name() {
		t.Errorf("%s holds bytes of SHA-256 %x", list[0].Name(), sum)
	}
}

// White space that another program put between the parts changes nothing.
func TestAnExportThatWasIndentedIsTheSame(t *testing.T) {
	path := workshop(t, 3)
	dir := export(t, path)
	name := filepath.Join(dir, journalFile)
	text, _ := os.ReadFile(name)
	spaced := strings.NewReplacer(`{"at":`, `{ "at" : `, `,"kind":`, ` , "kind":`, `,"hash":`, `,  "hash": `).Replace(string(text))
	if spaced == string(text) {
		t.Fatal("nothing was changed")
	}
	if err := os.WriteFile(name, []byte(spaced), 0o600); err != nil {
		t.Fatal(err)
	}
	got, err := Import(dir, filepath.Join(t.TempDir(), "c"), hand())
	if err != nil || got.Head.String() != headAt(t, path) {
		t.Errorf("head %s, %v", got.Head, err)
	}
}

func TestAnImportRefusesWhatIsNotAsItWasWritten(t *testing.T) {
	path := workshop(t, 5)
	lines := func(text string) []string { return strings.SplitAfter(text, "\n") }
	for _, c := range []struct {
		name string
		file string
		do   func(string) string
		want string
	}{
		{"a word changed", journalFile, func(s string) string { return strings.Replace(s, "MIC-0002", "MIC-0009", 1) },
			"journal entry 4: the hash in it is not that of its text after entry 3; want the one it was written with"},
		{"a line taken out", journalFile, func(s string) string { l := lines(s); return strings.Join(append(l[:2:2], l[3:]...), "") },
			"journal entry 3: line 3 of JOURNAL holds entry 4; want every number once and in order"},
		{"the tail taken out", journalFile, func(s string) string { l := lines(s); return strings.Join(l[:4], "") },
			"journal entry 4: is the last of JOURNAL, and the manifest says that head HEAD is; want the whole journal"},
		{"emptied", journalFile, func(string) string { return "" },
			"journal entry 1: missing, the history is empty; want the entry that every registry begins with"},
		{"no JSON", journalFile, func(s string) string { return "{" + s },
			`JOURNAL:1: invalid character '{' looking for beginning of object key string; want an object with "entry", "hash" and "seq", see FORMAT.txt`},
		{"no hash", journalFile, func(s string) string { return strings.Replace(s, `"hash":"`, `"hash":"g`, 1) },
			`JOURNAL:1: no entry with a hash of 64 digits; want an object with "entry", "hash" and "seq", see FORMAT.txt`},
		{"another member", journalFile, func(s string) string { return strings.Replace(s, `{"at"`, `{"approved":true,"at"`, 1) }, ""},
		{"another time", journalFile, func(s string) string { return strings.Replace(s, `10:00:00.000Z`, `10:00`, 1) },
			`JOURNAL:1: time "2026-11-25T10:00"; want one as 2026-11-25T09:30:00.000Z`},
		{"manifest", manifestFile, func(s string) string { return strings.Replace(s, `"form": 1`, `"form": 2`, 1) },
			"MANIFEST: form 2, written by a newer program (test); want form 1 or a newer program"},
		{"no manifest", manifestFile, func(string) string { return "x" }, "MANIFEST: no manifest; want one as backup and export write it"},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := export(t, path)
			name := filepath.Join(dir, c.file)
			text, err := os.ReadFile(name)
			if err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(name, []byte(c.do(string(text))), 0o600); err != nil {
				t.Fatal(err)
			}
			copied := filepath.Join(t.TempDir(), "c")
			_, err = Import(dir, copied, hand())
			want := strings.NewReplacer("JOURNAL", filepath.Join(dir, journalFile), "MANIFEST", filepath.Join(dir, manifestFile), "HEAD", headAt(t, path)).Replace(c.want)
			if c.name == "another member" {
				// A member that no entry has was never hashed: it does not come in.
				if err != nil || headAt(t, copied) != headAt(t, path) {
					t.Errorf("%v", err)
				}
				return
			}
			if err == nil || err.Error() != want {
				t.Errorf("got  %v\nwant %s", err, want)
			}
			if list, _ := os.ReadDir(filepath.Dir(copied)); len(list) > 0 {
				t.Errorf("it left %v", list)
			}
		})
	}
}

func TestAnImportRefusesAFileThatIsNotAsItWasWritten(t *testing.T) {
	for name, do := range map[string]func(string) error{
		"changed":   func(p string) error { return os.WriteFile(p, []byte("%PDF-1.4 a certificate – Invented"), 0o600) },
		"gone":      os.Remove,
		"too large": func(p string) error { return os.Truncate(p, registry.MaxAttachment+5) },
	} {
		dir := export(t, workshop(t, 2))
		list, _ := filepath.Glob(filepath.Join(dir, filesFolder, "*"))
		if err := do(list[0]); err != nil {
			t.Fatal(err)
		}
		var damage *registry.DamageError
		if _, err := Import(dir, filepath.Join(t.TempDir(), "c"), hand()); !errors.As(err, &damage) || damage.Seq != 4 {
			t.Errorf("%s: %v, want damage at entry 4", name, err)
		}
	}
}

func TestAnExportGoesNowhereButToANewFolder(t *testing.T) {
	path := workshop(t, 2)
	dir := t.TempDir()
	try := func(to string) error {
		return view(t, path, func(tx *registry.Tx) error { _, err := Export(tx, to, hand()); return err })
	}
	if err := try(dir); err != nil {
		t.Errorf("an empty folder: %v", err)
	}
	var there *Error
	if err := try(dir); !errors.As(err, &there) {
		t.Errorf("a full folder: %v", err)
	}
	if err := try(path); err == nil {
		t.Error("a file was taken for a folder")
	}
	if err := try(filepath.Join(t.TempDir(), "no", "folder")); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("no folder: %v", err)
	}
}

func backup(t *testing.T, path string) string {
	t.Helper()
	r, err := registry.OpenReading(path)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	to := filepath.Join(t.TempDir(), "backup.wring")
	if _, err := Backup(r, to, hand()); err != nil {
		t.Fatal(err)
	}
	return to
}

func TestABackupIsMadeWhileOthersReadAndIsProved(t *testing.T) {
	path := workshop(t, 20)
	other, err := registry.OpenReading(path)
	if err != nil {
		t.Fatal(err)
	}
	defer other.Close()
	if err := other.View(func(*registry.Tx) error {
		m, err := CheckBackup(backup(t, path), hand())
		if err != nil || m.Head != headAt(t, path) || m.Entries != 23 || m.Attachments != 1 {
			t.Errorf("%+v, %v", m, err)
		}
		return nil
	}); err != nil {
		t.Fatal(err)
	}
}

func TestABackupTakesNoNameThatIsTaken(t *testing.T) {
	path := workshop(t, 2)
	r, err := registry.OpenReading(path)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	var there *Error
	for _, taken := range []string{"b", "b.manifest.json"} {
		dir := t.TempDir()
		if err := os.WriteFile(filepath.Join(dir, taken), []byte("mine"), 0o600); err != nil {
			t.Fatal(err)
		}
		if _, err := Backup(r, filepath.Join(dir, "b"), hand()); !errors.As(err, &there) {
			t.Errorf("%s is there: %v", taken, err)
		}
		list, _ := os.ReadDir(dir)
		if text, _ := os.ReadFile(filepath.Join(dir, taken)); len(list) != 1 || string(text) != "mine" {
			t.Errorf("%s: it left %v", taken, list)
		}
	}
	if _, err := Backup(r, path, hand()); !errors.As(err, &there) {
		t.Errorf("onto itself: %v", err)
	}
}

func TestARestoreBringsEverythingBackAndSaysSo(t *testing.T) {
	path := workshop(t, 10)
	b, before := backup(t, path), headAt(t, path)
	to := filepath.Join(t.TempDir(), "again.wring")
	got, err := Restore(b, to, hand(), false)
	if err != nil {
		t.Fatal(err)
	}
	if got.Manifest.Head != before || got.Head.Seq != 14 || got.Aside != "" {
		t.Errorf("%+v", got)
	}
	if err := view(t, to, func(tx *registry.Tx) error {
		e, _, err := tx.Entry(14)
		if err != nil || e.Kind != registry.KindRestore || !strings.Contains(string(e.Payload), before) {
			t.Errorf("entry 14: %s %s, %v", e.Kind, e.Payload, err)
		}
		m, err := registry.ParseMark(before)
		if err != nil {
			return err
		}
		s, err := tx.StandingOf(m)
		if s != registry.Contained {
			t.Errorf("the head of the backup is %s, %v", s, err)
		}
		_, data, err := tx.AttachmentAt(12)
		if string(data) != "%PDF-1.4 a certificate – invented" {
			t.Errorf("attachment %q, %v", data, err)
		}
		return err
	}); err != nil {
		t.Fatal(err)
	}
	headAt(t, to)
}

func TestARestoreReplacesOnlyWhenToldToAndDeletesNothing(t *testing.T) {
	path := workshop(t, 10)
	b := backup(t, path)
	update(t, path, func(tx *registry.Tx) error {
		_, err := tx.ChangeStatus(calib.StatusChange{Gauge: "MIC-0001", Status: calib.Lost, Date: calib.MustDate("2026-11-25"), Reason: "r"})
		return err
	})
	old, _ := os.ReadFile(path)
	if _, err := Restore(b, path, hand(), false); !errors.Is(err, registry.ErrExists) {
		t.Fatalf("without leave: %v", err)
	}
	if now, _ := os.ReadFile(path); !bytes.Equal(old, now) {
		t.Fatal("it refused, and changed the registry")
	}
	got, err := Restore(b, path, hand(), true)
	if err != nil {
		t.Fatal(err)
	}
	if aside, err := os.ReadFile(got.Aside); err != nil || !bytes.Equal(old, aside) {
		t.Errorf("the old registry is not as it was under %q: %v", got.Aside, err)
	}
	headAt(t, path)
	headAt(t, got.Aside)
}

func TestADamagedRegistryCanBeReplaced(t *testing.T) {
	path := workshop(t, 10)
	b := backup(t, path)
	if err := os.Truncate(path, 20000); err != nil {
		t.Fatal(err)
	}
	got, err := Restore(b, path, hand(), true)
	if err != nil || got.Aside == "" {
		t.Fatalf("%+v, %v", got, err)
	}
	headAt(t, path)
}

func TestARestoreRefusesWhatIsNoBackupOrADamagedOne(t *testing.T) {
	path := workshop(t, 30)
	flip := func(at int) func(string) error {
		return func(b string) error {
			data, err := os.ReadFile(b)
			if err != nil {
				return err
			}
			data[at] ^= 1
			return os.WriteFile(b, data, 0o600)
		}
	}
	var file *registry.FileDamageError
	var entry *registry.DamageError
	for name, do := range map[string]func(string) error{
		"text":           func(b string) error { return os.WriteFile(b, []byte("no backup"), 0o600) },
		"empty":          func(b string) error { return os.WriteFile(b, nil, 0o600) },
		"gone":           os.Remove,
		"cut off":        func(b string) error { return os.Truncate(b, 40000) },
		"one bit":        flip(50000),
		"unused byte":    flip(16<<10 - 1),
		"other manifest": func(b string) error { return os.WriteFile(manifestOf(b), []byte(`{"form":1,"head":"3-00"}`), 0o600) },
		"newer":          func(b string) error { return os.WriteFile(manifestOf(b), []byte(`{"form":9}`), 0o600) },
	} {
		b := backup(t, path)
		if err := do(b); err != nil {
			t.Fatal(err)
		}
		dir := t.TempDir()
		_, err := Restore(b, filepath.Join(dir, "again"), hand(), false)
		if err == nil {
			t.Errorf("%s: it was restored", name)
		}
		if strings.Contains(err.Error(), "\n") {
			t.Errorf("%s: more than one line: %v", name, err)
		}
		if (name == "one bit" || name == "unused byte") && !errors.As(err, &file) && !errors.As(err, &entry) {
			t.Errorf("%s: %v, want damage", name, err)
		}
		if list, _ := os.ReadDir(dir); len(list) > 0 {
			t.Errorf("%s: it left %v", name, list)
		}
	}
}

func FuzzLine(f *testing.F) {
	f.Add([]byte(`{"entry":{"at":"2026-11-25T10:00:00.000Z","kind":"x","payload":1,"person":"a","program":"b"},"hash":"` + strings.Repeat("0", 64) + `","seq":1}`))
	f.Add([]byte(`{"entry":null,"hash":"","seq":-1}`))
	f.Fuzz(func(t *testing.T, line []byte) {
		e, _, err := parseLine(line)
		if err == nil && e.At.IsZero() && !bytes.Contains(line, []byte("0001")) {
			t.Errorf("%q gave an entry without a time", line)
		}
	})
}
