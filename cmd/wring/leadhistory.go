package main

import (
	"cmp"
	"encoding/json"
	"fmt"

	"example.org/wring/calib"
	"example.org/wring/registry"
	"example.org/wring/registry/journal"
)

// tellLead says what an entry of the quality lead holds: an accepted interval,
// a look-back, what was decided in it.
func (a *historyAnswer) tellLead(e journal.Entry) error {
	var err error
	switch e.Kind {
	case registry.KindInterval:
		var i registry.AcceptedInterval
		err = json.Unmarshal(e.Payload, &i)
		a.Text = fmt.Sprintf("interval of %s: %s → %s by %s (%s)", i.Part, plural(i.Old, "month"), plural(i.New, "month"), i.Method, i.Reason)
	case registry.KindLookBack:
		var l registry.LookBack
		err = json.Unmarshal(e.Payload, &l)
		since := "the beginning"
		if !l.Since.IsZero() {
			since = l.Since.String()
		}
		a.Text = fmt.Sprintf("look-back opened from %s to %s (%s)", since, l.Until, l.Reason)
	case registry.KindEarlier:
		var c calib.EarlierCheck
		err = json.Unmarshal(e.Payload, &c)
		a.Date, a.Text = c.Date, "last checked before its records began here: "+cmp.Or(string(c.Verdict), "verdict not known")
		if c.Certificate != "" {
			a.Text += ", certificate " + c.Certificate
		}
	default:
		var x registry.Disposition
		err = json.Unmarshal(e.Payload, &x)
		a.Date, a.Text = x.Date, fmt.Sprintf("look-back %d, %s: %s (%s)", x.LookBack, x.Item, x.Decision, x.Reason)
		if x.Informed != "" {
			a.Text += fmt.Sprintf("; told %s %s", x.Informed, x.On)
		}
	}
	return err
}
