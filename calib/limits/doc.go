// Package limits holds published limits of error as tables, and plans that are
// built on them.
//
// It knows what a document prints for a grade, a range or a length, where it
// prints it, and whether the figure was read in a copy of the document or is
// from memory.
// It refuses to know which gauge, plan or standard uses a limit: a drawing, a
// contract or a maker's statement beats a table.
//
// Sizes and limits are exact and in millimetres. A table answers for the sizes
// it prints and no others.
package limits
