package main

import (
	"os"
	"syscall"
)

// flush waits until what was written to a file is on the disk.
func flush(f *os.File) error { return syscall.Fdatasync(int(f.Fd())) }

// settle waits until all that was written is on the disk, so that it is not
// written while something is timed.
func settle() { syscall.Sync() }

// memoryOf is the largest memory of an ended process in bytes.
func memoryOf(p *os.ProcessState) float64 {
	if u, ok := p.SysUsage().(*syscall.Rusage); ok {
		return float64(u.Maxrss) * 1024
	}
	return 0
}
