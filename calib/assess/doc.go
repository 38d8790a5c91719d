// Package assess works out every part that a check recorded.
//
// It knows which package answers for which part, and that a check is as good as
// the worst of what it recorded.
// It refuses to know how a part is worked out.
package assess
