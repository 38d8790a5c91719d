package store

import (
	"os"

	"golang.org/x/sys/unix"
)

// fetch asks for a stretch of a file. It is a wish, and what comes of it does
// not matter.
func fetch(f *os.File, from, length int64) {
	_ = unix.Fadvise(int(f.Fd()), from, length, unix.FADV_WILLNEED)
}
