package store

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"example.org/wring/registry/journal"
)

// childVar names, in the environment of a child process, what it has to do.
const childVar = "WRING_STORE_CHILD"

// child is this test program again, as another process: it does one of these
// with the registry at path, and says on its standard output how it went.
func child(what, path string) error {
	switch what {
	case "hold", "hold to read":
		s, err := Open(path, Options{ReadOnly: what == "hold to read"})
		if err != nil {
			return err
		}
		fmt.Println("open")
		_, _ = io.Copy(io.Discard, os.Stdin)
		return s.Close()
	case "write for ever":
		return writeEntries(path, 1<<30)
	case "create for ever":
		for i := 0; ; i++ {
			if err := Create(fmt.Sprintf("%s-%d.wring", path, i), kept(), putOne); err != nil {
				return err
			}
			fmt.Println(i)
		}
	case "write 20":
		return writeEntries(path, 20)
	case "check":
		return CheckStructure(path)
	}
	return systemChild(what, path)
}

// writeEntries opens the registry anew for each entry, as a command does, and
// acknowledges each on standard output.
func writeEntries(path string, n int) error {
	for range n {
		s, err := Open(path, Options{Timeout: 30 * time.Second, WriteOnce: writeOnce()})
		if err != nil {
			return err
		}
		// Five in a row, so that a kill meets a commit more often than an open.
		for range 5 {
			var head journal.Head
			if err := s.Update(func(tx *Tx) (err error) { head, err = appendEntry(tx); return err }); err != nil {
				return err
			}
			fmt.Println(head.Seq)
		}
		if err := s.Close(); err != nil {
			return err
		}
	}
	return nil
}

func TestMain(m *testing.M) {
	if what := os.Getenv(childVar); what != "" {
		if err := child(what, os.Args[1]); err != nil {
			fmt.Println(err)
			os.Exit(1)
		}
		os.Exit(0)
	}
	os.Exit(m.Run())
}

// spawn starts a child. Its standard input stays open until stop is called,
// which waits for its end.
func spawn(t *testing.T, what, path string) (cmd *exec.Cmd, out *bufio.Reader, stop func() error) {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Skip(err)
	}
	cmd = exec.Command(self, path)
	cmd.Env = append(os.Environ(), childVar+"="+what)
	in, err := cmd.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	pipe, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	cmd.Stderr = os.Stderr
	if err := cmd.Start(); err != nil {
		t.Skip(err)
	}
	return cmd, bufio.NewReader(pipe), func() error { in.Close(); return cmd.Wait() }
}

func TestAnotherProcessKeepsWritersOutAndReadersToo(t *testing.T) {
	path, _ := newRegistry(t, 3)
	short := 100 * time.Millisecond
	for _, c := range []struct {
		theirs          string
		mayRead, mayAdd bool
	}{{"hold", false, false}, {"hold to read", true, false}} {
		_, out, stop := spawn(t, c.theirs, path)
		if line, err := out.ReadString('\n'); line != "open\n" {
			t.Fatalf("child says %q (%v)", line, err)
		}
		for _, readOnly := range []bool{true, false} {
			s, err := Open(path, Options{ReadOnly: readOnly, Timeout: short})
			if may := readOnly && c.mayRead || !readOnly && c.mayAdd; may {
				if err != nil {
					t.Errorf("%s there, read only %v here: %v", c.theirs, readOnly, err)
				} else {
					closed(t, s)
				}
				continue
			}
			wants(t, err, ErrBusy)
			if !strings.Contains(err.Error(), "100ms") {
				t.Errorf("message %q does not say how long was waited", err)
			}
		}
		if err := stop(); err != nil {
			t.Error(err)
		}
		closed(t, open(t, path, Options{Timeout: short}))
	}
}

// kill -9 in the middle of commits, again and again on one file: nothing that
// was acknowledged is lost, and nothing is there by half.
func TestAKilledWriterLosesNothingItAcknowledged(t *testing.T) {
	path, head := newRegistry(t, 1)
	rng := rand.New(rand.NewPCG(29, 31))
	acked, lastly := head.Seq, 0
	for i := range *kills {
		cmd, out, stop := spawn(t, "write for ever", path)
		// The first line means that it is at work.
		line, err := out.ReadString('\n')
		if err != nil {
			t.Fatalf("kill %d: the child ended: %v", i, err)
		}
		time.Sleep(time.Duration(rng.IntN(8000)) * time.Microsecond)
		if err := cmd.Process.Kill(); err != nil {
			t.Fatal(err)
		}
		for ; err == nil; line, err = out.ReadString('\n') {
			seq, bad := strconv.ParseUint(strings.TrimSpace(line), 10, 64)
			if bad != nil || seq != acked+1 {
				t.Fatalf("kill %d: the child says %q after %d", i, line, acked)
			}
			acked = seq
		}
		_ = stop()
		head, err := verify(path)
		if err != nil {
			t.Fatalf("kill %d: %v", i, err)
		}
		switch head.Seq {
		case acked:
		case acked + 1: // on the disk, and killed before it could say so
			lastly++
			acked++
		default:
			t.Fatalf("kill %d: %d entries, %d acknowledged", i, head.Seq, acked)
		}
	}
	t.Logf("%d kills, %d entries, %d of them not acknowledged; none lost", *kills, acked, lastly)
}

// kill -9 in the middle of making registries: each has its name whole or not
// at all.
func TestAKilledCreateLeavesNoHalfRegistry(t *testing.T) {
	rng := rand.New(rand.NewPCG(37, 41))
	for i := range max(*kills/4, 1) {
		folder := t.TempDir()
		cmd, out, stop := spawn(t, "create for ever", filepath.Join(folder, "shop"))
		line, err := out.ReadString('\n')
		if err != nil {
			t.Fatalf("kill %d: the child ended: %v", i, err)
		}
		time.Sleep(time.Duration(rng.IntN(8000)) * time.Microsecond)
		if err := cmd.Process.Kill(); err != nil {
			t.Fatal(err)
		}
		acked := 0
		for ; err == nil; line, err = out.ReadString('\n') {
			if strings.TrimSpace(line) != strconv.Itoa(acked) {
				t.Fatalf("kill %d: the child says %q", i, line)
			}
			acked++
		}
		_ = stop()
		made, err := filepath.Glob(filepath.Join(folder, "*.wring"))
		if err != nil || len(made) < acked || len(made) > acked+1 {
			t.Fatalf("kill %d: %d registries (%v), %d acknowledged", i, len(made), err, acked)
		}
		for _, path := range made {
			if _, err := verify(path); err != nil {
				t.Errorf("kill %d: %v", i, err)
			}
		}
	}
}

func TestManyProcessesWriteOneChain(t *testing.T) {
	path, head := newRegistry(t, 1)
	const writers = 4
	var stops []func() error
	for range writers {
		_, out, stop := spawn(t, "write 20", path)
		go func() { _, _ = io.Copy(io.Discard, out) }()
		stops = append(stops, stop)
	}
	for _, stop := range stops {
		if err := stop(); err != nil {
			t.Errorf("a writer: %v", err)
		}
	}
	if got, err := verify(path); err != nil || got.Seq != head.Seq+writers*20*5 {
		t.Errorf("the head is %s (%v), want number %d", got, err, head.Seq+writers*20*5)
	}
}

func TestBboltsOwnCheckRunsInAProcessOfItsOwn(t *testing.T) {
	path, _ := newRegistry(t, 20)
	run := func(path string) (string, error) {
		_, out, stop := spawn(t, "check", path)
		text, err := io.ReadAll(out)
		return string(text), errors.Join(err, stop())
	}
	if text, err := run(path); err != nil || text != "" {
		t.Errorf("a whole registry: %q (%v), want nothing to say", text, err)
	}
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	s := open(t, path, Options{ReadOnly: true})
	at := int64(s.found.freelist)*s.found.pageSize + pageHeader
	closed(t, s)
	b[at] ^= 1 // another page is free, and the one that was has no use
	bad := filepath.Join(t.TempDir(), "bad.wring")
	if err := os.WriteFile(bad, b, 0o600); err != nil {
		t.Fatal(err)
	}
	text, err := run(bad)
	if err == nil || !strings.HasPrefix(text, "registry ") || !strings.Contains(text, "damaged: ") {
		t.Errorf("a list of free pages with a wrong one: %q (%v), want damage", text, err)
	}
}
