// Package agreement says whether two parties that measured the same specimens
// agree within what each claims.
//
// It knows the difference with its interval, E_n in the form of ISO 13528,
// whether both measured by the same method at all, and which line of either
// budget a disagreement most likely comes from.
// It refuses to know how either party came to its figures, where comparisons
// are kept, and who is right.
package agreement
