// Package study says what a measuring process is worth: parts measured by
// several people, each several times, and the analysis of variance of what
// they read.
//
// It knows the crossed study of parts × operators × repeats, the order in which
// it is taken, its components of variance with their intervals, and their
// shares of the total variation and of a tolerance.
// It refuses to know how a gauge was checked, where studies are kept, and which
// process ought to be chosen.
//
// Words are those of ISO 5725 and JCGM 200: repeatability, reproducibility,
// components of variance.
package study
