package registry

import (
	"encoding/json"
	"fmt"
	"slices"

	"example.org/wring/calib"
	"example.org/wring/registry/journal"
)

// A GaugeState is a gauge as the journal has it now.
type GaugeState struct {
	Gauge calib.Gauge `json:"gauge"`
	Entry uint64      `json:"entry"` // that made or last amended its record

	Status calib.Status `json:"status"`
	Since  calib.Date   `json:"since,omitzero"`
	Reason string       `json:"reason,omitempty"`

	// Unproven says that it was doubted (quarantined, failed, stored) and has
	// not passed a check since. Before is what it was when a check failed it,
	// and will be again when one passes; empty where a person decided.
	Unproven bool         `json:"unproven,omitempty"`
	Before   calib.Status `json:"before,omitempty"`

	Last *LastCheck `json:"last,omitempty"` // newest of any purpose; nil where it was never checked
	Due  calib.Date `json:"due,omitzero"`   // earliest of all its rows; zero where it is not waited for

	// Earlier is its last check before its records began here; it counts until
	// there is one here.
	Earlier *EarlierState `json:"earlier,omitempty"`

	// Uses counts the surveys since the last full check; UsedUp is the day of the
	// one that reached the gauge's interval in uses, zero where none did.
	Uses   int        `json:"uses,omitempty"`
	UsedUp calib.Date `json:"used_up,omitzero"`

	Parts              []PartState        `json:"parts,omitempty"`
	IntermediateMonths int                `json:"intermediate_months,omitempty"` // of the plan, by the newest check
	Accepted           []AcceptedInterval `json:"accepted,omitempty"`            // of single parts
}

// A LastCheck is the newest check of a gauge.
type LastCheck struct {
	Entry   uint64        `json:"entry"`
	Date    calib.Date    `json:"date"`
	Stage   calib.Stage   `json:"stage"`
	Verdict calib.Verdict `json:"verdict"`

	// IntervalMonths is that of the plan's revision which the check followed;
	// 0 where it has none. A later revision counts from the next check on.
	IntervalMonths int `json:"interval_months,omitempty"`
}

// AddGauge enters a new gauge, in service from the day of the clock.
func (tx *Tx) AddGauge(g calib.Gauge) (journal.Head, error) {
	if tx.s.Get(treeGauges, []byte(g.ID)) != nil || tx.s.Get(treeStandards, []byte(g.ID)) != nil {
		return journal.Head{}, &TakenError{"gauge", g.ID}
	}
	if tx.isLot(g.ID) {
		return journal.Head{}, &TakenError{"lot", g.ID}
	}
	if g.Plan != "" {
		if _, err := tx.Plan(g.Plan, 0); err != nil {
			return journal.Head{}, err
		}
	}
	return tx.append(KindGauge, g)
}

// AmendGauge enters the new record of a gauge with what was changed and why.
// The identity and the unit stay: a gauge that is read in another unit is
// another gauge.
func (tx *Tx) AmendGauge(a Amendment) (journal.Head, error) {
	if _, err := tx.Gauge(a.Gauge.ID); err != nil {
		return journal.Head{}, err
	}
	if len(a.Changes) == 0 {
		return journal.Head{}, &RuleError{"gauge " + a.Gauge.ID + ": nothing changed", "want at least one new value"}
	}
	if a.Gauge.Plan != "" {
		if _, err := tx.Plan(a.Gauge.Plan, 0); err != nil {
			return journal.Head{}, err
		}
	}
	return tx.append(KindAmendment, a)
}

// ChangeStatus enters a gauge's new status. It refuses one that cannot follow
// with a [*RuleError]: from quarantine, failure and storage a gauge returns to
// use only through a check that it passes.
func (tx *Tx) ChangeStatus(c calib.StatusChange) (journal.Head, error) {
	s, err := tx.Gauge(c.Gauge)
	if err != nil {
		return journal.Head{}, err
	}
	if !slices.Contains(calib.Statuses(), c.Status) {
		return journal.Head{}, &RuleError{fmt.Sprintf("gauge %s: no status %q", c.Gauge, c.Status), "want one that there is"}
	}
	if s.Status == c.Status {
		return journal.Head{}, &RuleError{fmt.Sprintf("gauge %s: is %s already", c.Gauge, c.Status), "want another status"}
	}
	if want := c.Status.After(s.Status, !s.Unproven); want != "" {
		if s.Last != nil && s.Last.Verdict.Passed() && s.Last.Date.Before(s.Since) {
			want += fmt.Sprintf("; its last is of %s, before that status of %s", s.Last.Date, s.Since)
		}
		return journal.Head{}, &RuleError{fmt.Sprintf("gauge %s: is %s and cannot be %s next", c.Gauge, s.Status, c.Status), want}
	}
	return tx.append(KindStatus, c)
}

// Gauge returns a gauge's state, or a [*NotFoundError] with the nearest names.
func (tx *Tx) Gauge(id string) (GaugeState, error) {
	s, err := recalled(tx, treeGauges, id, func() (GaugeState, error) { return tx.gauge(id) })
	return s.apart(), err
}

// apart is the state with lists of its own.
func (s GaugeState) apart() GaugeState {
	s.Parts, s.Accepted = slices.Clone(s.Parts), slices.Clone(s.Accepted)
	return s
}

func (tx *Tx) gauge(id string) (GaugeState, error) {
	var s GaugeState
	ok, err := tx.get(treeGauges, []byte(id), &s)
	if err != nil || ok {
		return s, err
	}
	names, err := tx.names(treeGauges)
	if err != nil {
		return s, err
	}
	return s, &NotFoundError{"gauge", id, Nearest(id, names)}
}

// Gauges calls fn with each gauge in the order of identities.
func (tx *Tx) Gauges(fn func(GaugeState) error) error {
	tx.s.Ahead(treeGauges, nil, nil)
	return tx.s.Range(treeGauges, nil, nil, func(_, v []byte) error {
		var s GaugeState
		if err := json.Unmarshal(v, &s); err != nil {
			return viewDamage(treeGauges, err)
		}
		return fn(s)
	})
}

// names lists the keys of a tree whose keys are identities.
func (tx *Tx) names(tree string) ([]string, error) {
	var out []string
	return out, tx.s.Range(tree, nil, nil, func(k, _ []byte) error {
		out = append(out, string(k))
		return nil
	})
}

// get decodes one value of a view; it reports false where there is none.
func (tx *Tx) get(tree string, key []byte, into any) (bool, error) {
	v := tx.s.Get(tree, key)
	if v == nil {
		return false, nil
	}
	if err := json.Unmarshal(v, into); err != nil {
		return false, viewDamage(tree, err)
	}
	return true, nil
}

// put writes one value of a view.
func (tx *Tx) put(tree string, key []byte, value any) error {
	v, err := json.Marshal(value)
	if err != nil {
		return err
	}
	delete(tx.recall, tree)
	return tx.s.Put(tree, key, v)
}

func viewDamage(tree string, err error) error {
	return &DamageError{Reason: fmt.Sprintf("view %q: %v; want it rebuilt from the journal", tree, err)}
}
