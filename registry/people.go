package registry

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"

	"example.org/wring/calib"
	"example.org/wring/registry/journal"
)

// The kinds of entry about people and release.
const (
	KindPerson      = "person"
	KindReleaseRule = "release rule"
	KindRelease     = "release"
)

// What a person may do.
const (
	MayPerform = "perform" // checks
	MayRelease = "release" // checks that another performed
)

// A Person is the payload of an entry that registers somebody, or says anew
// what they may do. Without signatures a name is a claim: the registry holds
// that somebody who called themselves so did it, and when.
type Person struct {
	ID     string   `json:"id"` // initials or a name, as given with --as
	Name   string   `json:"name,omitempty"`
	May    []string `json:"may"` // perform, release; none: no longer active
	Reason string   `json:"reason,omitempty"`
}

// A ReleaseRule is the payload of an entry that says whether a check counts
// only when a second person has released it. It holds for checks that are kept
// from then on.
type ReleaseRule struct {
	Required bool   `json:"required"`
	Reason   string `json:"reason"`
}

// A Release is the payload of an entry by which somebody other than who
// performed a check answers for it too. Who and when are the entry's own.
type Release struct {
	Check uint64 `json:"check"` // entry of the check or of its amendment
	Gauge string `json:"gauge"`
	Note  string `json:"note,omitempty"`
}

// A KeptPerson is a person as registered last.
type KeptPerson struct {
	Entry  uint64 `json:"entry"`
	Person Person `json:"person"`
}

// The keys of the house's own tree: the rules in their order, the release of a
// check, a person.
const keyRules = "release rules"

func releaseKey(check uint64) []byte { return append([]byte("release\x00"), seqKey(check)...) }

func personKey(id string) []byte { return []byte("person\x00" + id) }

// ruleAt is one rule with the entry from which on it holds.
type ruleAt struct {
	Entry    uint64 `json:"entry"`
	Required bool   `json:"required"`
}

// AddPerson registers somebody, or changes what they may do.
func (tx *Tx) AddPerson(p Person) (journal.Head, error) {
	for _, m := range p.May {
		if m != MayPerform && m != MayRelease {
			return journal.Head{}, &RuleError{fmt.Sprintf("person %s: may %q", p.ID, m), "want perform or release"}
		}
	}
	return tx.append(KindPerson, p)
}

// People returns everybody who was registered, in the order of identities.
func (tx *Tx) People() ([]KeptPerson, error) {
	var out []KeptPerson
	return out, tx.s.Range(treeHouse, []byte("person\x00"), []byte("person\x01"), func(_, v []byte) error {
		var k KeptPerson
		if err := json.Unmarshal(v, &k); err != nil {
			return viewDamage(treeHouse, err)
		}
		out = append(out, k)
		return nil
	})
}

// May reports whether a person is registered as one who may do something.
func (tx *Tx) May(id, what string) (bool, error) {
	var k KeptPerson
	_, err := tx.get(treeHouse, personKey(id), &k)
	return slices.Contains(k.Person.May, what), err
}

// mayPerform refuses a check by somebody who is not registered as one who may,
// where checks want release: a rule about who answers for a check says nothing
// while anybody may perform it.
func (tx *Tx) mayPerform(c calib.Check) error {
	return tx.whereReleased(func() error {
		may, err := tx.May(c.Person, MayPerform)
		if err == nil && !may {
			err = &RuleError{fmt.Sprintf("check of %s: %s is not registered as one who may perform", c.Gauge, c.Person), "want one who is, see wring person list"}
		}
		return err
	})
}

// mayEnter refuses a check that somebody enters who may do nothing here, where
// checks want release.
func (tx *Tx) mayEnter(c calib.Check) error {
	return tx.whereReleased(func() error {
		performs, err := tx.May(tx.hand.Person, MayPerform)
		releases, err2 := tx.May(tx.hand.Person, MayRelease)
		if err = errors.Join(err, err2); err == nil && !performs && !releases {
			err = &RuleError{fmt.Sprintf("check of %s: %s, who enters it, is not registered", c.Gauge, tx.hand.Person), "want one who may perform or release, see wring person list"}
		}
		return err
	})
}

// whereReleased runs rule where a check that is kept next wants release.
func (tx *Tx) whereReleased(rule func() error) error {
	head, err := tx.Head()
	if err != nil {
		return err
	}
	if required, err := tx.ReleaseRequired(head.Seq + 1); err != nil || !required {
		return err
	}
	return rule()
}

// SetReleaseRule enters whether checks want release from now on.
func (tx *Tx) SetReleaseRule(r ReleaseRule) (journal.Head, error) {
	head, err := tx.Head()
	if err != nil {
		return head, err
	}
	now, err := tx.ReleaseRequired(head.Seq + 1)
	if err != nil {
		return journal.Head{}, err
	}
	if now == r.Required {
		return journal.Head{}, &RuleError{"release: the rule is so already", "want the other one"}
	}
	return tx.append(KindReleaseRule, r)
}

// ReleaseRequired reports whether the check in an entry wants release: by the
// rule that held when it was kept.
func (tx *Tx) ReleaseRequired(seq uint64) (bool, error) {
	var rules []ruleAt
	_, err := tx.get(treeHouse, []byte(keyRules), &rules)
	required := false
	for _, r := range rules {
		if r.Entry < seq {
			required = r.Required
		}
	}
	return required, err
}

// ReleaseOf returns the entry that released a check; nil where none did.
func (tx *Tx) ReleaseOf(seq uint64) (*journal.Entry, journal.Head, error) {
	var at uint64
	ok, err := tx.get(treeHouse, releaseKey(seq), &at)
	if err != nil || !ok {
		return nil, journal.Head{}, err
	}
	e, head, err := tx.Entry(at)
	return &e, head, err
}

// ReleaseCheck enters the release of a check by whoever acts. It refuses who
// performed it or kept it, who is not registered as one who may, a check that
// was amended since, and a second release.
func (tx *Tx) ReleaseCheck(seq uint64, note string) (journal.Head, error) {
	k, err := tx.Check(seq)
	if err != nil {
		return journal.Head{}, err
	}
	refuse := func(found, want string) (journal.Head, error) {
		return journal.Head{}, &RuleError{fmt.Sprintf("check %d: %s", seq, found), want}
	}
	if err := tx.stands(k, "released"); err != nil {
		return journal.Head{}, err
	}
	may, err := tx.May(tx.hand.Person, MayRelease)
	if err != nil {
		return journal.Head{}, err
	}
	done, _, err := tx.ReleaseOf(seq)
	who := tx.hand.Person
	required, err2 := tx.ReleaseRequired(seq)
	hands, err3 := tx.hands(k)
	switch err = errors.Join(err, err2, err3); {
	case err != nil:
		return journal.Head{}, err
	case !required:
		return refuse("wants no release: the rule was not made when it was kept", "want a check that does, see wring release --help")
	case done != nil:
		return refuse(fmt.Sprintf("was released by %s in entry %d", done.Person, done.Seq), "want a check that waits for release")
	case slices.Contains(hands, who):
		return refuse(fmt.Sprintf("%s performed or entered it", who), "want a second person to release it")
	case !may:
		return refuse(fmt.Sprintf("%s is not registered as one who may release", who), "want one who is, see wring person list")
	}
	return tx.append(KindRelease, Release{Check: seq, Gauge: k.Check.Check.Gauge, Note: note})
}

func (tx *Tx) applyPerson(e journal.Entry) error {
	var p Person
	if err := decode(e, &p); err != nil {
		return err
	}
	return tx.put(treeHouse, personKey(p.ID), KeptPerson{e.Seq, p})
}

func (tx *Tx) applyReleaseRule(e journal.Entry) error {
	var r ReleaseRule
	if err := decode(e, &r); err != nil {
		return err
	}
	var rules []ruleAt
	if _, err := tx.get(treeHouse, []byte(keyRules), &rules); err != nil {
		return err
	}
	return tx.put(treeHouse, []byte(keyRules), append(rules, ruleAt{e.Seq, r.Required}))
}

func (tx *Tx) applyRelease(e journal.Entry) error {
	var r Release
	if err := decode(e, &r); err != nil {
		return err
	}
	k, err := tx.Check(r.Check)
	if err != nil {
		return err
	}
	hands, err := tx.hands(k)
	if err != nil {
		return err
	}
	if slices.Contains(hands, e.Person) {
		return &DamageError{Seq: e.Seq, Reason: fmt.Sprintf("releases check %d by %s, who performed or entered it; want a second person", r.Check, e.Person)}
	}
	if err := tx.put(treeHouse, releaseKey(r.Check), e.Seq); err != nil {
		return err
	}
	return tx.s.Put(treeSeries, idSeqKey(r.Gauge, e.Seq), otherRow())
}

// hands lists everybody who performed or entered a check, back through its
// amendments to the bench: an amendment of the name makes nobody a second
// person.
func (tx *Tx) hands(k Kept) ([]string, error) {
	out := []string{k.Check.Check.Person, k.Entry.Person}
	for k.Amendment != nil && k.Amendment.Amends < k.Head.Seq {
		before, err := tx.Check(k.Amendment.Amends)
		if err != nil {
			return nil, err
		}
		k = before
		out = append(out, k.Check.Check.Person, k.Entry.Person)
	}
	return out, nil
}
