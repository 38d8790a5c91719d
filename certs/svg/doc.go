// Package svg renders a plot as a drawing of its own, for a screen or another
// document.
//
// It knows SVG 1.1: shapes in millimetres, pens, texts, and which characters
// are escaped.
// It refuses to know what the plot shows, and measures texts by a rough width
// for each character, since the reader's typeface is not known.
package svg
