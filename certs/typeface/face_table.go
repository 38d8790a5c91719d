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

// reachTable lists the ranges of characters of each reach, beside those of the
// reaches before it.
var reachTable = [Whole][][2]rune{
	Usual: {
		{' ', '~'}, {'\u00a0', '\u00a0'}, {'§', '§'}, {'°', '³'}, {'µ', '·'}, {'½', '½'}, {'×', '×'}, {'Ø', 'Ø'},
		{'Δ', 'Δ'}, {'Ω', 'Ω'}, {'α', 'α'}, {'ν', 'ν'}, {'σ', 'σ'}, {'\u03bc', '\u03bc'},
		{'–', '—'}, {'‘', '’'}, {'“', '”'}, {'…', '…'}, {'‰', '‰'}, {'€', '€'},
		{'−', '−'}, {'√', '√'}, {'≈', '≈'}, {'≤', '≥'}, {'▪', '▪'},
	},
	Latin: {{'\u00a1', '\u017f'}},
}
