package archive

import (
	_ "embed"

	"example.org/wring/certs/typeface"
)

// A test holds that these are made of the typefaces, and writes them anew.
var (
	//go:embed ready/regular
	readyRegular []byte
	//go:embed ready/bold
	readyBold []byte
	//go:embed ready/mono
	readyMono []byte

	// readyColours is what the colours mean, packed as the object of a file.
	//go:embed ready/colours
	readyColours []byte

	readyTable = [typeface.Count][]byte{typeface.Regular: readyRegular, typeface.Bold: readyBold, typeface.Mono: readyMono}
)
