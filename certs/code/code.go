package code

import (
	"fmt"

	"github.com/boombuler/barcode/qr"
)

// Quiet is the white that a code needs on each side, in modules (ISO/IEC 18004,
// clause from memory).
const Quiet = 4

// A Matrix is a code: dark modules by row and column, as many of one as of the
// other, without the white around them.
type Matrix [][]bool

// QR makes the code of a text, with level M of correction: it is read with 15 %
// of it gone.
func QR(text string) (Matrix, error) {
	for _, c := range text {
		if c < ' ' || c > '~' {
			return nil, fmt.Errorf("code %q: holds %q; want ASCII, which every scanner reads alike", text, c)
		}
	}
	b, err := qr.Encode(text, qr.M, qr.Auto)
	if err != nil {
		return nil, fmt.Errorf("code %q: %w", text, err)
	}
	size := b.Bounds().Size()
	m := make(Matrix, size.Y)
	for y := range m {
		m[y] = make([]bool, size.X)
		for x := range m[y] {
			r, _, _, _ := b.At(x, y).RGBA()
			m[y][x] = r == 0
		}
	}
	return m, nil
}
