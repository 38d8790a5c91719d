package exchange

import (
	"strconv"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/calib/survey"
	"example.org/wring/calib/table"
	"example.org/wring/registry"
	"example.org/wring/uncertainty/unit"
)

// methods writes every method's newest revision; what a table cannot hold is in
// its entry.
func methods(tx *registry.Tx, t *table.Table) error {
	t.Columns = []string{"method", "revision", "title", "material", "source", "mark", "pressure_low", "pressure_high", "nominal", "foot_diameter_low", "foot_diameter_high",
		"foot_area_low", "foot_area_high", "dwell_s", "places", "readings", "reported", "resolution", "accuracy", "entry"}
	list, err := tx.Methods()
	for _, k := range list {
		m := k.Method
		t.Add(m.Name, strconv.Itoa(m.Revision), m.Title, m.Material, m.Source, string(m.Mark), m.Pressure.Low.String(), m.Pressure.High.String(), m.Nominal.String(),
			m.Foot.Diameter.Low.String(), m.Foot.Diameter.High.String(), m.Foot.Area.Low.String(), m.Foot.Area.High.String(), seconds(m.Dwell),
			strconv.Itoa(m.Places.Least), strconv.Itoa(m.Places.Readings), string(m.Report), m.Resolution.String(), m.Accuracy.String(), number(k.Entry))
	}
	return err
}

func seconds(d survey.Dwell) string {
	if d.IsZero() {
		return ""
	}
	return float(d.Seconds)
}

// lots writes every lot's newest revision.
func lots(tx *registry.Tx, t *table.Table) error {
	t.Columns = table.Heading(table.Lots)
	list, err := tx.Lots()
	for _, k := range list {
		t.Add(table.LotRow(k.Lot)...)
	}
	return err
}

// surveys writes what was read in each survey that stands.
func surveys(tx *registry.Tx, t *table.Table) error {
	most := 1
	if err := eachSurvey(tx, func(k registry.Surveyed, _ survey.Basis) { most = max(most, table.MostSurveyed(k.Survey.Survey)) }); err != nil {
		return err
	}
	t.Columns = table.SurveyHeading(most)
	return eachSurvey(tx, func(k registry.Surveyed, b survey.Basis) {
		for _, row := range table.SurveyRows(number(k.Head.Seq), k.Survey.Survey, b.Gauge.ReadIn(), most) {
			t.Add(row...)
		}
	})
}

// thicknesses writes one line for each place of each survey that stands, with
// what the lot came to beside it, in millimetres.
func thicknesses(tx *registry.Tx, t *table.Table) error {
	t.Columns = []string{"survey", "lot", "lot_revision", "method", "method_revision", "gauge", "date", "person", "length_check", "foot_check", "place", "across", "along", "readings",
		"unit", "dwell_skipped", "thickness_mm", "expanded_mm", "k", "place_verdict", "mean_mm", "mean_expanded_mm", "mean_k", "s_mm", "verdict", "marked", "override", "comment", "remarks"}
	return eachSurvey(tx, func(k registry.Surveyed, b survey.Basis) { surveyRows(t, k, b.Lot.Revision) })
}

// eachSurvey calls fn with every survey that stands, by lot.
func eachSurvey(tx *registry.Tx, fn func(registry.Surveyed, survey.Basis)) error {
	list, err := tx.Lots()
	if err != nil {
		return err
	}
	for _, l := range list {
		kept, err := tx.SurveysOf(l.Lot.ID)
		if err != nil {
			return err
		}
		for _, k := range kept {
			if k.Withdrawn > 0 {
				continue
			}
			b, err := tx.ResolveSurvey(k.Survey.Basis)
			if err != nil {
				return err
			}
			fn(k, b)
		}
	}
	return nil
}

func surveyRows(t *table.Table, k registry.Surveyed, lotRevision int) {
	s, r := k.Survey.Survey, k.Survey.Result
	in := s.Places[0].Readings[0].Indication.Unit()
	var marked []string
	for _, f := range r.Findings {
		marked = append(marked, string(f.Gate))
	}
	for i, p := range s.Places {
		at := r.Places[i].Thickness
		var skipped []string
		for _, n := range p.Undwelt {
			skipped = append(skipped, strconv.Itoa(n))
		}
		t.Add(number(k.Head.Seq), s.Lot, strconv.Itoa(lotRevision), s.Method, strconv.Itoa(s.Revision), s.Gauge, s.Date.String(), s.Person,
			number(k.Survey.Basis.Sizes), number(k.Survey.Basis.Foot), p.Name, p.Across.String(), p.Along.String(), indications(p.Readings, in), in.Symbol(),
			strings.Join(skipped, " "), decimal(at.Value), float(at.Expanded), float(at.K), string(at.Verdict), decimal(r.Mean.Value), float(r.Mean.Expanded), float(r.Mean.K),
			float(r.S), string(r.Verdict), strings.Join(marked, "; "), r.Override, p.Comment, s.Remarks)
	}
}

// indications are the readings of one place as typed, without the unit that
// all have.
func indications(list []calib.Reading, in unit.Unit) string {
	var out []string
	for _, r := range list {
		out = append(out, strings.TrimSuffix(r.Indication.String(), " "+in.Symbol()))
	}
	return strings.Join(out, " ")
}
