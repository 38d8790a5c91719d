package registry

import (
	"fmt"
	"slices"

	"example.org/wring/calib"
)

// An Item is one thing that a look-back asks about: the use of a gauge in a
// span of time, a check that was made with what is in doubt, or a survey of a
// lot that a gauge in doubt was used for.
type Item struct {
	Key   string     `json:"key"` // "use MIC-014", "check 45", "survey 71", "study 80", "comparison 81"
	Gauge string     `json:"gauge"`
	Lot   string     `json:"lot,omitempty"`   // of a survey
	Entry uint64     `json:"entry,omitempty"` // of all but a use
	From  calib.Date `json:"from,omitzero"`   // zero: from the beginning
	To    calib.Date `json:"to"`

	Verdict calib.Verdict `json:"verdict,omitempty"` // of a check or a survey
	Path    []string      `json:"path"`              // from what is in doubt to the item

	Decided *KeptDisposition `json:"decided,omitempty"` // the newest; nil: never

	// Reopened says why the decision no longer holds: a later entry widened the
	// span, or changed the errors it was held against. Empty where it does.
	Reopened string `json:"reopened,omitempty"`
}

// Open reports whether the item still wants a decision.
func (i Item) Open() bool { return i.Decided == nil || i.Reopened != "" }

// Items walks from what is in doubt to everything that rests on it: a gauge's
// own use; every check made with it as a standard; every gauge so checked, from
// that check to the next one it passed without it; and so on from those. Each
// item is listed once, by the path found first.
func (tx *Tx) Items(l LookBackState) ([]Item, error) {
	w := walk{tx: tx, until: l.Until, seen: map[string]bool{}}
	if tx.s.Get(treeGauges, []byte(l.Subject)) != nil {
		w.add(Item{Key: "use " + l.Subject, Gauge: l.Subject, From: l.Since, To: l.Until, Path: []string{l.Subject}})
	}
	if err := w.from(l.Subject, l.Since, l.Until, []string{l.Subject}); err != nil {
		return nil, err
	}
	if err := w.surveys(); err != nil {
		return nil, err
	}
	if err := w.studies(); err != nil {
		return nil, err
	}
	return w.items, w.decided(l)
}

// decided holds the newest decision on each item against what the item is now.
func (w *walk) decided(l LookBackState) error {
	for n := range w.items {
		i := &w.items[n]
		for j, d := range l.Decided {
			if d.Item == i.Key {
				i.Decided = &l.Decided[j]
			}
		}
		if i.Decided == nil || i.Decided.Seen == nil {
			continue
		}
		now, err := w.tx.seen(l, *i)
		if err != nil {
			return err
		}
		if i.Reopened, err = w.tx.since(*i.Decided.Seen, now); err != nil {
			return err
		}
	}
	return nil
}

type walk struct {
	tx    *Tx
	until calib.Date // of the whole look-back
	seen  map[string]bool
	items []Item
}

func (w *walk) add(i Item) bool {
	if w.seen[i.Key] {
		return false
	}
	w.seen[i.Key] = true
	w.items = append(w.items, i)
	return true
}

// uses adds the use of a gauge or widens it to hold a further span: it may have
// been checked with what is in doubt, with something else, and with it again.
// It reports whether there is more of it than before.
func (w *walk) uses(i Item) bool {
	if w.add(i) {
		return true
	}
	n := slices.IndexFunc(w.items, func(k Item) bool { return k.Key == i.Key })
	k := &w.items[n]
	wider := i.From.Before(k.From) || i.To.After(k.To)
	if i.From.Before(k.From) {
		k.From = i.From
	}
	if i.To.After(k.To) {
		k.To = i.To
	}
	return wider
}

// surveys adds the lots that were measured with a gauge while it was in doubt:
// each is a use of its own, and is decided on by itself.
func (w *walk) surveys() error {
	for _, use := range slices.Clone(w.items) {
		if use.Entry > 0 {
			continue
		}
		list, err := w.tx.SurveysWith(use.Gauge)
		if err != nil {
			return err
		}
		for _, s := range list {
			k, key := s.Survey, fmt.Sprintf("survey %d", s.Head.Seq)
			if d := k.Survey.Date; d.Before(use.From) || d.After(use.To) {
				continue
			}
			path := append(slices.Clone(use.Path), key, k.Survey.Lot)
			w.add(Item{Key: key, Gauge: use.Gauge, Lot: k.Survey.Lot, Entry: s.Head.Seq, From: k.Survey.Date, To: k.Survey.Date, Verdict: k.Result.Verdict, Path: path})
		}
	}
	return nil
}

// studies adds what was said of measuring processes and of parties with a gauge
// while it was in doubt.
func (w *walk) studies() error {
	for _, use := range slices.Clone(w.items) {
		if use.Entry > 0 {
			continue
		}
		list, err := w.tx.StudiesWith(use.Gauge)
		if err != nil {
			return err
		}
		for _, s := range list {
			if s.Date.Before(use.From) || s.Date.After(use.To) {
				continue
			}
			key := fmt.Sprintf("%s %d", s.Kind, s.Entry)
			w.add(Item{Key: key, Gauge: use.Gauge, Entry: s.Entry, From: s.Date, To: s.Date, Path: append(slices.Clone(use.Path), key)})
		}
	}
	return nil
}

// from adds every check made with one thing from the first day to the last,
// and what rests on it.
func (w *walk) from(id string, first, last calib.Date, path []string) error {
	checks, err := w.tx.madeWith(id, first, last)
	if err != nil {
		return err
	}
	for _, k := range checks {
		c := k.Check.Check
		to := append(append([]string{}, path...), fmt.Sprintf("check %d", k.Head.Seq))
		if !w.add(Item{Key: fmt.Sprintf("check %d", k.Head.Seq), Gauge: c.Gauge, Entry: k.Head.Seq, From: c.Date, To: c.Date, Verdict: k.Check.Result.Verdict, Path: to}) {
			continue
		}
		end, err := w.tx.nextGood(c.Gauge, c.Date, id)
		if err != nil {
			return err
		}
		if end.IsZero() || end.After(w.until) {
			end = w.until
		}
		to = append(to, c.Gauge)
		if w.uses(Item{Key: "use " + c.Gauge, Gauge: c.Gauge, From: c.Date, To: end, Path: to}) {
			if err := w.from(c.Gauge, c.Date, end, to); err != nil {
				return err
			}
		}
	}
	return nil
}

// madeWith returns the checks that stand and that used a standard, from the
// first day to the last, in the order of entries.
func (tx *Tx) madeWith(id string, first, last calib.Date) ([]Kept, error) {
	var out []Kept
	err := tx.eachMadeWith(id, func(k Kept) error {
		if d := k.Check.Check.Date; !d.Before(first) && !d.After(last) {
			out = append(out, k)
		}
		return nil
	})
	return out, err
}

// nextGood is the day of a gauge's first passing check after a day that did
// not use the standard; zero where there is none.
func (tx *Tx) nextGood(gauge string, day calib.Date, without string) (calib.Date, error) {
	rows, err := tx.Series(gauge)
	good := calib.Date{}
	for _, r := range rows {
		if !r.Date.After(day) || !r.Verdict.Passed() || !good.IsZero() && !r.Date.Before(good) {
			continue
		}
		if tx.s.Get(treeByStandard, idSeqKey(without, r.Entry)) == nil {
			good = r.Date
		}
	}
	return good, err
}
