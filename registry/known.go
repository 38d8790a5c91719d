package registry

import (
	"encoding/json"

	"example.org/wring/calib"
	"example.org/wring/calib/survey"
)

// KnownCheck returns the entry that first kept what was observed in c: the same
// gauge, day, stage, purpose and readings, whatever was amended since and
// whichever revision of the plan, blocks and standards it was kept with. It
// reports false where there is none.
func (tx *Tx) KnownCheck(c calib.Check) (uint64, bool, error) {
	rows, err := tx.rowsOn(c.Gauge, c.Date)
	if err != nil {
		return 0, false, err
	}
	for _, row := range rows {
		if row.Date.String() != c.Date.String() || row.Stage != c.Stage {
			continue
		}
		kept, err := tx.Check(row.Entry)
		if err != nil {
			return 0, false, err
		}
		if observed(kept.Check.Check) == observed(c) {
			return row.Entry, true, nil
		}
	}
	return 0, false, nil
}

// KnownSurvey returns the entry that first kept what was read in s: the same
// lot, gauge and day, and the same readings, withdrawn since or not. It reports
// false where there is none.
func (tx *Tx) KnownSurvey(s survey.Survey) (uint64, bool, error) {
	list, err := tx.SurveysOf(s.Lot)
	if err != nil {
		return 0, false, err
	}
	for _, k := range list {
		old := k.Survey.Survey
		if old.Gauge == s.Gauge && old.Date.String() == s.Date.String() && spotted(old) == spotted(s) {
			return k.Head.Seq, true, nil
		}
	}
	return 0, false, nil
}

// spotted is what was read in a survey, in one text.
func spotted(s survey.Survey) string {
	seen := survey.Survey{Zero: uncommented(s.Zero)}
	for _, p := range s.Places {
		seen.Places = append(seen.Places, survey.Place{Name: p.Name, Readings: uncommented(p.Readings)})
	}
	text, _ := json.Marshal(seen) // a survey that was kept or read can be written
	return string(text)
}

// HasGauge reports whether a gauge is here, without looking for names that are
// near to it.
func (tx *Tx) HasGauge(id string) bool { return tx.s.Get(treeGauges, []byte(id)) != nil }

// observed is what a person saw in a check, in one text. What was set on, which
// instrument read it and what was remarked may be told otherwise another time.
func observed(c calib.Check) string {
	seen := calib.Check{Purpose: c.Purpose, Zero: uncommented(c.Zero)}
	if seen.Purpose == "" {
		seen.Purpose = calib.FullCheck
	}
	for _, p := range c.Points {
		seen.Points = append(seen.Points, calib.Point{Nominal: p.Nominal, Readings: uncommented(p.Readings)})
	}
	if f := c.Foot; f != nil {
		seen.Foot = &calib.FootCheck{Points: pressed(f.Points), Diameter: uncommented(f.Diameter)}
	}
	if f := c.Force; f != nil {
		seen.Force = &calib.ForceCheck{Points: pressed(f.Points)}
	}
	if l := c.Load; l != nil {
		seen.Load = &calib.LoadCheck{Zero: uncommented(l.Zero), Return: uncommented(l.Return)}
		for _, p := range l.Points {
			seen.Load.Points = append(seen.Load.Points, calib.LoadPoint{Load: p.Load, Up: uncommented(p.Up), Down: uncommented(p.Down)})
		}
	}
	text, _ := json.Marshal(seen) // a check that was kept or read can be written
	return string(text)
}

func uncommented(list []calib.Reading) (out []calib.Reading) {
	for _, r := range list {
		out = append(out, calib.Reading{Indication: r.Indication})
	}
	return out
}

func pressed(list []calib.PressPoint) (out []calib.PressPoint) {
	for _, p := range list {
		out = append(out, calib.PressPoint{At: p.At, Forward: uncommented(p.Forward), Back: uncommented(p.Back)})
	}
	return out
}
