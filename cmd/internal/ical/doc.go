// Package ical writes days as an iCalendar file.
//
// It knows RFC 5545: CRLF line ends, folding at 75 octets, escapes, events of
// whole days, and that an event is told by its UID when it is imported again.
// It refuses to know gauges, and which days these are.
package ical
