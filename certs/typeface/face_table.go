package typeface

import (
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/gomono"
	"golang.org/x/image/font/gofont/goregular"
)

// fileTable holds the typefaces in the order of Name. The Go family has figures
// of one width and every symbol of the trade but the diameter sign.
var fileTable = [Count]struct {
	name string // as it stands in a file
	ttf  []byte
}{
	Regular: {"GoRegular", goregular.TTF},
	Bold:    {"GoBold", gobold.TTF},
	Mono:    {"GoMono", gomono.TTF},
}

// usualTable lists the ranges of characters that most papers are made of: ASCII,
// Latin-1, and the symbols of the trade.
var usualTable = [][2]rune{
	{' ', '~'}, {'\u00a0', '\u00ff'},
	{'Δ', 'Δ'}, {'Ω', 'Ω'}, {'α', 'α'}, {'ν', 'ν'}, {'σ', 'σ'}, {'\u03bc', '\u03bc'},
	{'–', '—'}, {'‘', '’'}, {'“', '”'}, {'…', '…'}, {'‰', '‰'}, {'€', '€'},
	{'−', '−'}, {'√', '√'}, {'≈', '≈'}, {'≤', '≥'}, {'▪', '▪'},
}
