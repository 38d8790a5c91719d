package main

import (
	"cmp"
	"fmt"
	"io"
	"strings"

	"github.com/urfave/cli/v2"

	"example.org/wring/calib"
	"example.org/wring/calib/survey"
	"example.org/wring/cmd/internal/screen"
	"example.org/wring/registry"
	"example.org/wring/uncertainty/unit"
)

func newLot(e env) *cli.Command {
	return &cli.Command{
		Name:  "lot",
		Usage: "deliveries whose thickness is agreed: add, list, show",
		Subcommands: []*cli.Command{
			{Name: "add", Usage: "enter a lot with its tolerance and its rule; one that is there gets a new revision", ArgsUsage: "LOT",
				UsageText: `wring lot add FELT-118 --material "wool felt" --width 300mm --length 500mm --unit in --places 0.190..0.210 --mean 0.195..0.205 --method hand-lifted`,
				Flags: []cli.Flag{
					text("material", "TEXT", "it is of (wanted)"), text("supplier", "NAME", "it came from"),
					text("form", "FORM", "sheet (if left out) or roll, which has no edges at its ends"),
					text("width", "SIZE", "across, mm without a unit"), text("length", "SIZE", "along, mm without a unit"),
					text("unit", "UNIT", "of the tolerances (the house's)"),
					text("mean", "LOW..HIGH", "that the lot's mean must lie in; one end may be left out"),
					text("places", "LOW..HIGH", "that every place must lie in"),
					text("rule", "RULE", "of decision that was agreed (the house's)"),
					text("guard-factor", "R", "in the guard band R·U, with a guarded rule (1)"),
					text("risk", "P", "of false acceptance, with the rule by risk"),
					text("method", "METHOD", "that was agreed"), text("remarks", "TEXT", "to keep with it"),
				}, Action: entering(e, runLotAdd)},
			{Name: "list", Usage: "list the lots", UsageText: "wring lot list", Action: reading(e, runLotList)},
			{Name: "show", Usage: "show a lot with its surveys", ArgsUsage: "LOT", UsageText: "wring lot show FELT-26-31", Action: reading(e, runLotShow)},
		},
	}
}

func runLotAdd(d desk, c *cli.Context) error {
	w, err := words(c, "LOT")
	if err != nil {
		return err
	}
	if err := d.shape.Identity("lot", w[0]); err != nil {
		return err
	}
	if c.String("material") == "" {
		return usagef("lot add: --material is missing; want what the lot is of")
	}
	var kept registry.KeptLot
	err = d.update(func(tx *registry.Tx) error {
		house, err := tx.House()
		if err != nil {
			return err
		}
		l, err := lotFrom(c, w[0], house.House)
		if err != nil {
			return err
		}
		if err := first(d.shape.Check(l), l.Sound()); err != nil {
			return fmt.Errorf("lot %s: %w", l.ID, err)
		}
		kept, err = tx.AddLot(l)
		return err
	})
	if err != nil {
		return err
	}
	return d.kept(kept.Entry, "lot %s, revision %d, %s", kept.Lot.ID, kept.Lot.Revision, kept.Lot.Material)
}

func lotFrom(c *cli.Context, id string, house calib.House) (survey.Lot, error) {
	l := survey.Lot{ID: id, Revision: 1, Material: c.String("material"), Supplier: c.String("supplier"), Form: survey.Sheet,
		Unit: cmp.Or(c.String("unit"), house.Unit), Rule: house.Rule, Method: c.String("method"), Remarks: c.String("remarks")}
	form, err := choice(c, "form", survey.Forms())
	if err != nil {
		return l, err
	}
	l.Form = cmp.Or(form, l.Form)
	u, ok := unit.Lookup(l.Unit, unit.Length)
	if !ok {
		return l, usagef("--unit %q: want one of %s", l.Unit, strings.Join(unit.Lengths(), ", "))
	}
	l.Unit = u.Symbol()
	if l.Rule, err = ruleOf(c, l.Rule); err != nil {
		return l, err
	}
	millimetre, _ := unit.Lookup("mm", unit.Length)
	var errs [4]error
	l.Width, errs[0] = size(c, "width", unit.Length, millimetre)
	l.Length, errs[1] = size(c, "length", unit.Length, millimetre)
	l.Mean, errs[2] = toleranceOf(c, "mean", u)
	l.Place, errs[3] = toleranceOf(c, "places", u)
	return l, first(errs[:]...)
}

// toleranceOf reads LOW..HIGH, of which one end may be open.
func toleranceOf(c *cli.Context, name string, u unit.Unit) (calib.Band, error) {
	given := c.String(name)
	if given == "" {
		return calib.Band{}, nil
	}
	low, high, ok := strings.Cut(given, "..")
	if !ok || low == "" && high == "" {
		return calib.Band{}, usagef("--%s %q: not a tolerance; want its lower and upper limit, as 0.195..0.205", name, given)
	}
	b := calib.Band{Origin: "agreed for the lot"}
	for _, end := range []struct {
		text string
		into *unit.Quantity
	}{{low, &b.Low}, {high, &b.High}} {
		if end.text == "" {
			continue
		}
		q, err := unit.Parse(end.text, unit.Length, u)
		if err != nil {
			return b, inOption(name, err)
		}
		*end.into = q
	}
	if !b.Low.IsZero() && !b.High.IsZero() && b.Low.Inner().Cmp(b.High.Inner()) > 0 {
		return b, usagef("--%s %s: the lower limit lies above the upper; want the lower first", name, given)
	}
	return b, nil
}

func runLotList(d desk, c *cli.Context) error {
	if _, err := words(c); err != nil {
		return err
	}
	list := []survey.Lot{}
	if err := d.view(func(tx *registry.Tx) error {
		kept, err := tx.Lots()
		for _, k := range kept {
			list = append(list, k.Lot)
		}
		return err
	}); err != nil {
		return err
	}
	return d.answer(list, func(out io.Writer) error {
		if len(list) == 0 {
			return line(out, "no lot yet; wring lot add LOT enters one")
		}
		t := screen.Table{Columns: []screen.Column{{Title: "lot"}, {Title: "material", Wrap: true}, {Title: "supplier", Wrap: true}, {Title: "unit"}, {Title: "mean"}, {Title: "places"}, {Title: "method"}}}
		for _, l := range list {
			t.Add(l.ID, l.Material, l.Supplier, l.Unit, limitsIn(l, l.Mean), limitsIn(l, l.Place), l.Method)
		}
		return t.Write(out)
	})
}

// limitsIn writes limits in the lot's own unit, which stands beside them.
func limitsIn(l survey.Lot, b calib.Band) string {
	u, _ := unit.Lookup(l.Unit, unit.Length)
	number := func(q unit.Quantity) string {
		if q.IsZero() {
			return ""
		}
		if q.Unit().Symbol() == l.Unit {
			return q.Number()
		}
		return q.In(u).Shortest()
	}
	if b.IsZero() {
		return ""
	}
	return number(b.Low) + ".." + number(b.High)
}

// A lotAnswer is a lot with its surveys.
type lotAnswer struct {
	Lot     survey.Lot  `json:"lot"`
	Surveys []lotSurvey `json:"surveys"`
}

// A lotSurvey is one survey of a lot.
type lotSurvey struct {
	Entry   uint64        `json:"entry"`
	Date    calib.Date    `json:"date"`
	Method  string        `json:"method"`
	Gauge   string        `json:"gauge"`
	Places  int           `json:"places"`
	Mean    calib.Figure  `json:"mean"`
	Verdict calib.Verdict `json:"verdict,omitempty"`
	Marks   int           `json:"marks"` // findings

	Withdrawn uint64 `json:"withdrawn_by,omitempty"` // entry; 0 where it stands
}

func runLotShow(d desk, c *cli.Context) error {
	w, err := words(c, "LOT")
	if err != nil {
		return err
	}
	a := lotAnswer{Surveys: []lotSurvey{}}
	if err := d.view(func(tx *registry.Tx) error {
		kept, err := tx.Lot(w[0])
		if err != nil {
			return err
		}
		a.Lot = kept.Lot
		list, err := tx.SurveysOf(w[0])
		for _, s := range list {
			k := s.Survey
			a.Surveys = append(a.Surveys, lotSurvey{s.Head.Seq, k.Survey.Date, k.Survey.Method, k.Survey.Gauge, len(k.Survey.Places), k.Result.Mean, k.Result.Verdict, len(k.Result.Findings), s.Withdrawn})
		}
		return err
	}); err != nil {
		return err
	}
	return d.answer(a, a.write)
}

func (a lotAnswer) write(out io.Writer) error {
	l := a.Lot
	u, _ := unit.Lookup(l.Unit, unit.Length)
	size := strings.Trim(l.Width.String()+" × "+l.Length.String(), "× ")
	if err := screen.Facts(out, [][2]string{{"lot", l.ID}, {"material", l.Material}, {"supplier", l.Supplier}, {"form", string(l.Form)}, {"size", size},
		{"mean", pressText(l.Mean)}, {"places", pressText(l.Place)}, {"rule", ruleText(l.Rule)}, {"method", l.Method}, {"remarks", l.Remarks}}...); err != nil {
		return err
	}
	if len(a.Surveys) == 0 {
		return line(out, "\nnot surveyed yet; wring survey %s", l.ID)
	}
	t := screen.Table{Columns: []screen.Column{{Title: "entry", Align: screen.Right}, {Title: "date"}, {Title: "method"}, {Title: "gauge"}, {Title: "places", Align: screen.Right},
		{Title: "mean\n" + l.Unit, Align: screen.Decimal}, {Title: "U\n" + l.Unit, Align: screen.Decimal}, {Title: "verdict"}}}
	for _, s := range a.Surveys {
		value, expanded := inFigure(u, s.Mean)
		t.Add(fmt.Sprint(s.Entry), s.Date.String(), s.Method, s.Gauge, fmt.Sprint(s.Places), value, expanded, string(s.Verdict)+yes(s.Marks > 0, ", marked", "")+yes(s.Withdrawn > 0, ", withdrawn", ""))
	}
	return first(line(out, ""), t.Write(out))
}
