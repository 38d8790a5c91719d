//go:build !linux

package store

import "os"

// fetch does nothing: other systems read ahead by themselves or not at all.
func fetch(*os.File, int64, int64) {}
