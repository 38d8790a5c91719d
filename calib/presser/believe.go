package presser

import (
	"fmt"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/unit"
)

// usuallyBelievable is the share of a band or a load that a reading may be off,
// where the plan has none (house rule, see [calib.PartTerms]).
const usuallyBelievable = 0.5

// Unbelievable says why a reading at a place of a part is taken for a slip: an
// instrument under a foot or a spindle that indicates less than nothing, or a
// reading that lies further outside its band, or from its load, than the plan
// believes. It is empty for one that may be so, and for one that the records
// cannot tell of. at is the opening or the load; not given: the gauge's zero.
func Unbelievable(part calib.Part, at, reading unit.Quantity, c calib.Check, basis calib.Basis) string {
	b, err := newBench(part, c, basis)
	if err != nil || reading.IsZero() {
		return ""
	}
	share := usuallyBelievable
	if q := b.terms.Believable; !q.IsZero() {
		share = q.Inner().Float() / 100
	}
	if part == calib.LoadPart {
		return b.farFromLoad(at, reading, share)
	}
	if reading.Inner().Sign() < 0 {
		return fmt.Sprintf("%s is below zero, and what presses can only press; want the instrument tared with nothing on it", reading)
	}
	return b.farFromBand(part, at, reading, share)
}

// farFromBand says how far a reading lies outside the band of its place.
func (b *bench) farFromBand(part calib.Part, at, reading unit.Quantity, share float64) string {
	var band calib.Band
	var on foot
	if part == calib.FootPart {
		band = b.basis.Plan.Foot.BandAt(at)
		if b.check.Foot != nil {
			on, _ = b.footOf(*b.check.Foot)
		} else {
			on, _ = b.footOf(calib.FootCheck{})
		}
	} else {
		band = b.basis.Plan.Force.Band
	}
	rate, err := b.rate(reading.Unit().Dimension(), band.Dimension(), on)
	if err != nil {
		return ""
	}
	value := reading.Inner().Float() * rate
	for _, end := range []struct {
		q     unit.Quantity
		side  float64
		where string
	}{{band.Low, -1, "below"}, {band.High, 1, "above"}} {
		if edge := end.q.Inner().Float(); !end.q.IsZero() && end.side*(value-edge) > share*edge {
			return fmt.Sprintf("%s is more than %.3g %% %s %s, the end of the band", reading, 100*share, end.where, end.q)
		}
	}
	return ""
}

// farFromLoad says how far an indication is from the load; that of nothing is
// held to the smallest load of the plan.
func (b *bench) farFromLoad(at, reading unit.Quantity, share float64) string {
	loads := b.basis.Plan.Load.Loads
	of, off := at, reading.Inner()
	if at.IsZero() {
		if len(loads) == 0 {
			return ""
		}
		of = loads[0]
	} else {
		off = off.Sub(at.Inner())
	}
	if off.Abs().Float() <= share*of.Inner().Abs().Float() {
		return ""
	}
	under := "under nothing"
	if !at.IsZero() {
		under = "under " + at.String()
	}
	return fmt.Sprintf("%s %s is off by more than %.3g %% of %s", reading, under, 100*share, of)
}
