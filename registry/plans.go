package registry

import (
	"encoding/json"
	"fmt"
	"slices"

	"example.org/wring/calib"
)

// A KeptPlan is one revision of a plan with the entry that holds it.
type KeptPlan struct {
	Entry uint64     `json:"entry"`
	Plan  calib.Plan `json:"plan"`
}

// AddPlan enters a plan: revision 1 of a new name, else the next of an old one.
func (tx *Tx) AddPlan(p calib.Plan) (KeptPlan, error) {
	revisions, err := tx.Revisions(p.Name)
	if err != nil {
		return KeptPlan{}, err
	}
	if n := len(revisions); n > 0 && samePlan(revisions[n-1].Plan, p) {
		return KeptPlan{}, &RuleError{fmt.Sprintf("plan %s: is revision %d already, word for word", p.Name, n), "want a change, or leave it"}
	}
	p.Revision = len(revisions) + 1
	head, err := tx.append(KindPlan, p)
	return KeptPlan{head.Seq, p}, err
}

// samePlan compares two plans but for their revisions.
func samePlan(a, b calib.Plan) bool {
	a.Revision, b.Revision = 0, 0
	x, errX := json.Marshal(a)
	y, errY := json.Marshal(b)
	return errX == nil && errY == nil && string(x) == string(y)
}

// Revisions returns every revision of a plan, oldest first; none if the name
// is new.
func (tx *Tx) Revisions(name string) ([]KeptPlan, error) {
	all, err := tx.revisions(name)
	return slices.Clone(all), err // the list is the caller's to turn about
}

// revisions is Revisions in a list that is shared.
func (tx *Tx) revisions(name string) ([]KeptPlan, error) {
	return recalled(tx, treePlans, name, func() ([]KeptPlan, error) {
		from, to := under(name)
		return tx.plans(from, to)
	})
}

func (tx *Tx) plans(from, to []byte) ([]KeptPlan, error) {
	var out []KeptPlan
	return out, tx.s.Range(treePlans, from, to, func(_, v []byte) error {
		var k KeptPlan
		if err := json.Unmarshal(v, &k); err != nil {
			return viewDamage(treePlans, err)
		}
		out = append(out, k)
		return nil
	})
}

// Plan returns one revision of a plan, the newest for revision 0, or a
// [*NotFoundError].
func (tx *Tx) Plan(name string, revision int) (KeptPlan, error) {
	all, err := tx.revisions(name)
	if err != nil {
		return KeptPlan{}, err
	}
	switch {
	case len(all) > 0 && revision == 0:
		return all[len(all)-1], nil
	case revision > 0 && revision <= len(all):
		return all[revision-1], nil
	case len(all) > 0:
		return KeptPlan{}, &NotFoundError{What: "plan", ID: fmt.Sprintf("%s revision %d", name, revision)}
	}
	var names []string
	newest, err := tx.Plans()
	for _, k := range newest {
		names = append(names, k.Plan.Name)
	}
	if err != nil {
		return KeptPlan{}, err
	}
	return KeptPlan{}, &NotFoundError{"plan", name, Nearest(name, names)}
}

// PlanDigits returns how many significant digits of U a revision of a plan
// reports, 1 or 2. A history reads no more of a plan than that: to decode one
// whole costs as much as the outlines of its checks.
func (tx *Tx) PlanDigits(name string, revision int) (int, error) {
	key := planKey(name, revision)
	return recalled(tx, treePlans, string(key), func() (int, error) {
		var k struct {
			Plan struct {
				Digits int `json:"digits"`
			} `json:"plan"`
		}
		there, err := tx.get(treePlans, key, &k)
		if err != nil || there {
			return k.Plan.Digits, err
		}
		whole, err := tx.Plan(name, revision) // to say which there are
		return whole.Plan.Digits, err
	})
}

// Plans returns the newest revision of every plan, in the order of names.
func (tx *Tx) Plans() ([]KeptPlan, error) {
	all, err := tx.plans(nil, nil)
	var newest []KeptPlan
	for i, k := range all {
		if i+1 == len(all) || all[i+1].Plan.Name != k.Plan.Name {
			newest = append(newest, k)
		}
	}
	return newest, err
}
