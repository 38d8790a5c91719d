package presser

import (
	"fmt"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/conformity"
	"example.org/wring/uncertainty/unit"
)

// footResult works out force and pressure of a foot at every opening and in
// both directions; each is judged, so that no spring passes on one of them.
func footResult(c calib.Check, basis calib.Basis) (*calib.PartResult, error) {
	b, err := newBench(calib.FootPart, c, basis)
	if err != nil {
		return nil, err
	}
	on, err := b.used("foot", c.Foot.Instrument, calib.Balance, calib.ForceGauge)
	if err != nil {
		return nil, err
	}
	f, err := b.footOf(*c.Foot)
	if err != nil {
		return nil, err
	}
	figures, heaviest, err := b.openings(on, f)
	if err != nil {
		return nil, err
	}
	if d := basis.Plan.Foot.Diameter; !d.IsZero() {
		if f.diameter == nil {
			return nil, errNoFoot(basis.Gauge)
		}
		own := figure{lines: f.diameter.lines}
		own.Value, own.Unit = f.diameter.value, unit.Inner(unit.Length).Symbol()
		figures = append(figures, own.named("diameter of the foot", unit.Quantity{}).within(inner(d.Low), inner(d.High)))
	}
	out, err := b.conclude(figures)
	if err != nil {
		return nil, err
	}
	out.Heaviest = heaviest
	out.Notes = append(out.Notes, adjustedOnSite(on)...)
	if basis.Plan.Foot.Drive == calib.Spring {
		neverOnOne(out, *c.Foot)
	}
	return out, nil
}

// adjustedOnSite says what a balance's indications rest on.
func adjustedOnSite(on calib.StandardOnDay) []string {
	if on.Standard.Kind != calib.Balance {
		return nil
	}
	return []string{on.Standard.ID + " is taken to have been adjusted where it stands, with weights of 8000 kg/m³: it then indicates a mass, in which gravity cancels"}
}

// openings returns the figures of every opening, of friction and of the spread
// over the travel, and the largest mass on the instrument in kg.
func (b *bench) openings(on calib.StandardOnDay, f foot) (figures []figure, heaviest float64, err error) {
	plan := b.basis.Plan.Foot
	to := plan.Dimension()
	per, err := b.rate(on.Standard.Kind.Dimension(), to, f)
	if err != nil {
		return nil, 0, err
	}
	read, err := b.pressed(on)
	if err != nil {
		return nil, 0, err
	}
	var friction []figure
	var travelled []opening
	for i, p := range b.check.Foot.Points {
		place, down, up := openingPlace(p), read[i].down, read[i].up
		for _, way := range []struct {
			name string
			seen seen
		}{{"lowering", down}, {"lifting", up}} {
			judged, err := b.both(to, way.seen, f, way.name, p.At)
			if err != nil {
				return nil, 0, fmt.Errorf("%s: %w", place, err)
			}
			band := plan.BandAt(p.At)
			judged[0] = judged[0].within(inner(band.Low), inner(band.High))
			figures = append(figures, judged...)
		}
		rub := less(up, down, "lifting", "lowering", per/2)
		rub.Unit = unit.Inner(to).Symbol()
		friction = append(friction, rub.named("friction", p.At).within(around(plan.Friction)))
		travelled = append(travelled, meanOf(p.At, i+1, up, down, per))
		heaviest = max(heaviest, b.kilograms(up), b.kilograms(down))
	}
	figures = append(figures, friction...)
	over, err := b.travel(travelled, on, per, to)
	return append(figures, over...), heaviest, err
}

func openingPlace(p calib.PressPoint) string { return fmt.Sprintf("foot: opening %s", p.At) }

// A press is what was seen at one opening, lowering and lifting.
type press struct {
	at       unit.Quantity
	down, up seen
}

// pressed reads every opening both ways. What a spring presses with changes with
// the opening, which is known no closer than the gauge shows it.
func (b *bench) pressed(on calib.StandardOnDay) ([]press, error) {
	var out []press
	for _, p := range b.check.Foot.Points {
		down, err := b.see(openingPlace(p)+", lowering", on, p.Forward)
		if err != nil {
			return nil, err
		}
		up, err := b.see(openingPlace(p)+", lifting", on, p.Back)
		if err != nil {
			return nil, err
		}
		out = append(out, press{p.At, down, up})
	}
	if b.basis.Plan.Foot.Drive == calib.Spring {
		b.setByTheGauge(out)
	}
	return out, nil
}

// words are what a foot's figures are called by their dimension.
func words(d unit.Dimension) string {
	switch d {
	case unit.Pressure:
		return "pressure"
	case unit.Mass:
		return "load"
	default:
		return "force"
	}
}

// both returns the figure that is judged and, where it is none itself, the
// pressure beside it.
func (b *bench) both(to unit.Dimension, s seen, f foot, way string, at unit.Quantity) ([]figure, error) {
	one, err := b.as(to, s, f)
	if err != nil {
		return nil, err
	}
	out := []figure{one.named(words(to)+", "+way, at)}
	if to == unit.Pressure || !(f.area > 0) {
		return out, nil
	}
	if s.dimension == unit.Mass && b.gravity == nil {
		if _, _, err := b.site(); err != nil {
			return out, nil // the method asks for a mass; the pressure would need the site
		}
	}
	p, err := b.as(unit.Pressure, s, f)
	return append(out, p.named("pressure, "+way, at)), err
}

// kilograms is what a person would lift for such a reading.
func (b *bench) kilograms(s seen) float64 {
	if s.dimension == unit.Mass {
		return s.value.Float()
	}
	return s.value.Float() / StandardGravity
}

// fewestOpenings is how many a spring is judged at before it can pass (house
// rule: a spring's force is a line, and two points fit any). One that was not
// read in both directions was refused before.
const fewestOpenings = 3

// neverOnOne takes back a pass of a spring that too few readings stand behind,
// whatever the plan's gates let through.
func neverOnOne(r *calib.PartResult, c calib.FootCheck) {
	enough := len(c.Points) >= fewestOpenings
	if enough || r.Verdict != calib.Verdict(conformity.Pass) && r.Verdict != calib.Verdict(conformity.ConditionalPass) {
		return
	}
	r.Verdict = calib.Verdict(conformity.CannotDecide)
	r.Notes = append(r.Notes, fmt.Sprintf("a spring presses harder the further it is opened: %d of the %d openings that a pass rests on were read", len(c.Points), fewestOpenings))
}
