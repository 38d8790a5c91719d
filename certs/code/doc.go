// Package code makes the two-dimensional codes of labels.
//
// It knows QR codes (ISO/IEC 18004) and how much white they need around them.
// It refuses to know labels and what a code says, but for one thing: that it is
// ASCII, since scanners disagree about the rest.
//
// This is the only package that imports boombuler/barcode.
package code
