// Package exchange takes whole registries out and brings them back: copies of
// the file with a manifest, and exports that any program can read. It gathers
// single tables for a spreadsheet.
//
// It knows the layout of a backup and of an export, how each is checked before
// anything is made of it, that a name which something has is never taken, and
// which tables there are.
// It refuses to know what an entry means, when a backup is due, and how
// anything is printed.
//
// # An export
//
// A folder with
//
//	journal.jsonl   one line for each entry, oldest first
//	attachments/    the files, each under the SHA-256 of its bytes
//	manifest.json   head, number of entries, and what made it
//	FORMAT.txt      this description, for a reader who has nothing else
//
// A line of journal.jsonl is a JSON object in canonical form (RFC 8785) with
// three members: entry, the object that is hashed; hash, its chain hash in 64
// hexadecimal digits; seq, its number, counted from 1. A later form takes
// another number in manifest.json and is refused as newer.
package exchange
