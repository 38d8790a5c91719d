package exchange

import (
	"encoding/json"
	"strconv"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/calib/table"
	"example.org/wring/registry"
	"example.org/wring/registry/journal"
)

func decode(e journal.Entry, into any) error {
	if err := json.Unmarshal(e.Payload, into); err != nil {
		return &registry.DamageError{Seq: e.Seq, Reason: "payload of " + strconv.Quote(e.Kind) + ": " + err.Error()}
	}
	return nil
}

func people(tx *registry.Tx, t *table.Table) error {
	t.Columns = []string{"person", "name", "may", "reason", "entry"}
	list, err := tx.People()
	for _, k := range list {
		t.Add(k.Person.ID, k.Person.Name, strings.Join(k.Person.May, "+"), k.Person.Reason, number(k.Entry))
	}
	return err
}

func intervals(tx *registry.Tx, t *table.Table) error {
	t.Columns = []string{"gauge", "part", "months", "before", "method", "reason", "entry"}
	return tx.Gauges(func(s registry.GaugeState) error {
		for _, a := range s.Accepted {
			t.Add(s.Gauge.ID, string(a.Part), strconv.Itoa(a.New), strconv.Itoa(a.Old), a.Method, a.Reason, number(a.Entry))
		}
		return nil
	})
}

func lookBacks(tx *registry.Tx, t *table.Table) error {
	t.Columns = []string{"look_back", "subject", "since", "until", "check", "reason", "items", "open"}
	return eachItem(tx, func(l registry.LookBackState, items []registry.Item) {
		open := 0
		for _, i := range items {
			if i.Decided == nil {
				open++
			}
		}
		t.Add(number(l.Entry), l.Subject, l.Since.String(), l.Until.String(), number(l.Check), l.Reason, strconv.Itoa(len(items)), strconv.Itoa(open))
	})
}

// uses writes what was measured or checked with something that is in doubt.
func uses(tx *registry.Tx, t *table.Table) error {
	t.Columns = []string{"look_back", "item", "gauge", "check", "from", "to", "verdict", "path", "decision"}
	return eachItem(tx, func(l registry.LookBackState, items []registry.Item) {
		for _, i := range items {
			decision := ""
			if i.Decided != nil {
				decision = string(i.Decided.Decision)
			}
			t.Add(number(l.Entry), i.Key, i.Gauge, number(i.Entry), i.From.String(), i.To.String(), string(i.Verdict), strings.Join(i.Path, " > "), decision)
		}
	})
}

func eachItem(tx *registry.Tx, fn func(registry.LookBackState, []registry.Item)) error {
	list, err := tx.LookBacks("")
	if err != nil {
		return err
	}
	for _, l := range list {
		items, err := tx.Items(l)
		if err != nil {
			return err
		}
		fn(l, items)
	}
	return nil
}

func dispositions(tx *registry.Tx, t *table.Table) error {
	t.Columns = []string{"look_back", "subject", "item", "decision", "date", "informed", "informed_on", "reason", "entry"}
	list, err := tx.LookBacks("")
	for _, l := range list {
		for _, d := range l.Decided {
			t.Add(number(l.Entry), l.Subject, d.Item, string(d.Decision), d.Date.String(), d.Informed, d.On.String(), d.Reason, number(d.Entry))
		}
	}
	return err
}

func attachments(tx *registry.Tx, t *table.Table) error {
	t.Columns = []string{"subject", "of_entry", "name", "bytes", "type", "sha256", "note", "entry"}
	return tx.History().Entries(func(e journal.Entry, _ [32]byte) error {
		var a registry.Attachment
		if e.Kind != registry.KindAttachment {
			return nil
		}
		if err := decode(e, &a); err != nil {
			return err
		}
		t.Add(a.Subject, number(a.Entry), a.Name, strconv.FormatInt(a.Size, 10), a.Type, a.SHA256, a.Note, number(e.Seq))
		return nil
	})
}

// entries writes the journal, each payload in JSON.
func entries(tx *registry.Tx, t *table.Table) error {
	t.Columns = []string{"entry", "at", "person", "kind", "stated_for", "program", "payload"}
	return tx.History().Entries(func(e journal.Entry, _ [32]byte) error {
		var dated struct {
			Date  calib.Date `json:"date"`
			Check struct {
				Date calib.Date `json:"date"`
			} `json:"check"`
		}
		_ = json.Unmarshal(e.Payload, &dated) // a payload without such a date has none
		day := dated.Date
		if day.IsZero() {
			day = dated.Check.Date
		}
		t.Add(number(e.Seq), e.At.Format(instant), e.Person, e.Kind, day.String(), e.Program, string(e.Payload))
		return nil
	})
}
