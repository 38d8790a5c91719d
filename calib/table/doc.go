// Package table reads tables as people have them, in CSV, and writes the same
// tables so that a spreadsheet can take nothing in them for a formula.
//
// It knows the columns of each table, under which headings people write them,
// how a file's characters and separators are recognised, and which line each
// noun came from: bytes come in, nouns go out, and the other way round.
// It refuses to know files, what the registry holds already, and whether a
// check that was read is a good one.
//
// # Reading
//
// A file is UTF-8 with or without a byte order mark, UTF-16 with one, or else
// Windows-1252; cells are parted by comma, semicolon or tab, whichever the line
// of the headings has most of, and quoted as RFC 4180 has it. Headings are
// matched by their letters and digits alone, in any case, and may carry a unit
// in brackets. Of a workbook (.xlsx, ECMA-376) one sheet is read as it is shown:
// numbers in the decimals that were typed, with the zeros, the percent sign or
// the unit of their format, dates in ISO 8601, formulas by what they came to. What a [sheet.Mapping] says counts before what is recognised.
// Every line that cannot be used is reported.
//
// # Writing
//
// A cell that begins, blanks aside, with = + - @, a tab or a line break, and is
// no plain number, gets an apostrophe before it; so does one that has
// apostrophes before such a beginning. Reading takes one apostrophe off again,
// so that nothing is lost, and +0.0007 stays a number that can be summed.
package table
