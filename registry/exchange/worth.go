package exchange

import (
	"strconv"

	"example.org/wring/calib/agreement"
	"example.org/wring/calib/table"
	"example.org/wring/registry"
)

// studies writes one line for each component of each study that stands.
func studies(tx *registry.Tx, t *table.Table) error {
	t.Columns = []string{"study", "gauge", "date", "person", "title", "process", "parts", "operators", "repeats", "seed", "tolerance_low", "tolerance_high", "unit", "of",
		"s", "s_low", "s_high", "share_of_total", "share_of_tolerance", "share_of_tolerance_low", "share_of_tolerance_high", "categories", "serves", "remarks"}
	return eachStudy(tx, func(k registry.Studied) {
		s, r := k.Study.Study, k.Study.Result
		for _, c := range r.Shares {
			takes := []string{"", "", ""}
			if r.Tolerance > 0 {
				takes = []string{float(c.OfTolerance), float(c.LowOf), float(c.HighOf)}
			}
			t.Add(number(k.Head.Seq), s.Gauge, s.Date.String(), s.Person, s.Title, s.Process, strconv.Itoa(len(s.Parts)), strconv.Itoa(len(s.Operators)), strconv.Itoa(s.Repeats), number(s.Seed),
				s.Low.String(), s.High.String(), r.Unit, c.Of, float(c.S), float(c.Low), float(c.High), float(c.OfTotal), takes[0], takes[1], takes[2],
				strconv.Itoa(r.Categories), string(r.Reading), s.Remarks)
		}
	})
}

// studyReadings writes one line for each reading of each study that stands, in
// the order they were taken in where that is known.
func studyReadings(tx *registry.Tx, t *table.Table) error {
	t.Columns = []string{"study", "gauge", "turn", "part", "operator", "reading", "unit", "comment"}
	return eachStudy(tx, func(k registry.Studied) {
		for i, r := range k.Study.Study.Readings {
			turn := ""
			if k.Study.Study.Ordered {
				turn = strconv.Itoa(i + 1)
			}
			t.Add(number(k.Head.Seq), k.Study.Study.Gauge, turn, r.Part, r.Operator, r.Indication.Number(), r.Indication.Unit().Symbol(), r.Comment)
		}
	})
}

func eachStudy(tx *registry.Tx, fn func(registry.Studied)) error {
	list, err := tx.Studies()
	for _, k := range list {
		if k.Withdrawn == 0 {
			fn(k)
		}
	}
	return err
}

// comparisons writes one line for each specimen of each comparison that stands.
// A party's entry is the one that its figures were taken from.
func comparisons(tx *registry.Tx, t *table.Table) error {
	t.Columns = []string{"comparison", "date", "person", "title", "a", "a_gauge", "a_entry", "a_method", "b", "b_gauge", "b_entry", "b_method", "specimen", "a_size", "a_expanded",
		"b_size", "b_expanded", "unit", "difference", "expanded", "en", "same_method", "mean_difference", "low", "high", "agree", "says", "remarks"}
	list, err := tx.Comparisons()
	for _, k := range list {
		if k.Withdrawn > 0 {
			continue
		}
		c, r := k.Comparison.Comparison, k.Comparison.Result
		for i, s := range c.Specimens {
			row := append([]string{number(k.Head.Seq), c.Date.String(), c.Person, c.Title}, append(partyCells(c.A), partyCells(c.B)...)...)
			at := r.Specimens[i]
			t.Add(append(row, s.Name, s.A.Size.String(), s.A.Expanded.String(), s.B.Size.String(), s.B.Expanded.String(), r.Unit, float(at.Difference), float(at.Expanded), float(at.En),
				string(r.Same), float(r.Mean), float(r.Low), float(r.High), truth(r.Agree), r.Reading, c.Remarks)...)
		}
	}
	return err
}

func partyCells(p agreement.Party) []string {
	return []string{p.Name, p.Gauge, number(p.Entry), p.Method}
}

func truth(is bool) string {
	if is {
		return "yes"
	}
	return "no"
}

// settings writes what the house said of itself and what it set, as it holds
// now; what was never set has no value.
func settings(tx *registry.Tx, t *table.Table) error {
	t.Columns = []string{"setting", "value"}
	o, err := tx.House()
	if err != nil {
		return err
	}
	h := o.House
	factor, risk, days := "", "", ""
	if h.Rule.Factor != 0 {
		factor = float(h.Rule.Factor)
	}
	if h.Rule.Risk != 0 {
		risk = float(h.Rule.Risk)
	}
	if h.RemindDays > 0 {
		days = strconv.Itoa(h.RemindDays)
	}
	for _, s := range [][2]string{{"organisation", h.Organisation}, {"address", h.Address}, {"site", h.Site}, {"unit", h.Unit}, {"rule", h.Rule.Name}, {"guard-factor", factor}, {"risk", risk},
		{"latitude", h.Latitude.String()}, {"height", h.Height.String()}, {"gravity", h.Gravity.String()}, {"gravity-expanded", h.GravityExpanded.String()}, {"paper", h.Paper},
		{"due-within", h.DueWithin}, {"backup-reminder", days}, {"one-hand", h.Care.OneHand.String()}, {"one-person", h.Care.OnePerson.String()}} {
		t.Add(s[0], s[1])
	}
	head, err := tx.Head()
	if err != nil {
		return err
	}
	release, err := tx.ReleaseRequired(head.Seq + 1)
	t.Add("release", map[bool]string{true: "on", false: "off"}[release])
	return err
}
