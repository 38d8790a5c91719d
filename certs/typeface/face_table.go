package typeface

import (
	_ "embed"

	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/gomono"
	"golang.org/x/image/font/gofont/goregular"
)

// The measures of each typeface, as [Face.read] takes them. A test holds that
// they are those of the typefaces, and writes them anew.
var (
	//go:embed ready/regular
	readyRegular []byte
	//go:embed ready/bold
	readyBold []byte
	//go:embed ready/mono
	readyMono []byte
)

// fileTable holds the typefaces in the order of Name. The Go family has figures
// of one width and every symbol of the trade but the diameter sign.
var fileTable = [Count]struct {
	name          string // as it stands in a file
	ttf, measures []byte
}{
	Regular: {"GoRegular", goregular.TTF, readyRegular},
	Bold:    {"GoBold", gobold.TTF, readyBold},
	Mono:    {"GoMono", gomono.TTF, readyMono},
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
