// Package inorder does work on all processors and hands it over in order.
//
// It knows how many processors there are, and in which order the work was
// given. It refuses to know what the work is: it must not hang on other work of
// the same list.
package inorder
