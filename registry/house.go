package registry

import (
	"example.org/wring/calib"
	"example.org/wring/registry/journal"
)

// KindHouseAmended is the kind of an entry that changes what the house says of
// itself, as the gravity of its site once that was surveyed.
const KindHouseAmended = "house amended"

// A HouseAmendment is its payload: the whole new record, what was changed, why.
type HouseAmendment struct {
	House   calib.House `json:"house"`
	Changes []Change    `json:"changes"`
	Reason  string      `json:"reason"`
}

// A houseRow is the house as the journal has it now, once it was amended.
type houseRow struct {
	Entry uint64      `json:"entry"`
	House calib.House `json:"house"`

	Amended []uint64 `json:"amended,omitempty"` // every entry that amended it, oldest first
}

// houseKey is where the amended house stands in its tree.
const houseKey = "house"

// House returns the registry's own identity, and the house as the newest entry
// about it has it.
func (tx *Tx) House() (Opening, error) {
	o, _, err := tx.houseNow()
	return o, err
}

// houseNow is House with the entry of the last amendment, 0 where there was
// none and the first entry holds.
func (tx *Tx) houseNow() (Opening, uint64, error) {
	var o Opening
	if err := tx.payload(1, KindHouse, &o); err != nil {
		return o, 0, err
	}
	var row houseRow
	amended, err := tx.get(treeHouse, []byte(houseKey), &row)
	if err == nil && amended {
		o.House = row.House
	}
	return o, row.Entry, err
}

// AmendHouse enters the new record of the house with what was changed and why.
// The organisation stays: another one keeps another registry.
func (tx *Tx) AmendHouse(a HouseAmendment) (journal.Head, error) {
	o, err := tx.House()
	switch {
	case err != nil:
		return journal.Head{}, err
	case len(a.Changes) == 0:
		return journal.Head{}, &RuleError{"house: nothing changed", "want at least one new value"}
	case a.House.Organisation != o.House.Organisation || a.House.Invented != o.House.Invented:
		return journal.Head{}, &RuleError{"house: is " + o.House.Organisation, "want a registry of its own for another one"}
	}
	return tx.append(KindHouseAmended, a)
}

func (tx *Tx) applyHouse(e journal.Entry) error {
	var a HouseAmendment
	if err := decode(e, &a); err != nil {
		return err
	}
	var row houseRow
	if _, err := tx.get(treeHouse, []byte(houseKey), &row); err != nil {
		return err
	}
	return tx.put(treeHouse, []byte(houseKey), houseRow{e.Seq, a.House, append(row.Amended, e.Seq)})
}

// HouseAt is House as it stood at an entry, so that a reprint of its paper has
// the same bytes.
func (tx *Tx) HouseAt(seq uint64) (Opening, error) {
	var o Opening
	var row houseRow
	if err := tx.payload(1, KindHouse, &o); err != nil {
		return o, err
	}
	if _, err := tx.get(treeHouse, []byte(houseKey), &row); err != nil {
		return o, err
	}
	for i := len(row.Amended) - 1; i >= 0; i-- {
		if row.Amended[i] > seq {
			continue
		}
		var a HouseAmendment
		err := tx.payload(row.Amended[i], KindHouseAmended, &a)
		o.House = a.House
		return o, err
	}
	return o, nil
}

// siteOf returns the house that a check by the plan rests on and the entry of
// its last amendment, none for a check of length.
func (tx *Tx) siteOf(p calib.Plan) (calib.House, uint64, error) {
	if !byForce(p) {
		return calib.House{}, 0, nil
	}
	o, seq, err := tx.houseNow()
	return o.House, seq, err
}

// siteAt is the same as a kept check has it.
func (tx *Tx) siteAt(seq uint64, p calib.Plan) (calib.House, error) {
	if !byForce(p) {
		return calib.House{}, nil
	}
	if seq == 0 {
		var o Opening
		return o.House, tx.payload(1, KindHouse, &o)
	}
	var a HouseAmendment
	err := tx.payload(seq, KindHouseAmended, &a)
	return a.House, err
}
