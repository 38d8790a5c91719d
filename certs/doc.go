// Package certs is the document that leaves the house: what a certificate is
// made of and in which order it is read.
//
// It knows titles, facts, tables, statements, signatures and figures, and
// which of them a certificate of a check must carry.
// It refuses to know how a number was reached, where records are kept, and how
// a page is drawn: every string in a [Document] is finished text, and the
// renderings are its sub-packages (pdf for paper, text for golden files and
// terminals). The figures are described by the leaf package plot.
package certs
