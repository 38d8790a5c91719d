package store

import (
	"errors"
	"strings"
	"syscall"
)

// Windows system error codes (Microsoft, System Error Codes 0–499; memory).
const (
	errorHandleDiskFull syscall.Errno = 39
	errorDiskFull       syscall.Errno = 112
)

// isFull reports whether err says that there is no room on the disk. bbolt
// passes some errors on as text only, so the text is looked at too.
func isFull(err error) bool {
	for _, e := range []syscall.Errno{errorHandleDiskFull, errorDiskFull} {
		if errors.Is(err, e) || strings.HasSuffix(err.Error(), e.Error()) {
			return true
		}
	}
	return false
}
