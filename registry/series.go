package registry

import (
	"bytes"
	"cmp"
	"encoding/binary"
	"fmt"
	"math"
	"slices"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/unit"
)

// A row of the series is what a trend and a history need of one entry about a
// gauge or a standard, without its journal entry. Bytes, all integers big
// endian:
//
//	0      form: 1
//	1      what: 0 another entry, 1 check as found, 2 check as left, 3 and 4
//	       the same as amended, 5 a check whose place an amendment took, 6 one
//	       that was withdrawn
//	2–5    civil day since 1970 of the check, signed; 0 for 0, 5 and 6
//	6      verdict: 0 none, 1 pass, 2 conditional pass, 3 conditional fail,
//	       4 fail, 5 cannot be decided
//	7–8    n, number of points
//	9–16   only 3 to 6: entry in which the check was first kept
//	17–24  only 5 and 6: entry that took its place or withdrew it
//	then   n times: nominal, error and expanded uncertainty in nanometres,
//	       signed, 8 + 4 + 4 bytes, rounded to the nearest
//	then   for a check that stands a tail, see seriestail.go
//
// A later form begins with another byte and is refused as newer.
const (
	seriesForm  = 1
	seriesHead  = 9
	seriesPoint = 16

	rowFound, rowLeft = 1, 2 // with 2 more where it is an amendment
	rowAmended        = 5
	rowWithdrawn      = 6
)

// extraBytes is what stands between head and points of each kind of row.
func extraBytes(what byte) (n int, known bool) {
	switch {
	case what <= rowLeft:
		return 0, true
	case what < rowAmended:
		return 8, true
	}
	return 16, what <= rowWithdrawn
}

// A SeriesRow is one decoded row.
type SeriesRow struct {
	Entry     uint64
	Bench     uint64 // entry in which the check was first kept; 0 for another entry
	AmendedBy uint64 // entry that took its place or withdrew it; 0 where it stands
	Withdrawn bool

	Check   bool // a check that stands
	Stage   calib.Stage
	Date    calib.Date
	Verdict calib.Verdict
	Points  []SeriesPoint

	Intermediate bool
	Whole        bool         // the row has a tail
	Basis        uint64       // equal for checks that rest on the same certificates
	Parts        []SeriesPart // one for each of Points
}

// A SeriesPoint is one point of a check, in nanometres.
type SeriesPoint struct {
	NominalNM  int64
	ErrorNM    int32
	ExpandedNM int32
}

func verdictCodes() []calib.Verdict {
	return []calib.Verdict{"", "pass", "conditional pass", "conditional fail", "fail", "cannot be decided"}
}

func otherRow() []byte { return append([]byte{seriesForm}, make([]byte, seriesHead-1)...) }

// amendedRow is that of a check whose place the entry by took, or which it
// withdrew.
func amendedRow(by, bench uint64, withdrawn bool) []byte {
	row := otherRow()
	row[1] = rowAmended
	if withdrawn {
		row[1] = rowWithdrawn
	}
	return binary.BigEndian.AppendUint64(binary.BigEndian.AppendUint64(row, bench), by)
}

// checkRow is that of a check in the entry that first kept it, or, where bench
// is not 0, of an amendment of the check that the entry bench first kept.
func checkRow(k KeptCheck, bench uint64) ([]byte, error) {
	row := []byte{seriesForm, rowFound}
	if k.Check.Stage == calib.AsLeft {
		row[1] = rowLeft
	}
	if bench > 0 {
		row[1] += 2
	}
	row = binary.BigEndian.AppendUint32(row, uint32(k.Check.Date.Day()))
	code := 0
	for i, v := range verdictCodes() {
		if v == k.Result.Verdict {
			code = i
		}
	}
	row = append(row, byte(code))
	row = binary.BigEndian.AppendUint16(row, uint16(len(k.Result.Points)))
	if bench > 0 {
		row = binary.BigEndian.AppendUint64(row, bench)
	}
	for _, p := range k.Result.Points {
		nominal, ok1 := nanometres(p.Nominal, math.MaxInt64)
		e, ok2 := nanometres(p.Error, math.MaxInt32)
		u, ok3 := nanometres(unit.FromFloat(p.Expanded), math.MaxInt32)
		if !ok1 || !ok2 || !ok3 {
			return nil, &RuleError{fmt.Sprintf("point %s mm: error or uncertainty beyond 2 mm", p.Nominal.Text(3)), "want a check of a gauge that measures"}
		}
		row = binary.BigEndian.AppendUint64(row, uint64(nominal))
		row = binary.BigEndian.AppendUint32(row, uint32(int32(e)))
		row = binary.BigEndian.AppendUint32(row, uint32(int32(u)))
	}
	return appendTail(row, k), nil
}

// nanometres rounds a length in mm to whole nanometres, ties away from zero.
func nanometres(mm unit.Exact, most int64) (int64, bool) {
	n, ok := mm.Scaled(1_000_000)
	return n, ok && n <= most && n >= -most
}

func decodeRow(seq uint64, row []byte) (SeriesRow, error) {
	out := SeriesRow{Entry: seq}
	if len(row) < seriesHead {
		return out, &DamageError{Seq: seq, Reason: "a row of the series is cut short; want it rebuilt from the journal"}
	}
	if row[0] != seriesForm {
		return out, &RuleError{fmt.Sprintf("series row of form %d: newer than this program", row[0]), "want a newer program"}
	}
	n := int(binary.BigEndian.Uint16(row[7:]))
	extra, known := extraBytes(row[1])
	end := seriesHead + extra + n*seriesPoint
	if !known || len(row) < end || int(row[6]) >= len(verdictCodes()) || !out.decodeTail(row[end:], n) {
		return out, &DamageError{Seq: seq, Reason: "a row of the series has the wrong length; want it rebuilt from the journal"}
	}
	if row[1] == 0 {
		return out, nil
	}
	out.Bench = seq
	if extra > 0 {
		out.Bench = binary.BigEndian.Uint64(row[seriesHead:])
	}
	if row[1] >= rowAmended {
		out.Withdrawn = row[1] == rowWithdrawn
		out.AmendedBy = binary.BigEndian.Uint64(row[seriesHead+8:])
		return out, nil
	}
	out.Check, out.Stage = true, calib.AsFound
	if row[1] == rowLeft || row[1] == rowLeft+2 {
		out.Stage = calib.AsLeft
	}
	out.Date = calib.DateOfDay(int32(binary.BigEndian.Uint32(row[2:])))
	out.Verdict = verdictCodes()[row[6]]
	out.Points = pointsOf(row[seriesHead+extra : end])
	return out, nil
}

func pointsOf(b []byte) []SeriesPoint {
	out := make([]SeriesPoint, 0, len(b)/seriesPoint)
	for ; len(b) >= seriesPoint; b = b[seriesPoint:] {
		out = append(out, SeriesPoint{
			NominalNM:  int64(binary.BigEndian.Uint64(b)),
			ErrorNM:    int32(binary.BigEndian.Uint32(b[8:])),
			ExpandedNM: int32(binary.BigEndian.Uint32(b[12:])),
		})
	}
	return out
}

// Series returns the checks of a gauge that stand, in the order in which they
// were first kept: an amended one takes the place of the old.
func (tx *Tx) Series(gauge string) ([]SeriesRow, error) {
	rows, err := tx.rows(gauge)
	rows = slices.DeleteFunc(rows, func(r SeriesRow) bool { return !r.Check })
	slices.SortStableFunc(rows, func(a, b SeriesRow) int { return cmp.Compare(a.Bench, b.Bench) })
	return rows, err
}

// rowsOn returns the rows of the checks of a gauge on one day that stand. The
// others of a long series are not decoded.
func (tx *Tx) rowsOn(gauge string, day calib.Date) ([]SeriesRow, error) {
	of := binary.BigEndian.AppendUint32(nil, uint32(day.Day()))
	return tx.rowsThat(gauge, func(row []byte) bool {
		other := len(row) >= seriesHead && row[0] == seriesForm && row[1] < rowAmended && (row[1] == 0 || !bytes.Equal(row[2:6], of))
		return !other
	})
}

// rows returns every row of a check, in the order of entries.
func (tx *Tx) rows(gauge string) ([]SeriesRow, error) {
	return tx.rowsThat(gauge, func([]byte) bool { return true })
}

func (tx *Tx) rowsThat(gauge string, wanted func(row []byte) bool) ([]SeriesRow, error) {
	var out []SeriesRow
	from, to := under(gauge)
	return out, tx.s.Range(treeSeries, from, to, func(k, v []byte) error {
		seq, err := seqOf(k)
		if err != nil {
			return err
		}
		if !wanted(v) {
			return nil
		}
		row, err := decodeRow(seq, v)
		if err == nil && row.Bench > 0 {
			out = append(out, row)
		}
		return err
	})
}
