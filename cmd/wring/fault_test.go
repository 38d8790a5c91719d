package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"example.org/wring/calib"
	"example.org/wring/registry"
)

// What happens to a registry in the hands of the world, at the level of the
// program: processes that are killed, files that are cut off or rot, many who
// write at once. What can be done to the file below it is in registry/store.
//
// Each loop is short in a normal run; WRING_FAULTS=full makes it whole:
//
//	WRING_FAULTS=full go test -run Fault -v ./cmd/wring

// rounds is how often a fault is provoked.
func rounds(short, full int) int {
	if os.Getenv("WRING_FAULTS") == "full" {
		return full
	}
	if testing.Short() {
		return max(1, short/4)
	}
	return short
}

// program runs it as a process of its own, with the clock that stands still.
func program(dir string, args ...string) *exec.Cmd {
	c := exec.Command("wring", args...)
	c.Dir = dir
	c.Env = append(os.Environ(), "WRING_TEST_CLOCK="+scriptClock, "WRING_REGISTRY=registry.wring")
	return c
}

// inside runs it in this process, which the damage must not end.
func inside(path string, args ...string) (status exitStatus, out, said string) {
	var stdout, stderr bytes.Buffer
	e := env{In: strings.NewReader(""), Out: &stdout, Err: &stderr, Getenv: func(string) string { return "" },
		LoggedIn: func() string { return "tester" }, Self: func() (string, error) { return exec.LookPath("wring") },
		Now: func() time.Time { t, _ := time.Parse(time.RFC3339, scriptClock); return t }}
	status = run(append([]string{"wring", "--registry", path}, args...), e)
	return status, stdout.String(), stderr.String()
}

// faultShop makes a registry with a gauge and a few checks, and returns its
// folder and head.
func faultShop(t *testing.T, checks int) (dir, head string) {
	t.Helper()
	t.Setenv("WRING_TEST_CLOCK", scriptClock) // for the child that checks the pages
	dir = t.TempDir()
	path := filepath.Join(dir, "registry.wring")
	commands := [][]string{
		{"init", "--organisation", "invented"},
		{"plan", "add", "--preset", "micrometer-0-25"},
		{"standard", "add", "GB-1", "--kind", "gauge block set", "--grade", "1", "--material", "steel", "--interval", "24"},
		{"standard", "certificate", "GB-1", "--number", "26-1", "--laboratory", "L", "--route", "national institute", "--date", "2026-02-03", "--values", "demo/gb-1.csv"},
		{"standard", "add", "TH-1", "--kind", "thermometer"},
		{"standard", "certificate", "TH-1", "--number", "25-9", "--laboratory", "L", "--route", "national institute", "--date", "2025-02-04"},
		{"gauge", "add", "MIC-014", "--kind", "outside micrometer", "--range", "0..25", "--resolution", "0.001", "--plan", "micrometer-0-25", "--material", "steel"},
	}
	for i := range checks {
		day := calib.MustDate("2026-03-01").AddDays(i).String()
		commands = append(commands, []string{"check", "MIC-014", "--sheet", "../../testdata/demo/mic-014.toml", "--date", day})
	}
	for _, c := range commands {
		if status, _, said := inside(path, c...); status != exitDone {
			t.Fatalf("%s: %s", strings.Join(c, " "), said)
		}
	}
	return dir, proved(t, path).Head.String()
}

func proved(t *testing.T, path string) registry.Proof {
	t.Helper()
	r, err := registry.OpenReading(path)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	p, err := r.Verify(nil)
	if err != nil || !p.Sound() {
		t.Fatalf("%+v, %v", p.Views, err)
	}
	return p
}

// TestFaultKilledWhileWriting kills the program with SIGKILL until it was caught
// so many times in the middle of writing: the file was written to, and nothing
// was acknowledged. What it had acknowledged is there, what is there is whole,
// and the next one can write.
func TestFaultKilledWhileWriting(t *testing.T) {
	dir, _ := faultShop(t, 1)
	k := killing{t: t, dir: dir, path: filepath.Join(dir, "registry.wring"), draw: rand.New(rand.NewPCG(1, 2)), after: 20 * time.Millisecond}
	k.entries = proved(t, k.path).Head.Seq
	want := rounds(3, 500)
	for k.midway < want || k.acknowledged == 0 {
		if k.rounds++; k.rounds > 200*want+200 {
			t.Errorf("after %d rounds: %d killed midway, %d acknowledged; want %d and some", k.rounds, k.midway, k.acknowledged, want)
			break
		}
		k.once()
		if k.rounds%50 == 0 {
			proved(t, k.path)
		}
	}
	if status, out, said := inside(k.path, "verify"); status != exitDone {
		t.Errorf("verify: status %d\n%s%s", status, out, said)
	}
	t.Logf("%d rounds: %d killed before they ended, of these %d in the middle of writing; %d acknowledged, %d entries, none lost",
		k.rounds, k.killed, k.midway, k.acknowledged, k.entries)
}

// A killing counts what came of killed processes, and aims at the moment of
// writing: later after one that had not begun, earlier after one that was done.
type killing struct {
	t         *testing.T
	dir, path string
	draw      *rand.Rand
	after     time.Duration // from the start, on average

	entries                              uint64
	rounds, killed, midway, acknowledged int
}

func (k *killing) once() {
	t := k.t
	before, err := os.Stat(k.path)
	if err != nil {
		t.Fatal(err)
	}
	c := program(k.dir, "gauge", "amend", "MIC-014", "--place", fmt.Sprintf("place %d", k.rounds), "--reason", "r")
	var out bytes.Buffer
	c.Stdout = &out
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	time.Sleep(time.Duration(float64(k.after) * (0.9 + 0.2*k.draw.Float64())))
	_ = c.Process.Kill()
	ended := c.Wait()
	after, err := os.Stat(k.path)
	if err != nil {
		t.Fatal(err)
	}
	now, said := headAt(t, k.path), strings.HasPrefix(out.String(), "entry ")
	switch {
	case said && now != k.entries+1:
		t.Fatalf("round %d: it said %q, and the registry has %d entries after %d", k.rounds, out.String(), now, k.entries)
	case now != k.entries && now != k.entries+1:
		t.Fatalf("round %d: %d entries after %d", k.rounds, now, k.entries)
	}
	k.entries = now
	wrote := after.ModTime() != before.ModTime() || after.Size() != before.Size()
	if ended != nil {
		k.killed++
	}
	switch {
	case said:
		k.acknowledged++
		k.after -= k.after / 20
	case wrote:
		k.midway++
	default:
		k.after += k.after / 20
	}
}

// headAt is the number of the last entry, as the next program finds it.
func headAt(t *testing.T, path string) uint64 {
	t.Helper()
	r, err := registry.OpenReading(path)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	var seq uint64
	if err := r.View(func(tx *registry.Tx) error {
		head, err := tx.Head()
		seq = head.Seq
		return err
	}); err != nil {
		t.Fatal(err)
	}
	return seq
}

// TestFaultCutOffAtEveryPage cuts the file off at the border of every page. It
// is found, unless what was cut off was not in use.
func TestFaultCutOffAtEveryPage(t *testing.T) {
	dir, head := faultShop(t, rounds(4, 60))
	whole, err := os.ReadFile(filepath.Join(dir, "registry.wring"))
	if err != nil {
		t.Fatal(err)
	}
	const page = 16 << 10
	cut, found, unused := filepath.Join(dir, "cut.wring"), 0, 0
	for n := 0; n < len(whole); n += page {
		if err := os.WriteFile(cut, whole[:n], 0o600); err != nil {
			t.Fatal(err)
		}
		status, out, said := inside(cut, "verify", "--head", head)
		plainRefusal(t, said)
		switch {
		case status != exitDone:
			found++
		case !strings.Contains(out, "is contained"):
			t.Fatalf("cut off at %d of %d: status 0 and\n%s", n, len(whole), out)
		default:
			unused++
		}
	}
	if found == 0 {
		t.Error("nothing was found, which shows nothing")
	}
	t.Logf("cut off at %d borders: %d found, at %d nothing in use was lost", len(whole)/page, found, unused)
}

// TestFaultBitFlipped turns one bit of the file over. Either verify says so, or
// the bit belongs to nothing: the same head, the same views, the same results.
// None ends the program or keeps it for ever.
func TestFaultBitFlipped(t *testing.T) {
	dir, head := faultShop(t, 6)
	whole, err := os.ReadFile(filepath.Join(dir, "registry.wring"))
	if err != nil {
		t.Fatal(err)
	}
	draw := rand.New(rand.NewPCG(3, 4))
	bad, found, harmless := filepath.Join(dir, "bad.wring"), map[exitStatus]int{}, 0
	for i := range rounds(60, 2000) {
		at, bit := draw.IntN(len(whole)), draw.IntN(8)
		for i%2 == 0 && whole[at] == 0 { // every second one where something stands
			at = draw.IntN(len(whole))
		}
		flipped := bytes.Clone(whole)
		flipped[at] ^= 1 << bit
		if err := os.WriteFile(bad, flipped, 0o600); err != nil {
			t.Fatal(err)
		}
		status, out, said := inside(bad, "verify", "--head", head)
		plainRefusal(t, said)
		switch {
		case status != exitDone:
			found[status]++
		case !strings.Contains(out, "is contained") || proved(t, bad).Head.String() != head:
			t.Fatalf("round %d: bit %d of byte %d: status 0 and\n%s", i, bit, at, out)
		default:
			harmless++
		}
	}
	t.Logf("%v found by exit status, %d in bytes that hold nothing", found, harmless)
}

// plainRefusal wants a refusal to be one line with at most a hint below it.
func plainRefusal(t *testing.T, said string) {
	t.Helper()
	lines := strings.Split(strings.TrimSuffix(said, "\n"), "\n")
	if len(lines) > 2 || len(lines) == 2 && !strings.HasPrefix(lines[1], "  hint: ") {
		t.Fatalf("it said more than one line and a hint:\n%s", said)
	}
}

// TestFaultManyWriteAtOnce lets processes write at once, each trying again when
// the registry is in use. All entries are there, in one chain.
func TestFaultManyWriteAtOnce(t *testing.T) {
	for _, writers := range []int{2, 10} {
		dir, _ := faultShop(t, 0)
		path := filepath.Join(dir, "registry.wring")
		before, each := proved(t, path).Head.Seq, rounds(4, 50)
		var all sync.WaitGroup
		trouble := make(chan error, writers)
		for w := range writers {
			all.Go(func() {
				for i := range each {
					if err := writeUntilKept(dir, fmt.Sprintf("W%d", w), fmt.Sprintf("%d of %d", i, w)); err != nil {
						trouble <- err
						return
					}
				}
			})
		}
		all.Wait()
		close(trouble)
		for err := range trouble {
			t.Error(err)
		}
		if got := proved(t, path).Head.Seq - before; got != uint64(writers*each) {
			t.Errorf("%d writers: %d entries, want %d", writers, got, writers*each)
		}
		_, out, _ := inside(path, "history", "MIC-014")
		for w := range writers {
			if n := strings.Count(out, fmt.Sprintf("  W%d ", w)); n != each {
				t.Errorf("%d writers: %d entries by W%d, want %d", writers, n, w, each)
			}
		}
	}
}

// writeUntilKept enters something, and tries again only where the registry was
// in use.
func writeUntilKept(dir, person, place string) error {
	for range 100 {
		c := program(dir, "--as", person, "gauge", "amend", "MIC-014", "--place", place, "--reason", "r")
		out, err := c.CombinedOutput()
		var exit *exec.ExitError
		switch {
		case err == nil:
			return nil
		case !errors.As(err, &exit) || exit.ExitCode() != exitBusy:
			return fmt.Errorf("%s: %w\n%s", person, err, out)
		}
	}
	return fmt.Errorf("%s: busy a hundred times", person)
}

// TestFaultReadOnlyFolder wants reading to go on, and writing to be refused in
// one line, where a folder cannot be written to. The system does not keep root
// from anything.
func TestFaultReadOnlyFolder(t *testing.T) {
	if os.Geteuid() == 0 {
		t.Skip("root may write anywhere; registry/store has the same with a read-only disk")
	}
	dir, head := faultShop(t, 1)
	path := filepath.Join(dir, "registry.wring")
	if err := errors.Join(os.Chmod(path, 0o400), os.Chmod(dir, 0o500)); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = os.Chmod(dir, 0o700) })
	if status, out, said := inside(path, "verify", "--head", head); status != exitDone {
		t.Errorf("verify: %d\n%s%s", status, out, said)
	}
	for _, c := range [][]string{{"gauge", "amend", "MIC-014", "--place", "x", "--reason", "r"}, {"backup", filepath.Join(dir, "b")}} {
		status, _, said := inside(path, c...)
		if plainRefusal(t, said); status != exitRefused {
			t.Errorf("%s: %d\n%s", c, status, said)
		}
	}
	if proved(t, path).Head.String() != head {
		t.Error("something was kept")
	}
}

// TestFaultLink wants a symbolic link in the place of the registry to be
// refused by whatever command, and left as it is.
func TestFaultLink(t *testing.T) {
	dir, head := faultShop(t, 1)
	path, link := filepath.Join(dir, "registry.wring"), filepath.Join(dir, "link.wring")
	if err := os.Symlink(path, link); err != nil {
		t.Skip(err)
	}
	for _, c := range [][]string{{"verify"}, {"due"}, {"history"}, {"backup", filepath.Join(dir, "b")}, {"export", filepath.Join(dir, "x")},
		{"gauge", "amend", "MIC-014", "--place", "x", "--reason", "r"}, {"init", "--organisation", "x"}, {"restore", path}, {"restore", path, "--replace"}} {
		status, out, said := inside(link, c...)
		if plainRefusal(t, said); status != exitRefused || out != "" {
			t.Errorf("%s: %d\n%s%s", c, status, out, said)
		}
	}
	if to, err := os.Readlink(link); err != nil || to != path || proved(t, path).Head.String() != head {
		t.Errorf("the link goes to %q (%v)", to, err)
	}
	if list, _ := os.ReadDir(dir); len(list) != 2 {
		t.Errorf("something was left: %v", list)
	}
}

// TestTheCheckOfThePagesIsJudgedByHowItEnds: a crash and a hang are damage.
func TestTheCheckOfThePagesIsJudgedByHowItEnds(t *testing.T) {
	ends := func(script string) error { return exec.Command("sh", "-c", script).Run() }
	var damage *registry.FileDamageError
	for _, c := range []struct {
		err     error
		late    bool
		said    string
		damaged bool
		want    string
	}{
		{nil, false, "", false, "<nil>"},
		{ends("exit 4"), false, "wring: registry \"f\": damaged: page 7: x; want y\n", true, `registry "f": damaged: page 7: x; want y`},
		{ends("exit 2"), false, "panic: ...\n", true, `registry "f": damaged: the check of its pages crashed; want pages that hang together`},
		{ends("kill -9 $$"), false, "", true, `registry "f": damaged: the check of its pages crashed; want pages that hang together`},
		{ends("kill -9 $$"), true, "", true, `registry "f": damaged: the check of its pages did not end within 20s; want pages that hang together`},
		{ends("exit 5"), false, "wring: registry \"f\": in use by another program: x\n", false, `registry "f": in use by another program: x`},
		{io.ErrUnexpectedEOF, false, "", false, "unexpected EOF"},
	} {
		err := judgeStructure("f", c.err, c.late, 20*time.Second, c.said)
		if fmt.Sprint(err) != c.want || errors.As(err, &damage) != c.damaged {
			t.Errorf("got  %v\nwant %s", err, c.want)
		}
	}
}
