// Package html renders a document as one page that carries all it needs: it
// opens without a network, in a browser of any width, and prints.
//
// It knows HTML, written so that it is well-formed XML too, one style sheet
// without scripts, two palettes, and what a reader who hears the page or goes
// through it by keyboard needs: one heading for each part, tables with
// captions and scopes, the figures' numbers beside the pictures.
// It refuses to know what a document says, and how a plot is laid out: that is
// svg's.
package html
