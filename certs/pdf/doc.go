// Package pdf sets a document on pages and writes them as a PDF file.
//
// It knows papers, typefaces, line breaking, page breaks, repeated table
// headings and which characters the built-in typefaces hold.
// It refuses to know what a certificate says, registries and clocks: the file
// depends on the document alone, so a reprint is the same bytes.
//
// This is the only package that imports gofpdf. Pages are set first, as plain
// lists of marks, and written afterwards; a panic inside gofpdf becomes an error.
// Package archive then makes a PDF/A-1b of what it wrote.
//
// Characters. A text is refused if it holds a character the typefaces lack,
// with the character and its place named, because a reader cannot tell an
// empty box from a digit. A few characters are set as another that says the
// same: narrow and other spaces as a space, the non-breaking hyphen as a
// hyphen, and the diameter sign U+2300, which the typefaces lack, as the
// letter Ø, which drawings use for it too.
package pdf
