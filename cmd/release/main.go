// Command release builds what is handed out: static binaries for each system,
// a Debian package, checksums, and the licences of all modules.
//
//	go run ./cmd/release dist                       everything, into the new folder dist
//	go run ./cmd/release dist linux/amd64           one system only
//	go run ./cmd/release -licences                  writes cmd/wring/LICENCES.txt anew
//
// The same files give the same bytes on every machine that has the same Go: paths
// are trimmed, dates are fixed, no commit is stamped, and no C is linked.
package main

import (
	"fmt"
	"os"
)

func main() {
	if err := run(os.Args[1:], os.Stdout, os.Environ()); err != nil {
		fmt.Fprintf(os.Stderr, "release: %v\n", err)
		os.Exit(1)
	}
}
