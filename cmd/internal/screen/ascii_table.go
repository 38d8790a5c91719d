package screen

// Characters that screens hold beside ASCII, and what stands for each where a
// terminal has no other (house rules: one for one in drawings and tables).
var (
	asciiFrom = []rune("─━│┊╌└┬·░●○□×■−–—…\u00a0\u2007\u2008µ°²³±≤≥→←νΔα√…∞’“”§")
	asciiTo   = []string{"-", "-", "|", ":", "~", "+", "+", ".", "%", "*", "o", "#", "x", "X", "-", "-", "-", "...", " ", " ", " ",
		"u", "deg", "2", "3", "+-", "<=", ">=", "->", "<-", "nu", "Delta", "alpha", "sqrt", "...", "inf", "'", "\"", "\"", "cl. "}
)
