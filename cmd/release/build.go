package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strings"
)

// A target is a system and a processor, as Go names them.
type target struct{ system, processor string }

func (t target) String() string { return t.system + "/" + t.processor }

func targets() (out []target) {
	for _, system := range []string{"linux", "darwin", "windows"} {
		for _, processor := range []string{"amd64", "arm64"} {
			out = append(out, target{system, processor})
		}
	}
	return out
}

// A builder makes one release.
type builder struct {
	out     io.Writer
	environ []string
	dir     string // of the release
	version string
	made    []string // files in it
	manual  []file   // manual pages and completions, for the package
}

const licencesFile = "cmd/wring/LICENCES.txt"

func run(args []string, out io.Writer, environ []string) error {
	b := &builder{out: out, environ: environ}
	if slices.Equal(args, []string{"-licences"}) {
		text, err := b.licences()
		if err != nil {
			return err
		}
		return os.WriteFile(licencesFile, text, 0o666)
	}
	if len(args) == 0 || strings.HasPrefix(args[0], "-") {
		return errors.New("no folder; want go run ./cmd/release DIR [SYSTEM/PROCESSOR...], from the root of the module")
	}
	b.dir = args[0]
	wanted, err := chosen(args[1:])
	if err != nil {
		return err
	}
	return b.release(wanted)
}

func chosen(words []string) ([]target, error) {
	all := targets()
	if len(words) == 0 {
		return all, nil
	}
	var out []target
	for _, w := range words {
		i := slices.IndexFunc(all, func(t target) bool { return t.String() == w })
		if i < 0 {
			return nil, fmt.Errorf("%q: no system that is built for; want one of %v", w, all)
		}
		out = append(out, all[i])
	}
	return out, nil
}

func (b *builder) release(wanted []target) error {
	if err := b.begin(); err != nil {
		return err
	}
	for _, t := range wanted {
		if err := b.one(t); err != nil {
			return fmt.Errorf("%s: %w", t, err)
		}
	}
	return b.checksums()
}

// begin makes the folder, finds the version, and holds the licences to the
// modules.
func (b *builder) begin() error {
	source, err := os.ReadFile("cmd/wring/env.go")
	if err != nil {
		return err
	}
	found := regexp.MustCompile(`const version = "wring ([0-9][0-9.]*)"`).FindSubmatch(source)
	if found == nil {
		return errors.New("cmd/wring/env.go: no constant version; want the program's")
	}
	b.version = string(found[1])
	kept, err := os.ReadFile(licencesFile)
	if err != nil {
		return err
	}
	now, err := b.licences()
	if err != nil {
		return err
	}
	if !bytes.Equal(kept, now) {
		return fmt.Errorf("%s: not the licences of the modules; want go run ./cmd/release -licences", licencesFile)
	}
	if err := os.Mkdir(b.dir, 0o777); err != nil {
		return err
	}
	return b.pages()
}

// one builds for one system, and packs what was built.
func (b *builder) one(t target) error {
	program, err := b.compile(t)
	if err != nil {
		return err
	}
	var files []file
	name := "wring"
	if t.system == "windows" {
		name += ".exe"
	}
	files = append(files, file{name, 0o755, program})
	for _, path := range []string{"LICENSE", licencesFile, "README.md"} {
		data, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		files = append(files, file{filepath.Base(path), 0o644, data})
	}
	stem := fmt.Sprintf("wring-%s-%s-%s", b.version, t.system, t.processor)
	pack, ending := tarball, ".tar.gz"
	if t.system == "windows" {
		pack, ending = zipped, ".zip"
	}
	data, err := pack(stem, files)
	if err != nil {
		return err
	}
	if err := b.write(stem+ending, data); err != nil || t.system != "linux" {
		return err
	}
	data, err = b.debian(t, files)
	if err != nil {
		return err
	}
	return b.write(fmt.Sprintf("wring_%s_%s.deb", b.version, t.processor), data)
}

// compile builds the program for one system: static, without paths, without
// symbols. The commit stays out: the tools find it in a clone and not in other
// copies of the same files, which then would be other bytes.
func (b *builder) compile(t target) ([]byte, error) {
	temp, err := os.MkdirTemp("", "wring-release-")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(temp)
	to := filepath.Join(temp, "wring")
	if _, err := b.golang(t, "build", "-trimpath", "-buildvcs=false", "-ldflags=-s -w -buildid=", "-tags="+leftOut, "-o", to, "./cmd/wring"); err != nil {
		return nil, err
	}
	return os.ReadFile(to)
}

// leftOut is the tag of urfave/cli that leaves its manual in Markdown out, which
// nobody asks for: what it links compiles its patterns at every start (a seventh
// of the time of a short command, measured).
const leftOut = "urfave_cli_no_docs"

// golang runs the go command for a system, free of what this machine's user
// has set.
func (b *builder) golang(t target, args ...string) ([]byte, error) {
	cmd := exec.Command("go", args...)
	cmd.Env = append(slices.Clone(b.environ), "GOOS="+t.system, "GOARCH="+t.processor, "CGO_ENABLED=0", "GOFLAGS=-mod=readonly", "GOAMD64=v1", "GOARM64=v8.0", "GOEXPERIMENT=", "GOWORK=off")
	var said bytes.Buffer
	cmd.Stderr = &said
	out, err := cmd.Output()
	if err != nil {
		return nil, fmt.Errorf("go %s: %w: %s", args[0], err, strings.TrimSpace(said.String()))
	}
	return out, nil
}

// pages lets a program for this machine write its manual and its completions.
func (b *builder) pages() error {
	temp, err := os.MkdirTemp("", "wring-release-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(temp)
	own := filepath.Join(temp, "wring")
	if _, err := b.golang(target{runtime.GOOS, runtime.GOARCH}, "build", "-o", own, "./cmd/wring"); err != nil {
		return err
	}
	manual := filepath.Join(temp, "man")
	if out, err := exec.Command(own, "man", manual).CombinedOutput(); err != nil {
		return fmt.Errorf("wring man: %w: %s", err, out)
	}
	list, err := filepath.Glob(filepath.Join(manual, "*.1"))
	if err != nil || len(list) == 0 {
		return fmt.Errorf("wring man: wrote %d pages; want one for each command (%v)", len(list), err)
	}
	for _, path := range list {
		data, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		packed, err := gzipped(data)
		if err != nil {
			return err
		}
		b.manual = append(b.manual, file{"usr/share/man/man1/" + filepath.Base(path) + ".gz", 0o644, packed})
	}
	for shell, path := range map[string]string{"bash": "usr/share/bash-completion/completions/wring", "fish": "usr/share/fish/vendor_completions.d/wring.fish", "zsh": "usr/share/zsh/vendor-completions/_wring"} {
		data, err := exec.Command(own, "completion", shell).Output()
		if err != nil {
			return fmt.Errorf("wring completion %s: %w", shell, err)
		}
		b.manual = append(b.manual, file{path, 0o644, data})
	}
	return nil
}
