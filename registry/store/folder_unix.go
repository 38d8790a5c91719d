//go:build !windows

package store

import "os"

// syncFolder makes the names in a folder durable, as fsync of a file does not.
func syncFolder(folder string) error {
	f, err := os.Open(folder)
	if err != nil {
		return err
	}
	defer f.Close()
	return f.Sync()
}
