//go:build darwin || dragonfly || freebsd || linux || netbsd || openbsd

package store

import (
	"os"
	"syscall"
)

// unlock gives back the lock that bbolt took with flock. Closing the file
// would not do: its mapping keeps it open, and the lock with it.
func unlock(f *os.File) { _ = syscall.Flock(int(f.Fd()), syscall.LOCK_UN) }
