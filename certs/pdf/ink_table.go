package pdf

// substituteTable lists the characters that are set as others which say the
// same to a reader.
var substituteTable = map[rune]string{
	'\u2000': " ", '\u2001': " ", '\u2002': " ", '\u2003': " ", '\u2004': " ", '\u2005': " ",
	'\u2006': " ", '\u2008': " ", '\u2009': " ", '\u200a': " ", '\u205f': " ", // spaces of other widths
	'\u2007': "\u00a0", '\u202f': "\u00a0", // figure space and narrow space do not break
	'\u00ad': "", '\u200b': "", // may break here, invisible
	'\u2010': "-", '\u2011': "-", // hyphen, non-breaking hyphen
	'\u2300': "Ø",                  // diameter sign
	'\ufb01': "fi", '\ufb02': "fl", // ligatures
}

// palette gives each ink its red, green and blue, 0 to 255. Everything that
// carries meaning differs in brightness too, for copies in black and white.
var palette = [inkCount][3]int{
	black:      {22, 26, 28},
	pitch:      {0, 0, 0},
	grey:       {94, 102, 106},
	hair:       {186, 194, 197},
	petrol:     {12, 74, 86},
	paleBand:   {232, 241, 242},
	guardBand:  {205, 223, 226},
	paleRow:    {243, 240, 231},
	whitePaper: {255, 255, 255},

	farBelowTile: {143, 191, 220},
	belowTile:    {207, 227, 238},
	aboveTile:    {247, 230, 181},
	farAboveTile: {233, 196, 106},
	alarmingTile: {235, 165, 154},
}
