// Package typeface holds the built-in typefaces and cuts them down to what a
// file must carry of them.
//
// It knows glyphs, their widths, and the tables of a TrueType file.
// It refuses to know texts, styles, pages and files of any other form.
//
// A cut typeface keeps the numbers of its glyphs and leaves the drawings of the
// others empty, so that nothing in it has to be renumbered. There are three cuts
// of each, and which one a file takes hangs on its texts alone: so a cut is made
// once for many files, and the same paper is the same bytes.
//
// This is the only package that imports the Go typefaces.
package typeface
