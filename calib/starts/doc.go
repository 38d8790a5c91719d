// Package starts lists and finds the written forms that are built into the
// program for people to begin with.
//
// It knows that each is a TOML file of a folder, called by its name.
// It refuses to know what is written in one, and who reads it.
package starts
