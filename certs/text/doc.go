// Package text sets a document as plain text: the form in which certificates
// are compared in tests, and read where there is no paper.
//
// It knows the order of the parts, columns, decimal alignment and wrapping.
// It refuses to know pages, fonts and terminals: the width is handed in, and
// the same document gives the same bytes everywhere.
package text
