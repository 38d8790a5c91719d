package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"example.org/wring/calib"
	"example.org/wring/calib/presser"
	"example.org/wring/calib/sheet"
	"example.org/wring/uncertainty/unit"
)

// partWords are what parts are called on the command line.
func partWords() []string { return []string{"length", "foot", "force", "load"} }

// partOf turns a word into a part.
func partOf(word string) (calib.Part, bool) {
	i := slices.Index(partWords(), word)
	if i < 0 {
		return "", false
	}
	return calib.Parts()[i], true
}

func wordOf(part calib.Part) string { return partWords()[slices.Index(calib.Parts(), part)] }

// chooseParts says what is to be recorded: what a sheet holds, what --part
// names, else all that the plan verifies.
func (p *preparation) chooseParts(c *cli.Context) error {
	named := c.StringSlice("part")
	if c.String("sheet") != "" {
		if len(named) > 0 {
			return usagef("--part: a sheet says itself what it records; want one of --part and --sheet")
		}
		p.parts = p.sheet.Parts()
		return nil
	}
	if p.parts = p.plan.Parts(); len(named) == 0 {
		return nil
	}
	var chosen []calib.Part
	for _, word := range named {
		part, ok := partOf(word)
		switch {
		case !ok:
			return usagef("--part %q: no such word; want one of %s", word, strings.Join(partWords(), ", "))
		case !slices.Contains(p.parts, part):
			return usagef("--part %s: no part of plan %s; want one of %s", word, p.plan.Name, strings.Join(wordsOf(p.parts), ", "))
		}
		chosen = append(chosen, part)
	}
	p.parts = slices.DeleteFunc(p.parts, func(part calib.Part) bool { return !slices.Contains(chosen, part) })
	return nil
}

func wordsOf(parts []calib.Part) []string {
	var out []string
	for _, p := range parts {
		out = append(out, wordOf(p))
	}
	return out
}

func (p *preparation) records(part calib.Part) bool { return slices.Contains(p.parts, part) }

// instruments refuses before the first reading where a part has nothing that it
// could be measured with.
func (p *preparation) instruments() error {
	need := func(what string, kinds ...calib.StandardKind) error {
		for _, s := range p.sets {
			if slices.Contains(kinds, s.Standard.Kind) {
				return nil
			}
		}
		return fmt.Errorf("no %s is named; want --standard STANDARD", what)
	}
	if p.records(calib.LengthPart) {
		if err := p.named(); err != nil {
			return err
		}
	}
	if p.records(calib.FootPart) || p.records(calib.ForcePart) {
		if err := need("balance or force gauge", calib.Balance, calib.ForceGauge); err != nil {
			return err
		}
	}
	if !p.records(calib.LoadPart) {
		return nil
	}
	if p.gauge.Kind.Dimension() == unit.Pressure {
		if err := need("dead-weight pressure tester", calib.PressureTester); err != nil {
			return err
		}
	}
	return need("weight set", calib.WeightSet)
}

// placeWeights gives each load without weights the proposed ones.
func (p *preparation) placeWeights(check *calib.Check) error {
	if check.Load == nil {
		return nil
	}
	for i := range check.Load.Points {
		if len(check.Load.Points[i].Weights) > 0 {
			continue
		}
		uses, err := presser.Propose(check.Load.Points[i].Load, check.Load.Tester, p.basis(p.plan))
		if err != nil {
			return err
		}
		check.Load.Points[i].Weights = uses
	}
	return nil
}

func (p *preparation) basis(plan calib.Plan) calib.Basis {
	return calib.Basis{Gauge: p.gauge, Status: p.status, Plan: plan, Standards: p.sets, House: p.house}
}

// supposed adds to a check parts whose readings are all right, for a rehearsal.
func (p *preparation) supposed(check *calib.Check) {
	if p.records(calib.FootPart) {
		check.Foot = &calib.FootCheck{Points: p.supposedPresses(p.plan.Foot.Openings, p.plan.Foot.Readings, true)}
	}
	if p.records(calib.ForcePart) {
		check.Force = &calib.ForceCheck{Points: p.supposedPresses(p.plan.Force.Points, p.plan.Force.Readings, p.plan.Force.Return)}
	}
	if p.records(calib.LoadPart) {
		zero := repeated(calib.Reading{Indication: p.gauge.Low}, 1)
		check.Load = &calib.LoadCheck{Zero: zero, Return: zero}
		for _, at := range p.plan.Load.Loads {
			q := calib.LoadPoint{Load: at, Up: repeated(calib.Reading{Indication: at}, p.plan.Load.Readings)}
			if p.plan.Load.Down {
				q.Down = q.Up
			}
			check.Load.Points = append(check.Load.Points, q)
		}
	}
}

func (p *preparation) supposedPresses(at []unit.Quantity, n int, back bool) []calib.PressPoint {
	var some calib.Reading
	for _, s := range p.sets {
		if s.Standard.Kind == calib.Balance || s.Standard.Kind == calib.ForceGauge {
			for _, v := range s.Certificate.Values {
				some.Indication = v.Nominal
			}
			break
		}
	}
	var out []calib.PressPoint
	for _, q := range at {
		press := calib.PressPoint{At: q, Forward: repeated(some, n)}
		if back {
			press.Back = press.Forward
		}
		out = append(out, press)
	}
	return out
}

// cautions tells a person once what a load can do, before anything is lifted.
func (d desk) cautions(p *preparation, check *calib.Check) {
	var weights [][]calib.WeightUse
	if check.Load != nil {
		for _, q := range check.Load.Points {
			weights = append(weights, q.Weights)
		}
	}
	l := leader{desk: d, p: p}
	for _, text := range presser.Cautions(p.basis(p.plan), p.parts, weights) {
		l.paragraph("care: " + text)
	}
}

// A pressAsked is what a leader asks of a foot or of a measuring force.
type pressAsked struct {
	points        []unit.Quantity
	forward, back string // back is empty where only one way is read
	terms         calib.PartTerms
}

func (p *preparation) pressOf(part calib.Part) pressAsked {
	terms, _ := p.plan.TermsOf(part)
	if part == calib.FootPart {
		return pressAsked{p.plan.Foot.Openings, "lowering", "lifting", terms}
	}
	a := pressAsked{p.plan.Force.Points, "in", "", terms}
	if p.plan.Force.Return {
		a.back = "out"
	}
	return a
}

// readingOf reads an indication of a part, as a sheet does.
func (p *preparation) readingOf(part calib.Part, text string) (unit.Quantity, error) {
	if part == calib.LengthPart {
		return parseLength(text, p.gauge)
	}
	terms, _ := p.plan.TermsOf(part)
	dims, fallback := []unit.Dimension{p.gauge.Kind.Dimension()}, p.gauge.ReadIn()
	if part != calib.LoadPart {
		dims = []unit.Dimension{unit.Mass, unit.Force}
		for _, d := range dims {
			if u, ok := unit.Lookup(terms.Unit, d); ok {
				fallback = u
			}
		}
	}
	return unit.ParseAny(text, dims, fallback)
}

// typedField wraps what was typed at a prompt.
func typedField(text string) sheet.Field { return sheet.Field{Text: text} }
