package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"strings"
	"time"

	"example.org/wring/registry"
)

// structureCommand is what the program calls itself by to check the pages of a
// registry: the library's own check can crash or go round for ever in a file
// that is damaged, and takes only this process with it.
const structureCommand = "verify-structure"

// structureLimit is how long that may take (house rule): far above what was
// measured, 27 ms for 86 MB, and for the largest files from a slow disk.
func structureLimit(size int64) time.Duration {
	const bytesPerSecond = 10 << 20
	return 20*time.Second + time.Duration(size/bytesPerSecond)*time.Second
}

// structureChild does the work where this process is the child.
func structureChild(argv []string, e env) (exitStatus, bool) {
	if len(argv) != 3 || argv[1] != structureCommand {
		return exitDone, false
	}
	err := registry.CheckStructure(argv[2])
	complain(e.Err, err)
	return exitCode(err), true
}

// checkStructure lets a child check the pages, and takes a crash or a hang for
// damage. It returns a [*registry.FileDamageError] for damage and another
// error where it could not be checked.
func (d desk) checkStructure(path string) error {
	if d.Self == nil {
		return errors.New("the program does not know its own file; want it started by name")
	}
	self, err := d.Self()
	if err != nil {
		return err
	}
	var size int64
	if info, err := os.Stat(path); err == nil {
		size = info.Size()
	}
	limit := structureLimit(size)
	ctx, cancel := context.WithTimeout(context.Background(), limit)
	defer cancel()
	var said bytes.Buffer
	child := exec.CommandContext(ctx, self, structureCommand, path)
	child.Stderr = &said
	child.WaitDelay = time.Second
	return judgeStructure(path, child.Run(), ctx.Err() != nil, limit, said.String())
}

// judgeStructure says what the end of the child means.
func judgeStructure(path string, err error, late bool, limit time.Duration, said string) error {
	damage := func(reason string) error { return &registry.FileDamageError{Path: path, Reason: reason} }
	text, _, _ := strings.Cut(strings.TrimPrefix(said, "wring: "), "\n")
	var exit *exec.ExitError
	switch {
	case err == nil:
		return nil
	case late:
		return damage(fmt.Sprintf("the check of its pages did not end within %s; want pages that hang together", limit))
	case !errors.As(err, &exit):
		return err
	case exit.ExitCode() == exitDamaged:
		_, reason, _ := strings.Cut(text, "damaged: ")
		return damage(reason)
	case exit.ExitCode() == exitRefused, exit.ExitCode() == exitBusy:
		return errors.New(text)
	}
	return damage("the check of its pages crashed; want pages that hang together")
}
