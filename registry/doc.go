// Package registry is the memory: one file with a journal of entries and the
// views that are derived from it.
//
// It knows which records exist, who made which entry when, how entries are
// chained and numbered, and how to find them again.
// It refuses to know whether a result is good: it stores what calib hands it
// and never computes an error or a verdict.
//
// It is the front door of its leaves: journal (the chain) and store (the file).
// Those above see entries and heads as journal has them; store is imported here
// alone. Above it stands exchange (backups and exports). An entry and every view of it are
// written in one transaction; no entry is ever changed or removed.
package registry
