// Package aside keeps what is not finished in a file beside the real one, so
// that whoever is cut off goes on from there.
//
// It knows one file: whole or not at all, for its owner alone, with a version
// and a checksum, and whether another process wrote to it meanwhile.
// It refuses to know what the content means, and never removes a file that it
// cannot read: it puts it out of the way.
package aside
