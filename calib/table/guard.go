package table

import (
	"regexp"
	"strings"
)

// starters begin a formula, or the command of a macro, in one spreadsheet or
// another; the last four are the wide forms that some take for the same.
const starters = "=+-@\t\r\n＝＋－＠"

// guard keeps a cell from being taken for a formula.
func guard(cell string) string {
	if dangerous(strings.TrimLeft(cell, "'")) && !isPlain(cell) {
		return "'" + cell
	}
	return cell
}

// unguard is the inverse of guard.
func unguard(cell string) string {
	if rest, found := strings.CutPrefix(cell, "'"); found && dangerous(strings.TrimLeft(rest, "'")) {
		return rest
	}
	return cell
}

func dangerous(cell string) bool {
	return cell != "" && (strings.ContainsRune("\t\r\n", rune(cell[0])) || strings.IndexAny(strings.TrimSpace(cell), starters) == 0)
}

// isPlain reports a number, signed or not, that a spreadsheet can only take for
// one.
func isPlain(cell string) bool {
	return regexp.MustCompile(`^[+-]?[0-9]+(\.[0-9]+)?$`).MatchString(cell)
}
