//go:build unix

package exchange

import (
	"errors"
	"path/filepath"
	"syscall"
	"testing"
)

// A pipe in the place of a part of a copy is refused, and not waited for.
func TestAPipeIsNoPartOfACopy(t *testing.T) {
	dir := t.TempDir()
	pipe := filepath.Join(dir, "x.manifest.json")
	if err := syscall.Mkfifo(pipe, 0o600); err != nil {
		t.Skipf("no pipes here: %v", err)
	}
	var refused *Error
	if _, err := readManifest(pipe); !errors.As(err, &refused) || refused.Found != "no ordinary file" {
		t.Errorf("got %v, want it refused", err)
	}
}
