// Package typeface reads the built-in typefaces and cuts them down to what a
// file must carry of them.
//
// It knows glyphs, their widths, and the tables of a TrueType file.
// It refuses to know texts, styles, pages and files of any other form.
//
// A cut typeface keeps the numbers of its glyphs and leaves the drawings of the
// others empty, so that nothing in it has to be renumbered. It is cut to the usual
// characters, the same in all files that need no others, or holds all that it
// has: which of both, hangs on the text alone.
//
// This is the only package that imports the Go typefaces.
package typeface
