package main

import (
	"os"
	"syscall"
)

// forget drops a file from the system's memory.
func forget(path string) error {
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	defer f.Close()
	if err := f.Sync(); err != nil {
		return err
	}
	const dontNeed = 4 // POSIX_FADV_DONTNEED (linux/fadvise.h)
	if _, _, e := syscall.Syscall6(syscall.SYS_FADVISE64, f.Fd(), 0, 0, dontNeed, 0, 0); e != 0 {
		return e
	}
	return nil
}
