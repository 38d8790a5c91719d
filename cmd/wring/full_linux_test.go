package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// TestFaultDiskFull lets the program write where there is no room: in a file
// that may grow no further, and on a small disk that was filled up. It says so
// in one line, keeps nothing, and the registry is as it was.
func TestFaultDiskFull(t *testing.T) {
	t.Run("largest size of a file", func(t *testing.T) {
		dir, head := faultShop(t, 1)
		info, err := os.Stat(filepath.Join(dir, "registry.wring"))
		if err != nil {
			t.Fatal(err)
		}
		scan := bulky(t, dir, 600<<10)
		c := exec.Command("sh", "-c", fmt.Sprintf("ulimit -f %d; exec wring attachment add MIC-014 %s", info.Size()/512, scan))
		c.Dir, c.Env = dir, program(dir).Env
		refusedForRoom(t, c, dir, head)
	})
	t.Run("disk", func(t *testing.T) {
		from, _ := faultShop(t, 1)
		dir := t.TempDir()
		if err := syscall.Mount("tmpfs", dir, "tmpfs", 0, "size=2m"); err != nil {
			t.Skipf("a small disk cannot be mounted here: %v", err)
		}
		t.Cleanup(func() {
			if err := syscall.Unmount(dir, 0); err != nil {
				t.Error(err)
			}
		})
		if err := copyFile(filepath.Join(from, "registry.wring"), filepath.Join(dir, "registry.wring")); err != nil {
			t.Fatal(err)
		}
		head := proved(t, filepath.Join(dir, "registry.wring")).Head.String()
		scan := bulky(t, from, 3<<20)
		refusedForRoom(t, program(dir, "attachment", "add", "MIC-014", scan), dir, head)
		for _, copies := range [][]string{{"backup", "copy.wring"}, {"export", "all"}} {
			if err := os.WriteFile(filepath.Join(dir, "filler"), make([]byte, 2<<20), 0o600); err == nil {
				t.Fatal("the disk is not full")
			}
			refusedForRoom(t, program(dir, copies...), dir, head)
			if err := os.Remove(filepath.Join(dir, "filler")); err != nil {
				t.Fatal(err)
			}
			if list, _ := filepath.Glob(filepath.Join(dir, "*")); len(list) != 1 {
				t.Errorf("%s: something was left: %v", copies[0], list)
			}
		}
	})
}

func bulky(t *testing.T, dir string, size int) string {
	t.Helper()
	name := filepath.Join(dir, "scan.pdf")
	if err := os.WriteFile(name, append([]byte("%PDF-"), make([]byte, size)...), 0o600); err != nil {
		t.Fatal(err)
	}
	return name
}

// refusedForRoom wants exit status 1, one line that says what is wrong, and the
// registry as it was, which takes the next entry once there is room.
func refusedForRoom(t *testing.T, c *exec.Cmd, dir, head string) {
	t.Helper()
	var out, said bytes.Buffer
	c.Stdout, c.Stderr = &out, &said
	_ = c.Run()
	plainRefusal(t, said.String())
	if c.ProcessState.ExitCode() != exitRefused || out.Len() > 0 || !strings.Contains(said.String(), "no room") && !strings.Contains(said.String(), "no space left") {
		t.Errorf("%s: %s\n%s%s", c.Args[1], c.ProcessState, out.String(), said.String())
	}
	if got := proved(t, filepath.Join(dir, "registry.wring")).Head.String(); got != head {
		t.Errorf("%s: the head is %s, and was %s", c.Args[1], got, head)
	}
}
