//go:build !windows

package store

import (
	"errors"
	"os"
	"syscall"
)

// syncFolder makes the names in a folder durable, as fsync of a file does not.
func syncFolder(folder string) error {
	f, err := os.Open(folder)
	if err != nil {
		return err
	}
	defer f.Close()
	// Some file systems have no fsync of a folder and say EINVAL (fsync(2)).
	if err := f.Sync(); err != nil && !errors.Is(err, syscall.EINVAL) {
		return err
	}
	return nil
}
