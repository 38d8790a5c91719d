// Package screen sets tables, questions and progress for a terminal or a pipe.
//
// It knows columns, alignment on the decimal point, width and colour, plots and
// maps in characters, and what stands for a character that a terminal lacks.
// It refuses to know gauges, or what any of the words it sets means.
package screen
