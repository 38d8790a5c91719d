package main

import (
	"cmp"
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"runtime"
	"slices"
	"strings"
	"sync"

	"example.org/wring/calib"
	"example.org/wring/calib/assess"
	"example.org/wring/calib/survey"
	"example.org/wring/registry"
	"example.org/wring/uncertainty/unit"
)

// A resultDifference is a kept check or survey that today's program would not work out
// as it was kept.
type resultDifference struct {
	Entry   uint64   `json:"entry"`
	Gauge   string   `json:"gauge"`
	Lot     string   `json:"lot,omitempty"`  // of a survey
	What    string   `json:"what,omitempty"` // study or comparison
	Date    string   `json:"date"`
	KeptBy  string   `json:"kept_by"`  // program and version
	Today   string   `json:"today"`    // program and version
	Figures []string `json:"figures"`  // what differs, in words
	Certain bool     `json:"computed"` // false where today's program stops at it
}

func (r resultDifference) String() string {
	if r.Lot != "" {
		return fmt.Sprintf("entry %d, survey of %s on %s, kept by %s", r.Entry, r.Lot, r.Date, r.KeptBy)
	}
	return fmt.Sprintf("entry %d, %s of %s on %s, kept by %s", r.Entry, cmp.Or(r.What, "check"), r.Gauge, r.Date, r.KeptBy)
}

// A recomputer works kept checks out again beside the reading of them: that
// takes far longer than the reading (7 ms a check, measured), and checks do not
// hang on each other.
type recomputer struct {
	jobs    chan recomputation
	working sync.WaitGroup
	mu      sync.Mutex
	found   []resultDifference
}

type recomputation struct {
	kept  registry.Kept
	basis calib.Basis
}

func newRecomputer() *recomputer {
	r := &recomputer{jobs: make(chan recomputation)}
	for range runtime.GOMAXPROCS(0) {
		r.working.Go(r.work)
	}
	return r
}

func (r *recomputer) work() {
	for j := range r.jobs {
		d := computeAgain(j.kept, j.basis)
		if d == nil {
			continue
		}
		r.mu.Lock()
		r.found = append(r.found, *d)
		r.mu.Unlock()
	}
}

// take reads what the check rests on, and leaves it to be worked out.
func (r *recomputer) take(tx *registry.Tx, k registry.Kept) error {
	basis, err := tx.Resolve(k.Check.Basis)
	if err == nil {
		r.jobs <- recomputation{k, basis}
	}
	return err
}

// takeSurvey works a kept survey out again at once: there are few of them.
func (r *recomputer) takeSurvey(tx *registry.Tx, k registry.Surveyed) error {
	basis, err := tx.ResolveSurvey(k.Survey.Basis)
	if err != nil {
		return err
	}
	s := k.Survey.Survey
	d := resultDifference{Entry: k.Head.Seq, Gauge: s.Gauge, Lot: s.Lot, Date: s.Date.String(), KeptBy: k.Entry.Program, Today: version, Certain: true}
	now, err := survey.Evaluate(s, basis)
	if err != nil {
		d.Certain = false
		d.Figures = []string{fmt.Sprintf("verdict %s was kept; today it is not worked out: %v", k.Survey.Result.Verdict, err)}
	} else {
		d.Figures = compareWhole(k.Survey.Result, now)
	}
	if len(d.Figures) > 0 {
		r.mu.Lock()
		r.found = append(r.found, d)
		r.mu.Unlock()
	}
	return nil
}

// differences waits for all and returns what differs, in the order of entries.
func (r *recomputer) differences() []resultDifference {
	close(r.jobs)
	r.working.Wait()
	slices.SortFunc(r.found, func(a, b resultDifference) int { return cmp.Compare(a.Entry, b.Entry) })
	return r.found
}

// computeAgain works a kept check out, and returns what differs; nil where
// nothing does.
func computeAgain(k registry.Kept, basis calib.Basis) *resultDifference {
	c := k.Check.Check
	d := resultDifference{Entry: k.Head.Seq, Gauge: c.Gauge, Date: c.Date.String(), KeptBy: k.Entry.Program, Today: version, Certain: true}
	now, err := assess.Check(c, basis)
	if err != nil {
		d.Certain = false
		d.Figures = []string{fmt.Sprintf("verdict %s was kept; today it is not worked out: %v", k.Check.Result.Verdict, err)}
		return &d
	}
	if d.Figures = compareResults(k.Check.Result, now); len(d.Figures) == 0 {
		return nil
	}
	return &d
}

// sameFigure is how far two computed figures may be apart, of their size, and
// still be the same (house rule): processors differ in the last digits, and a
// certificate shows two.
const sameFigure = 1e-9

func nearFigures(a, b float64) bool {
	return a == b || math.Abs(a-b) <= sameFigure*math.Max(math.Abs(a), math.Abs(b))
}

// compareResults says in words what differs between a result as kept and as
// computed.
func compareResults(kept, now calib.Result) []string {
	var out []string
	say := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	if kept.Verdict != now.Verdict {
		say("verdict: kept %s, computed %s", kept.Verdict, now.Verdict)
	}
	if len(kept.Points) != len(now.Points) {
		say("points: kept %d, computed %d", len(kept.Points), len(now.Points))
		return out
	}
	for i := range kept.Points {
		a := comparison{at: fmt.Sprintf("point %d, %s mm", i+1, kept.Points[i].Nominal.Shortest())}
		a.points(kept.Points[i], now.Points[i])
		a.budgets(kept, now, i)
		out = append(out, a.found...)
	}
	out = append(out, compareFindings(kept.Findings, now.Findings)...)
	if len(out) == 0 {
		return compareWhole(kept, now)
	}
	return out
}

// compareWhole looks at everything that a result states, by the names it is
// kept under: for parts beside length, and for what a later program adds.
func compareWhole(kept, now any) []string {
	var trees [2]any
	for i, r := range []any{kept, now} {
		text, err := json.Marshal(r)
		if err == nil {
			err = json.Unmarshal(text, &trees[i])
		}
		if err != nil {
			return []string{"the result cannot be written: " + err.Error()}
		}
	}
	var out []string
	compareTrees("", trees[0], trees[1], &out)
	return out
}

func compareTrees(at string, kept, now any, out *[]string) {
	differ := func() {
		*out = append(*out, fmt.Sprintf("%s: kept %v, computed %v", strings.TrimPrefix(at, " "), kept, now))
	}
	switch k := kept.(type) {
	case map[string]any:
		n, _ := now.(map[string]any)
		for _, name := range slices.Sorted(maps.Keys(k)) {
			compareTrees(at+" "+name, k[name], n[name], out)
		}
		for _, name := range slices.Sorted(maps.Keys(n)) {
			if _, both := k[name]; !both {
				compareTrees(at+" "+name, nil, n[name], out)
			}
		}
	case []any:
		n, _ := now.([]any)
		if len(k) != len(n) {
			differ()
			return
		}
		for i := range k {
			compareTrees(fmt.Sprintf("%s %d", at, i+1), k[i], n[i], out)
		}
	case float64:
		if n, ok := now.(float64); !ok || !nearFigures(k, n) {
			differ()
		}
	default:
		if kept != now {
			differ()
		}
	}
}

// A comparison gathers what differs at one point.
type comparison struct {
	at    string
	found []string
}

func (c *comparison) say(what, kept, now string) {
	c.found = append(c.found, fmt.Sprintf("%s: %s: kept %s, computed %s", c.at, what, kept, now))
}

func (c *comparison) exact(what string, kept, now unit.Exact) {
	if kept.Cmp(now) != 0 {
		c.say(what, kept.Shortest()+" mm", now.Shortest()+" mm")
	}
}

// figure compares two numbers that carry a unit, or none.
func (c *comparison) figure(what string, kept, now, scale float64, unitName string) {
	if !nearFigures(kept, now) {
		text := func(f float64) string { return fmt.Sprintf("%.6g%s", f*scale, unitName) }
		c.say(what, text(kept), text(now))
	}
}

func (c *comparison) points(kept, now calib.PointResult) {
	c.exact("nominal size", kept.Nominal, now.Nominal)
	c.exact("reference value", kept.Reference, now.Reference)
	c.exact("mean indication", kept.Mean, now.Mean)
	c.exact("error of indication", kept.Error, now.Error)
	c.exact("maximum permissible error", kept.Limit, now.Limit)
	c.figure("standard deviation of the readings", kept.S, now.S, micrometres, " µm")
	c.figure("standard uncertainty", kept.Standard, now.Standard, micrometres, " µm")
	c.figure("effective degrees of freedom", kept.DoF, now.DoF, 1, "")
	c.figure("coverage factor", kept.K, now.K, 1, "")
	c.figure("expanded uncertainty", kept.Expanded, now.Expanded, micrometres, " µm")
	c.figure("MPE/U", kept.Ratio, now.Ratio, 1, "")
	c.figure("probability to conform", kept.Conformance, now.Conformance, 1, "")
	if kept.Method != now.Method {
		c.say("coverage", kept.Method, now.Method)
	}
	if kept.Verdict != now.Verdict {
		c.say("verdict", string(kept.Verdict), string(now.Verdict))
	}
}

// budgets compares what each contribution gives at one point.
func (c *comparison) budgets(kept, now calib.Result, i int) {
	if len(kept.Budget) != len(now.Budget) {
		c.say("contributions", fmt.Sprint(len(kept.Budget)), fmt.Sprint(len(now.Budget)))
		return
	}
	for n, row := range kept.Budget {
		other := now.Budget[n]
		if row.Name != other.Name || row.Source != other.Source || row.Distribution != other.Distribution {
			c.say("contribution", row.Name+" ("+row.Source+")", other.Name+" ("+other.Source+")")
			continue
		}
		u1, c1, dof1 := row.At(i)
		u2, c2, dof2 := other.At(i)
		c.figure("contribution of "+row.Name, u1*math.Abs(c1), u2*math.Abs(c2), micrometres, " µm")
		c.figure("degrees of freedom of "+row.Name, dof1, dof2, 1, "")
	}
}

func compareFindings(kept, now []calib.Finding) []string {
	text := func(list []calib.Finding) string {
		out := ""
		for _, f := range list {
			out += findingText(f) + "; "
		}
		if out == "" {
			return "none"
		}
		return out[:len(out)-2]
	}
	if a, b := text(kept), text(now); a != b {
		return []string{fmt.Sprintf("marks: kept %s, computed %s", a, b)}
	}
	return nil
}
