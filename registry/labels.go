package registry

import (
	"cmp"
	"encoding/json"

	"example.org/wring/registry/journal"
)

// KindLabel is the entry that says a label was printed.
const KindLabel = "label printed"

// A LabelPrint is the payload of a label's printing, first or again.
type LabelPrint struct {
	Gauge    string `json:"gauge,omitempty"`
	Standard string `json:"standard,omitempty"` // where it is not a gauge's

	Form   string `json:"form"`   // "label", "tag" or "code"
	Says   string `json:"says"`   // all that is printed, in one line
	Shows  uint64 `json:"shows"`  // the entry that it shows
	Digits string `json:"digits"` // the first of that entry's hash, as printed

	// Number counts the prints that show this entry in this form, from 1: more
	// than one is a reprint.
	Number int `json:"number"`
}

// Subject is the identity of what is labelled.
func (p LabelPrint) Subject() string { return cmp.Or(p.Gauge, p.Standard) }

// AddLabel enters that a label was printed, and gives it its number. The entry
// that it shows must be one of the gauge's or the standard's.
func (tx *Tx) AddLabel(p LabelPrint) (LabelPrint, journal.Head, error) {
	list, err := tx.Entries(p.Subject())
	if err != nil {
		return p, journal.Head{}, err
	}
	p.Number = 1
	shown := false
	for _, e := range list {
		shown = shown || e.Seq == p.Shows
		if e.Kind != KindLabel {
			continue
		}
		var old LabelPrint
		if err := json.Unmarshal(e.Payload, &old); err != nil {
			return p, journal.Head{}, err
		}
		if old.Shows == p.Shows && old.Form == p.Form {
			p.Number++
		}
	}
	if !shown {
		return p, journal.Head{}, &RuleError{"label of " + p.Subject() + ": shows an entry that is not about it", "want one that is"}
	}
	head, err := tx.append(KindLabel, p)
	return p, head, err
}

func (tx *Tx) applyLabel(e journal.Entry) error {
	var p LabelPrint
	if err := decode(e, &p); err != nil {
		return err
	}
	if p.Standard != "" {
		if _, err := tx.Standard(p.Standard); err != nil {
			return err
		}
		return tx.s.Put(treeSeries, idSeqKey(p.Standard, e.Seq), otherRow())
	}
	s, err := tx.Gauge(p.Gauge)
	if err != nil {
		return err
	}
	return tx.setGauge(&s, s, e.Seq, otherRow())
}

// StatusEntry is the entry that made a gauge's status what it is; that of its
// registration where none changed it.
func (tx *Tx) StatusEntry(gauge string) (journal.Head, error) {
	list, err := tx.Entries(gauge)
	if err != nil {
		return journal.Head{}, err
	}
	at := uint64(0)
	for _, e := range list {
		if e.Kind == KindStatus || e.Kind == KindGauge && at == 0 {
			at = e.Seq
		}
	}
	_, head, err := tx.Entry(at)
	return head, err
}
