package certs

import "strings"

// CutPoint divides a cell of a [Point] column where its neighbours line up:
// before the decimal mark of its first number, or after that number if it has
// no mark. A cell without digits ("–") lies before the mark.
func CutPoint(cell string) (before, after string) {
	first := strings.IndexAny(cell, "0123456789")
	if first < 0 {
		return cell, ""
	}
	end := first
	for end < len(cell) && cell[end] >= '0' && cell[end] <= '9' {
		end++
	}
	return cell[:end], cell[end:]
}
