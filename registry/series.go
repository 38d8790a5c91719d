package registry

import (
	"encoding/binary"
	"fmt"
	"math"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/unit"
)

// A row of the series is what a trend and a history need of one entry about a
// gauge, without its journal entry. Bytes, all integers big endian:
//
//	0      form: 1
//	1      what: 0 another entry, 1 check as found, 2 check as left
//	2–5    civil day since 1970 of the check, signed; 0 for another entry
//	6      verdict: 0 none, 1 pass, 2 conditional pass, 3 conditional fail,
//	       4 fail, 5 cannot be decided
//	7–8    n, number of points
//	9–     n times: nominal, error and expanded uncertainty in nanometres,
//	       signed, 8 + 4 + 4 bytes, rounded to the nearest
//
// A later form begins with another byte and is refused as newer.
const (
	seriesForm  = 1
	seriesHead  = 9
	seriesPoint = 16
)

// A SeriesRow is one decoded row.
type SeriesRow struct {
	Entry   uint64
	Check   bool
	Stage   calib.Stage
	Date    calib.Date
	Verdict calib.Verdict
	Points  []SeriesPoint
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

func checkRow(k KeptCheck) ([]byte, error) {
	row := []byte{seriesForm, 1}
	if k.Check.Stage == calib.AsLeft {
		row[1] = 2
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
	return row, nil
}

// nanometres rounds a length in mm to whole nanometres, ties away from zero.
func nanometres(mm unit.Exact, most int64) (int64, bool) {
	var n int64
	if _, err := fmt.Sscan(mm.Mul(unit.Whole(1_000_000)).Text(0), &n); err != nil {
		return 0, false
	}
	return n, n <= most && n >= -most
}

func decodeRow(seq uint64, row []byte) (SeriesRow, error) {
	out := SeriesRow{Entry: seq}
	if len(row) < seriesHead {
		return out, &DamageError{Seq: seq, Reason: "a row of the series is cut short; want it rebuilt from the journal"}
	}
	if row[0] != seriesForm {
		return out, &RuleError{fmt.Sprintf("series row of form %d: newer than this program", row[0]), "want a newer program"}
	}
	if row[1] == 0 {
		return out, nil
	}
	n := int(binary.BigEndian.Uint16(row[7:]))
	if len(row) != seriesHead+n*seriesPoint || int(row[6]) >= len(verdictCodes()) {
		return out, &DamageError{Seq: seq, Reason: "a row of the series has the wrong length; want it rebuilt from the journal"}
	}
	out.Check, out.Stage = true, calib.AsFound
	if row[1] == 2 {
		out.Stage = calib.AsLeft
	}
	out.Date = calib.DateOfDay(int32(binary.BigEndian.Uint32(row[2:])))
	out.Verdict = verdictCodes()[row[6]]
	for i := range n {
		at := row[seriesHead+i*seriesPoint:]
		out.Points = append(out.Points, SeriesPoint{
			NominalNM:  int64(binary.BigEndian.Uint64(at)),
			ErrorNM:    int32(binary.BigEndian.Uint32(at[8:])),
			ExpandedNM: int32(binary.BigEndian.Uint32(at[12:])),
		})
	}
	return out, nil
}

// Series returns the checks of a gauge, oldest entry first.
func (tx *Tx) Series(gauge string) ([]SeriesRow, error) {
	var out []SeriesRow
	from, to := under(gauge)
	return out, tx.s.Range(treeSeries, from, to, func(k, v []byte) error {
		seq, err := seqOf(k)
		if err != nil {
			return err
		}
		row, err := decodeRow(seq, v)
		if err == nil && row.Check {
			out = append(out, row)
		}
		return err
	})
}
