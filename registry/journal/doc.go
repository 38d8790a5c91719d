// Package journal turns what happened into bytes that cannot be altered
// unnoticed: one canonical form for every record, and a chain of hashes that
// ends in a head short enough to stand on a certificate.
//
// It knows canonical JSON (RFC 8785), the layout of a record, the chain from
// each record to the one before it, and how to name the first record that does
// not fit.
// It refuses to know files, transactions, and what any record means: a payload
// is JSON and nothing more, and times and persons are handed in.
package journal
