package main

import (
	"hash/fnv"
	"io"
	"math/rand/v2"
	"slices"
	"strconv"

	"example.org/wring/calib/sheet"
	"example.org/wring/calib/study"
	"example.org/wring/registry"
	"example.org/wring/uncertainty/unit"
)

// studied works a study of the demonstration out and keeps it, as the command
// study does.
func (b *builder) studied(d demoStudy) error {
	on, refs, err := b.studyBasis(d.gauge, d.date)
	if err != nil {
		return err
	}
	s := &sheet.StudySheet{Name: d.title, Title: sheet.Field{Text: d.title}, Process: sheet.Field{Text: d.process}, Date: sheet.Field{Text: d.date},
		Person: sheet.Field{Text: b.person}, Seed: sheet.Field{Text: strconv.FormatUint(d.seed, 10)}, Repeats: sheet.Field{Text: strconv.Itoa(demoRepeats)},
		Low: sheet.Field{Text: demoTolerance[0]}, High: sheet.Field{Text: demoTolerance[1]}}
	for i := range demoStrips {
		s.Parts = append(s.Parts, sheet.Field{Text: strconv.Itoa(i + 1)})
	}
	for _, hand := range demoHands {
		s.Operators = append(s.Operators, sheet.Field{Text: hand})
	}
	_, turns, err := b.design(s, on.Gauge)
	if err != nil {
		return err
	}
	s.Cells = d.read(turns, on.Gauge.Resolution)
	x, err := s.Study(on.Gauge)
	if err != nil {
		return err
	}
	k := registry.KeptStudy{Study: x, Basis: refs}
	if k.Result, err = study.Evaluate(x, on); err != nil {
		return err
	}
	return b.enter(func(tx *registry.Tx) error { _, err := tx.KeepStudy(k); return err })
}

// read writes what these hands would read, turn by turn, in whole steps of the
// gauge. It hangs on nothing but the study's title.
func (d demoStudy) read(turns []study.Turn, step unit.Quantity) []sheet.CellRow {
	h := fnv.New64a()
	io.WriteString(h, d.title)
	draw := rand.New(rand.NewPCG(h.Sum64(), 0))
	thinnest := slices.Min(demoStrips)
	var out []sheet.CellRow
	for i, t := range turns {
		n, _ := strconv.Atoi(t.Part)
		bare := demoStrips[n-1]
		mm := bare - d.press[t.Operator] - d.more[t.Operator]*(bare-thinnest)*10 + d.spreadMM*draw.NormFloat64()
		size := step.Inner().Float()
		steps := int64(mm/size + 0.5) // thicknesses are above 0
		out = append(out, sheet.CellRow{Turn: sheet.Field{Text: strconv.Itoa(i + 1)}, Part: sheet.Field{Text: t.Part}, Operator: sheet.Field{Text: t.Operator},
			Readings: []sheet.Field{{Text: unit.Whole(steps).Mul(step.Inner()).Text(step.Places())}}})
	}
	return out
}
