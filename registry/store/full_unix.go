//go:build !windows

package store

import (
	"errors"
	"strings"
	"syscall"
)

// isFull reports whether err says that there is no room: on the disk, in the
// quota, or within the largest size of a file. bbolt passes some of these on
// as text only, so the text is looked at too.
func isFull(err error) bool {
	for _, e := range []syscall.Errno{syscall.ENOSPC, syscall.EDQUOT, syscall.EFBIG} {
		if errors.Is(err, e) || strings.HasSuffix(err.Error(), e.Error()) {
			return true
		}
	}
	return false
}
