package journal

import (
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
)

// chain seals n entries, the first at index 0, and returns the head.
func chain(t testing.TB, n int) (records [][]byte, head Head) {
	t.Helper()
	for i := range n {
		var r []byte
		r, head = seal(t, head, sample(uint64(i)+1))
		records = append(records, r)
	}
	return records, head
}

// A kept is a record under its key, as a store gives it back.
type kept struct {
	seq    uint64
	record []byte
}

func walk(list []kept) (Head, error) {
	var head Head
	var err error
	for _, k := range list {
		if head, _, err = Check(head, k.seq, k.record); err != nil {
			return Head{}, err
		}
	}
	return head, nil
}

func TestCheckNamesTheFirstEntryThatDoesNotFit(t *testing.T) {
	records, head := chain(t, 6)
	other, _ := seal(t, Head{Seq: 2, Hash: [32]byte{9}}, sample(3))
	for _, c := range []struct {
		name   string
		change func([]kept) []kept
		seq    uint64 // 0: nothing is wrong
		want   string
	}{
		{"whole", func(l []kept) []kept { return l }, 0, ""},
		{"first missing", func(l []kept) []kept { return l[1:] }, 1, "missing, the next one found is 2; want every number from 1 on"},
		{"one missing", func(l []kept) []kept { return append(l[:2:2], l[3:]...) }, 3, "missing, the next one found is 4; want every number from 1 on"},
		{"two changed places", func(l []kept) []kept { l[2].record, l[3].record = l[3].record, l[2].record; return l }, 3,
			"the hash in it is not that of its text after entry 2; want the one it was written with"},
		{"out of order", func(l []kept) []kept { l[2], l[3] = l[3], l[2]; return l }, 3, "missing, the next one found is 4; want every number from 1 on"},
		{"one twice", func(l []kept) []kept { l[3] = l[2]; return l }, 3, "found after entry 3; want every number once and in order"},
		{"number 0", func(l []kept) []kept { l[0].seq = 0; return l }, 0 + 1<<63, ""},
		{"another history", func(l []kept) []kept { l[2].record = other; return l }, 3,
			"the hash in it is not that of its text after entry 2; want the one it was written with"},
		{"cut short", func(l []kept) []kept { l[4].record = l[4].record[:33]; return l }, 5, "33 bytes; want more than 33"},
		{"empty", func(l []kept) []kept { l[4].record = nil; return l }, 5, "0 bytes; want more than 33"},
	} {
		t.Run(c.name, func(t *testing.T) {
			var list []kept
			for i, r := range records {
				list = append(list, kept{uint64(i) + 1, bytes.Clone(r)})
			}
			got, err := walk(c.change(list))
			var bad *DamageError
			switch {
			case c.seq == 0:
				if err != nil || got != head {
					t.Fatalf("the head is %s (%v), want %s", got, err, head)
				}
			case c.name == "number 0":
				if !errors.As(err, &bad) || bad.Seq != 0 {
					t.Fatalf("got %v, want damage at 0", err)
				}
			case !errors.As(err, &bad) || bad.Seq != c.seq || bad.Reason != c.want:
				t.Fatalf("got %v, want damage at %d: %s", err, c.seq, c.want)
			}
		})
	}
}

// Every single bit of every record counts, whichever it is.
func TestEveryBitOfARecordIsCovered(t *testing.T) {
	records, head := chain(t, 3)
	for i, r := range records {
		for bit := range len(r) * 8 {
			list := []kept{{1, records[0]}, {2, records[1]}, {3, records[2]}}
			flipped := bytes.Clone(r)
			flipped[bit/8] ^= 1 << (bit % 8)
			list[i].record = flipped
			got, err := walk(list)
			var bad *DamageError
			if !errors.As(err, &bad) || bad.Seq != uint64(i)+1 {
				t.Fatalf("entry %d with bit %d flipped gives %s (%v), want damage there", i+1, bit, got, err)
			}
		}
	}
	if got, err := walk([]kept{{1, records[0]}, {2, records[1]}}); err != nil || got == head {
		t.Errorf("a journal without its last entry has the head %s (%v), the same as with it", got, err)
	}
}

func TestStretchesCheckedApartProveWhatOneWalkProves(t *testing.T) {
	records, head := chain(t, 40)
	rng := rand.New(rand.NewPCG(1, 2))
	for range 20 {
		from := 1 + rng.IntN(39)
		_, claimed, err := Open(uint64(from), records[from-1])
		if err != nil {
			t.Fatal(err)
		}
		at := Head{Seq: uint64(from), Hash: claimed}
		for i := from; i < len(records); i++ {
			if at, _, err = Check(at, uint64(i)+1, records[i]); err != nil {
				t.Fatal(err)
			}
		}
		if at != head {
			t.Fatalf("from entry %d on the head is %s, want %s", from, at, head)
		}
	}
}

func TestMessagesStandOnOneLine(t *testing.T) {
	for _, err := range []error{
		&DamageError{Seq: 3, Reason: "changed; want it as it was"}, &NewerError{Seq: 4, Format: 9},
	} {
		if s := err.Error(); strings.Contains(s, "\n") || !strings.HasPrefix(s, "journal entry ") || !strings.Contains(s, "; want ") {
			t.Errorf("message %q", s)
		}
	}
}

// checkPayload is JSON of about 2.2 KB, the size of a check of ten points and
// five readings.
func checkPayload() json.RawMessage {
	var points []string
	for i := range 10 {
		points = append(points, fmt.Sprintf(`{"error":"%+.3f","nominal":"%d.0","readings":["25.001 mm","25.002 mm","25.001 mm","25.001 mm","25.002 mm"],`+
			`"reference":"25.00013","stack":["20","5"],"temperature":"20.3","u":0.0008317,"verdict":"pass"}`, float64(i)/1000, i))
	}
	return json.RawMessage(`{"gauge":"MIC-014","plan":"outside micrometer 0-25","points":[` + strings.Join(points, ",") + `]}`)
}

func bench(b *testing.B) (record []byte, e Entry) {
	e = sample(1)
	e.Payload = checkPayload()
	record, _ = seal(b, Head{}, e)
	b.SetBytes(int64(len(record)))
	b.ReportAllocs()
	b.ResetTimer()
	return record, e
}

func BenchmarkBareSHA256(b *testing.B) {
	record, _ := bench(b)
	var sum [32]byte
	for b.Loop() {
		sum = sha256.Sum256(record)
	}
	_ = sum
}

func BenchmarkCheck(b *testing.B) {
	record, _ := bench(b)
	for b.Loop() {
		if _, _, err := Check(Head{}, 1, record); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkOpen(b *testing.B) {
	record, _ := bench(b)
	for b.Loop() {
		if _, _, err := Open(1, record); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkCheckForm(b *testing.B) {
	record, _ := bench(b)
	for b.Loop() {
		if err := CheckForm(1, record); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSeal(b *testing.B) {
	_, e := bench(b)
	for b.Loop() {
		if _, _, err := Seal(Head{}, e); err != nil {
			b.Fatal(err)
		}
	}
}
