// Package ledger holds the lines of a check's budget, and how records size
// them.
//
// It knows what distribution a contribution, a certificate's row and repeated
// readings stand for, and how the lines of several results become the rows
// that are kept.
// It refuses to know what is measured, against what, and with which
// sensitivity.
package ledger
