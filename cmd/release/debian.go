package main

import (
	"bytes"
	"crypto/md5" // of the list that dpkg checks files with; it proves nothing against an attacker
	"fmt"
	"os"
	"slices"
	"strings"
)

// maintainer is nobody: whoever hands the package out puts their own name here.
const maintainer = "wring authors <wring@example.org>"

// debian packs the program as a Debian package (deb(5)): an ar archive of the
// format's version, the control files, and the files to install.
func (b *builder) debian(t target, built []file) ([]byte, error) {
	files, err := b.installed(built)
	if err != nil {
		return nil, err
	}
	size := 0
	var sums strings.Builder
	for _, f := range inOrder(files) {
		size += (len(f.data) + 1023) / 1024
		fmt.Fprintf(&sums, "%x  %s\n", md5.Sum(f.data), f.name)
	}
	control := fmt.Sprintf(`Package: wring
Version: %s
Architecture: %s
Maintainer: %s
Installed-Size: %d
Section: science
Priority: optional
Homepage: https://example.org/wring
Description: record keeper for gauge calibration and verification
 Checks gauges against gauge blocks and weights by plans, with an uncertainty
 budget and a decision rule for each result, says what is due and what drifts,
 shows the whole history of a gauge, and prints certificates. All records are
 kept in one file whose entries are chained by hashes.
`, b.version, t.processor, maintainer, size)
	meta, err := tarred([]file{{"control", 0o644, []byte(control)}, {"md5sums", 0o644, []byte(sums.String())}}, "./")
	if err != nil {
		return nil, err
	}
	data, err := tarred(files, "./")
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	out.WriteString("!<arch>\n")
	for _, part := range []file{{name: "debian-binary", data: []byte("2.0\n")}, {name: "control.tar.gz", data: meta}, {name: "data.tar.gz", data: data}} {
		if strings.HasSuffix(part.name, ".gz") {
			if part.data, err = gzipped(part.data); err != nil {
				return nil, err
			}
		}
		fmt.Fprintf(&out, "%-16s%-12d%-6d%-6d%-8s%-10d`\n", part.name, epoch().Unix(), 0, 0, "100644", len(part.data))
		out.Write(part.data)
		if len(part.data)%2 == 1 {
			out.WriteByte('\n')
		}
	}
	return out.Bytes(), nil
}

// installed lists the files of the package where Debian's policy puts them.
func (b *builder) installed(built []file) ([]file, error) {
	i := slices.IndexFunc(built, func(f file) bool { return f.name == "wring" })
	own, err := os.ReadFile("LICENSE")
	if err != nil {
		return nil, err
	}
	others, err := os.ReadFile(licencesFile)
	if err != nil {
		return nil, err
	}
	log, err := gzipped([]byte(fmt.Sprintf("wring (%s) unstable; urgency=medium\n\n  * Release %s.\n\n -- %s  %s\n", b.version, b.version, maintainer, epoch().Format("Mon, 02 Jan 2006 15:04:05 -0700"))))
	if err != nil {
		return nil, err
	}
	readme, err := os.ReadFile("README.md")
	if err != nil {
		return nil, err
	}
	packed, err := gzipped(readme)
	if err != nil {
		return nil, err
	}
	return append(slices.Clone(b.manual), file{"usr/bin/wring", 0o755, built[i].data},
		file{"usr/share/doc/wring/copyright", 0o644, []byte("wring\n\n" + string(own) + "\nThe binary holds the modules below, each under its own licence.\n\n" + string(others))},
		file{"usr/share/doc/wring/changelog.gz", 0o644, log},
		file{"usr/share/doc/wring/README.md.gz", 0o644, packed},
		file{"usr/share/lintian/overrides/wring", 0o644, []byte(overrides)}), nil
}

// overrides say to lintian what is meant: a Go program is linked whole.
const overrides = `# A Go program is one static binary by design.
wring: statically-linked-binary [usr/bin/wring]
# Handed out by its authors, not by a distribution.
wring: initial-upload-closes-no-bugs *
`
