// Package formula reads a model such as "l + d - l*(da*t + a*dt)" and computes its
// value and its derivatives.
//
// It knows numbers, named quantities, the four operations, powers, and the functions of
// [Functions]; and how each changes with its argument, up to the third derivative.
// It refuses to know what a name stands for, its unit and its uncertainty.
//
// The text is taken apart by the parser of expr-lang/expr, and nothing else of that library is used: its tree
// is walked once against a list of what is allowed here and becomes a [Formula], a short list of steps on a
// stack without loops, jumps, memory or calls. A formula therefore always ends, and reaches nothing but its own numbers.
package formula
