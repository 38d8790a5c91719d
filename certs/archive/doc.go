// Package archive turns a PDF file as gofpdf writes it into one that keeps: PDF/A-1b
// (ISO 19005-1:2005, level B; clauses below are from memory, and every file is
// held by an independent checker in the tests).
//
// It knows the objects of a file, metadata, colour profiles, and how a typeface
// or another file stands in one.
// It refuses to know what is on the pages, and gofpdf: it reads the few objects
// that it keeps, the pages, and writes all others itself.
//
// Level A-1b and not A-3b: A-3 would let the check's data ride in the file, but
// there is no independent checker of it among the programs that this project is
// tested with, and a claim that nobody checked is worth nothing to an archive.
// So the data stands beside the file. A file in which others travel is no PDF/A-1,
// and does not say that it is.
//
// The output depends on its input alone. The colour profile is a file of this
// package, and a test makes it again from the formula of the standard.
package archive
