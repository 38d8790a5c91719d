package registry

import (
	"encoding/binary"
	"hash/fnv"
	"math"

	"example.org/wring/calib"
	"example.org/wring/calib/history"
)

// The tail of a check's row holds what a trend needs beside error and U. It
// stands behind the points; a row of a program before it has none, and is then
// worked out from the entry again. All integers are big endian:
//
//	0     form: 1
//	1     purpose: 0 full, 1 intermediate
//	2–9   basis: FNV-1a of the certificates that the reference values rest on
//	10–   for each point limit, and the standard uncertainties of its own, of
//	      the resolution, common to the check and of the blocks, in tenths of
//	      a nanometre, 5 × 4 bytes, unsigned, rounded to the nearest
const (
	tailForm  = 1
	tailHead  = 10
	tailPoint = 20

	tenths = 1e7 // of a nanometre in a millimetre
)

// A SeriesPart is one point's limit and parts of its uncertainty (see
// [history.Point]), in tenths of a nanometre.
type SeriesPart struct{ Limit, Own, Step, Common, Blocks uint32 }

func appendTail(row []byte, k KeptCheck) []byte {
	purpose := byte(0)
	if k.Check.Intermediate() {
		purpose = 1
	}
	row = append(row, tailForm, purpose)
	h := fnv.New64a()
	h.Write([]byte(history.Basis(k.Result)))
	row = binary.BigEndian.AppendUint64(row, h.Sum64())
	for _, p := range history.Points(k.Result) {
		for _, mm := range []float64{p.Limit, p.Own, p.Step, p.Common, p.Blocks} {
			row = binary.BigEndian.AppendUint32(row, uint32(math.Min(math.MaxUint32, math.Round(mm*tenths))))
		}
	}
	return row
}

// hasTail reports whether the row of a check has a tail, or wants none: one that
// does not stand, and one without points. A row that is damaged has it too, so
// that who decodes it says so.
func hasTail(row []byte) bool {
	if len(row) < seriesHead || row[1] >= rowAmended {
		return true
	}
	n := int(binary.BigEndian.Uint16(row[7:]))
	extra, _ := extraBytes(row[1])
	return n == 0 || len(row) != seriesHead+extra+n*seriesPoint
}

// decodeTail reads the tail of a row of n points; it reports false where the
// bytes are no tail.
func (r *SeriesRow) decodeTail(b []byte, n int) bool {
	if len(b) == 0 {
		return true
	}
	if len(b) != tailHead+n*tailPoint || b[0] != tailForm || b[1] > 1 {
		return false
	}
	r.Intermediate, r.Basis, r.Whole = b[1] == 1, binary.BigEndian.Uint64(b[2:]), true
	r.Parts = make([]SeriesPart, 0, n)
	for b = b[tailHead:]; len(b) > 0; b = b[tailPoint:] {
		at := func(i int) uint32 { return binary.BigEndian.Uint32(b[4*i:]) }
		r.Parts = append(r.Parts, SeriesPart{at(0), at(1), at(2), at(3), at(4)})
	}
	return true
}

// History returns the row as the series of a trend wants it, lengths in mm. Its
// entry is the one in which the check was first kept: an amendment does not put
// a check behind those that came after it on the same day.
func (r SeriesRow) History() history.Check {
	var basis [8]byte
	binary.BigEndian.PutUint64(basis[:], r.Basis)
	c := history.Check{Entry: r.Bench, Date: r.Date, Stage: r.Stage, Intermediate: r.Intermediate, Basis: string(basis[:]), Points: make([]history.Point, 0, len(r.Points))}
	for i, p := range r.Points {
		q := history.Point{Nominal: mmOf(p.NominalNM), Error: mmOf(int64(p.ErrorNM)), Expanded: mmOf(int64(p.ExpandedNM))}
		if i < len(r.Parts) {
			s := r.Parts[i]
			q.Limit, q.Own, q.Step = float64(s.Limit)/tenths, float64(s.Own)/tenths, float64(s.Step)/tenths
			q.Common, q.Blocks = float64(s.Common)/tenths, float64(s.Blocks)/tenths
		}
		c.Points = append(c.Points, q)
	}
	return c
}

// mmOf turns whole nanometres into the float nearest to their decimal in mm.
func mmOf(nm int64) float64 { return float64(nm) / 1_000_000 }

// Trend returns the length checks of a gauge for its trend, in the order in
// which they were first kept.
func (tx *Tx) Trend(gauge string) ([]history.Check, error) {
	rows, err := tx.Series(gauge)
	if err != nil {
		return nil, err
	}
	var out []history.Check
	for _, r := range rows {
		if len(r.Points) == 0 {
			continue
		}
		if !r.Whole {
			if r, err = tx.rowAgain(r); err != nil {
				return nil, err
			}
		}
		out = append(out, r.History())
	}
	return out, nil
}

// rowAgain works a row without a tail out from its entry.
func (tx *Tx) rowAgain(r SeriesRow) (SeriesRow, error) {
	k, err := tx.Check(r.Entry)
	if err != nil {
		return r, err
	}
	bench := r.Bench
	if bench == r.Entry {
		bench = 0
	}
	row, err := checkRow(k.Check, bench)
	if err != nil {
		return r, err
	}
	return decodeRow(r.Entry, row)
}

// PartSeries returns what the checks of a gauge that stand computed of one part
// other than length, in the order in which they were first kept, and the last
// of these checks. It reads their entries: the rows of the series hold lengths
// alone.
func (tx *Tx) PartSeries(gauge string, part calib.Part) (list []history.Figures, newest Kept, err error) {
	rows, err := tx.Series(gauge)
	if err != nil {
		return nil, newest, err
	}
	for _, r := range rows {
		k, err := tx.Check(r.Entry)
		if err != nil {
			return nil, newest, err
		}
		if one := k.Check.Result.Part(part); one != nil {
			list = append(list, history.Figures{Entry: r.Bench, Date: r.Date, Stage: r.Stage, Intermediate: k.Check.Check.Intermediate(), Result: *one})
			newest = k
		}
	}
	return list, newest, nil
}
