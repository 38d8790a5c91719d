package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"example.org/wring/calib"
	"example.org/wring/registry"
	"example.org/wring/uncertainty/unit"
)

func (a *amending) texts(c *cli.Context) error {
	for _, f := range []struct {
		name string
		into *string
	}{{"remarks", &a.check.Remarks}, {"site", &a.check.Site}, {"condition", &a.check.Condition}, {"person", &a.check.Person}} {
		if c.IsSet(f.name) {
			a.change(f.name, *f.into, c.String(f.name))
			*f.into = c.String(f.name)
		}
	}
	if a.check.Person == "" {
		return usagef("--person: nobody; want who performed the check")
	}
	return nil
}

func (a *amending) conditions(c *cli.Context) error {
	celsius, _ := unit.Lookup("°C", unit.Temperature)
	for _, f := range []struct {
		name string
		in   unit.Unit
		into *unit.Quantity
	}{{"temperature", celsius, &a.check.Conditions.Gauge}, {"block-temperature", celsius, &a.check.Conditions.Blocks}, {"humidity", percent(), &a.check.Conditions.Humidity}} {
		if !c.IsSet(f.name) {
			continue
		}
		q, err := size(c, f.name, f.in.Dimension(), f.in)
		if err != nil {
			return err
		}
		a.change(strings.ReplaceAll(f.name, "-", " "), f.into.String(), q.String())
		*f.into = q
	}
	return nil
}

// swap puts standards in the place of those that were named wrongly.
func (a *amending) swap(pairs []string) error {
	for _, p := range pairs {
		old, now, ok := strings.Cut(p, "=")
		i := slices.Index(a.check.Standards, old)
		switch {
		case !ok || now == "":
			return usagef("--standard %q: want OLD=NEW, as GB-1=GB-2", p)
		case i < 0:
			return usagef("--standard %q: the check does not name %s; want one of %s", p, old, strings.Join(a.check.Standards, ", "))
		case old == now:
			a.again = append(a.again, now)
			continue
		case slices.Contains(a.check.Standards, now):
			return usagef("--standard %q: the check names %s already; want another one", p, now)
		}
		a.change("standard", old, now)
		a.check.Standards[i] = now
		for _, point := range a.check.Points {
			for n := range point.Blocks {
				if point.Blocks[n].Standard == old {
					point.Blocks[n].Standard = now
				}
			}
		}
	}
	return nil
}

// blocks puts other stacks in the place of those that were written down.
func (a *amending) blocks(stacks []string) error {
	p := &preparation{gauge: a.gauge, sets: a.basis.Standards}
	for _, o := range stacks {
		at, stack, ok := strings.Cut(o, "=")
		if !ok {
			return usagef("--blocks %q: want POINT=STACK, as 5.1=1.1+4", o)
		}
		uses, n, err := p.stack(&a.check, at, stack)
		if err != nil {
			return &usageError{fmt.Sprintf("--blocks %q: %s", o, err)}
		}
		point := &a.check.Points[n]
		a.change("blocks at "+point.Nominal.String(), blockNames(point.Blocks), blockNames(uses))
		point.Blocks = uses
	}
	return nil
}

func blockNames(uses []calib.BlockUse) string {
	var out []string
	for _, b := range uses {
		out = append(out, b.Standard+":"+b.Nominal.String())
	}
	return strings.Join(out, " + ")
}

// place reads what gives a check another place among a gauge's checks: which
// gauge it was, when, and in which stage.
func (a *amending) place(c *cli.Context, today calib.Date) error {
	if c.IsSet("gauge") {
		a.change("gauge", a.check.Gauge, c.String("gauge"))
		a.check.Gauge = c.String("gauge")
	}
	day, err := date(c, "date", a.check.Date)
	if err != nil {
		return err
	}
	if day.After(today) {
		return usagef("--date %s: lies ahead of today, %s; want the day of the check", day, today)
	}
	a.change("date", a.check.Date.String(), day.String())
	a.check.Date = day
	stage, err := choice(c, "stage", []calib.Stage{calib.AsFound, calib.AsLeft})
	if err != nil {
		return err
	}
	if stage != "" {
		a.change("stage", string(a.check.Stage), string(stage))
		a.check.Stage = stage
	}
	purpose, err := choice(c, "purpose", []calib.Purpose{calib.FullCheck, calib.IntermediateCheck})
	if err != nil || purpose == "" {
		return err
	}
	if was := purposeOf(a.check); was != purpose {
		a.change("purpose", string(was), string(purpose))
		a.check.Purpose = purpose
	}
	return nil
}

func purposeOf(c calib.Check) calib.Purpose {
	if c.Intermediate() {
		return calib.IntermediateCheck
	}
	return calib.FullCheck
}

// rest looks up what the amended check rests on, and says where that is another
// certificate or record than before.
func (a *amending) rest(tx *registry.Tx) (err error) {
	if a.refs, err = tx.AmendedBasis(a.old, a.check, a.again); err != nil {
		return err
	}
	if a.basis, err = tx.Resolve(a.refs); err != nil {
		return err
	}
	if err := first(planFits(a.basis.Plan, a.basis.Gauge), a.newCertificates(tx)); err != nil {
		return err
	}
	a.gauge = a.basis.Gauge
	return nil
}

// newCertificates names what the same standard rests on now and did not before.
func (a *amending) newCertificates(tx *registry.Tx) error {
	for i, ref := range a.refs.Standards {
		was := slices.IndexFunc(a.old.Check.Basis.Standards, func(r registry.StandardRef) bool { return r.ID == ref.ID })
		if was < 0 {
			continue
		}
		old := a.old.Check.Basis.Standards[was]
		if old == ref && slices.Contains(a.again, ref.ID) {
			return usagef("--standard %q: the check rests on what counts for %s already, entry %d; nothing would change", ref.ID+"="+ref.ID, ref.ID, ref.Certificate)
		}
		if old.Certificate != ref.Certificate {
			k, _, err := tx.CertificateUsed(old)
			if err != nil {
				return err
			}
			a.change("certificate of "+ref.ID, certificateText(k.Certificate, old.Certificate), certificateText(a.basis.Standards[i].Certificate, ref.Certificate))
		}
		if old.Standard != ref.Standard {
			a.change("record of "+ref.ID, fmt.Sprintf("entry %d", old.Standard), fmt.Sprintf("entry %d", ref.Standard))
		}
	}
	return nil
}

func certificateText(c calib.Certificate, entry uint64) string {
	if entry == 0 {
		return "none"
	}
	return fmt.Sprintf("%s of %s (entry %d)", c.Number, c.Date, entry)
}
