package registry

import (
	"fmt"

	"example.org/wring/calib"
	"example.org/wring/calib/presser"
)

// byForce reports whether a plan has parts that are judged by force: these rest
// on the place of the house, and may be measured with the house's own gauges.
func byForce(p calib.Plan) bool { return p.Foot != nil || p.Force != nil || p.Load != nil }

// measuredWith returns what a check by the plan is measured with: a standard,
// or by force a gauge of this registry, such as the balance under a foot, with
// the check that counts on that day.
func (tx *Tx) measuredWith(p calib.Plan, id string, day calib.Date) (calib.StandardOnDay, StandardRef, error) {
	if byForce(p) && tx.s.Get(treeGauges, []byte(id)) != nil {
		return tx.instrumentOn(id, day)
	}
	return tx.standardOn(id, day)
}

// instrumentOn returns a gauge as the instrument that its newest check of its
// own dimension makes it. It refuses one that may not be used.
func (tx *Tx) instrumentOn(id string, day calib.Date) (calib.StandardOnDay, StandardRef, error) {
	refuse := func(found, want string) (calib.StandardOnDay, StandardRef, error) {
		return calib.StandardOnDay{}, StandardRef{}, &RuleError{"standard " + id + ": is a gauge " + found, want}
	}
	g, err := tx.Gauge(id)
	if err != nil {
		return calib.StandardOnDay{}, StandardRef{}, err
	}
	if !g.Status.InUse() {
		return refuse("that is "+string(g.Status), "want an instrument that is in service")
	}
	part := presser.MeasuresBy(g.Gauge)
	if part == "" {
		return refuse("that measures neither force, mass nor length", "want a balance, a force gauge or a standard")
	}
	rows, err := tx.Series(id)
	if err != nil {
		return calib.StandardOnDay{}, StandardRef{}, err
	}
	var newest *Kept
	for _, r := range rows {
		if r.Date.After(day) || newest != nil && r.Date.Before(newest.Check.Check.Date) {
			continue
		}
		k, err := tx.Check(r.Entry)
		if err != nil {
			return calib.StandardOnDay{}, StandardRef{}, err
		}
		if k.Check.Result.VerdictOf(part) != "" {
			newest = &k
		}
	}
	if newest == nil {
		return refuse("whose "+string(part)+" was never checked before "+day.AddDays(1).String(), "want it checked first, or a standard with a certificate")
	}
	ref := StandardRef{ID: id, Standard: g.Entry, Certificate: newest.Head.Seq}
	on, ok, err := tx.standIn(ref)
	if err == nil && !ok {
		return refuse("that did not pass its check of "+newest.Check.Check.Date.String(), "want one that passed, or a standard with a certificate")
	}
	return on, ref, err
}

// standIn makes what a reference names an instrument; it reports false where it
// names a standard, or a check that makes none.
func (tx *Tx) standIn(r StandardRef) (calib.StandardOnDay, bool, error) {
	if r.Certificate == 0 {
		return calib.StandardOnDay{}, false, nil
	}
	e, _, err := tx.Entry(r.Certificate)
	if err != nil || !isCheck(e.Kind) {
		return calib.StandardOnDay{}, false, err
	}
	g, err := tx.gaugeAt(r.Standard)
	if err != nil {
		return calib.StandardOnDay{}, false, err
	}
	k, err := tx.Check(r.Certificate)
	if err != nil {
		return calib.StandardOnDay{}, false, err
	}
	var p calib.Plan
	if err := tx.payload(k.Check.Basis.Plan, KindPlan, &p); err != nil {
		return calib.StandardOnDay{}, false, err
	}
	on, ok := presser.StandIn(g, p, k.Check.Check, k.Check.Result, k.CertificateNumber())
	return on, ok, nil
}

// resolved reads what a kept check was measured with from the entries that its
// reference names.
func (tx *Tx) resolved(ref StandardRef) (calib.StandardOnDay, error) {
	return recalled(tx, treeJournal, fmt.Sprintf("on %d %d", ref.Standard, ref.Certificate), func() (calib.StandardOnDay, error) { return tx.resolve(ref) })
}

func (tx *Tx) resolve(ref StandardRef) (calib.StandardOnDay, error) {
	on, ok, err := tx.standIn(ref)
	if err != nil || ok {
		return on, err
	}
	if on.Standard, err = tx.standardAt(ref.Standard); err != nil {
		return on, err
	}
	if ref.Certificate > 0 {
		on.Certificate, _, err = tx.certificatePayload(ref.Certificate)
	}
	return on, err
}
