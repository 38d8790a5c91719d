package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"strings"
	"time"

	"example.org/wring/calib"
	"example.org/wring/cmd/internal/ical"
	"example.org/wring/registry"
)

// A calendarSource tells one registry's events from another's, and a later
// state from an earlier one.
type calendarSource struct {
	registry string
	sequence uint64
}

func calendarOf(tx *registry.Tx) (calendarSource, error) {
	o, err := tx.House()
	if err != nil {
		return calendarSource{}, err
	}
	head, err := tx.Head()
	return calendarSource{o.Registry, head.Seq}, err
}

// writeCalendar writes what is due as one event each. What was never done has
// no day of its own and stands on the day that is looked from.
func writeCalendar(file string, source calendarSource, list []dueAnswer, on calib.Date, now time.Time) error {
	c := ical.Calendar{Product: "-//" + version + "//EN", Stamp: now, Sequence: source.sequence}
	for _, a := range list {
		day := a.Due
		if day.IsZero() {
			day = on
		}
		c.Events = append(c.Events, a.event(source, day))
	}
	var b bytes.Buffer
	if err := c.Write(&b); err != nil {
		return err
	}
	return writeWhole(file, b.Bytes())
}

func (a dueAnswer) event(source calendarSource, day calib.Date) ical.Event {
	t, _ := time.Parse(time.DateOnly, day.String())
	what := a.due()
	if what == "" {
		what = "check"
	}
	if a.Standard {
		what = "certificate"
	}
	about := []string{a.What}
	if a.Description != "" && a.Description != a.What {
		about = append(about, a.Description)
	}
	about = append(about, a.State)
	if !a.Last.IsZero() {
		about = append(about, "last "+a.Last.String())
	}
	return ical.Event{UID: a.uid(source), Year: t.Year(), Month: t.Month(), Day: t.Day(),
		Summary: a.ID + ": " + what + " due", Description: strings.Join(about, "\n"), Location: a.Place}
}

// uid is the same for one gauge, part and clock of a registry for ever, and
// gives nothing of them away.
func (a dueAnswer) uid(source calendarSource) string {
	part := a.Part
	if part == calib.LengthPart {
		part = "" // a gauge that was never checked has no part yet
	}
	sum := sha256.Sum256([]byte(strings.Join([]string{source.registry, a.ID, string(part), string(a.Clock)}, "\x00")))
	return hex.EncodeToString(sum[:16]) + "@wring.invalid"
}
