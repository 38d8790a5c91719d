package journal

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
)

// sample is an entry of an invented workshop.
func sample(seq uint64) Entry {
	return Entry{
		Seq:     seq,
		At:      time.Date(2026, 11, 25, 9, 30, 0, int(seq%1000)*1e6, time.UTC),
		Person:  `Ada "Reed" Bellows`,
		Kind:    "check",
		Program: "wring 0.1",
		Payload: json.RawMessage(`{"gauge":"MIC-014","readings":["5.101","10.002"],"weight":[1,{"a":"}]\\\""}]}`),
	}
}

func seal(t testing.TB, prev Head, e Entry) ([]byte, Head) {
	t.Helper()
	record, head, err := Seal(prev, e)
	if err != nil {
		t.Fatal(err)
	}
	return record, head
}

// The layout is for ever: this record was written by format 1 and is compared
// to the byte. own.
func TestRecordOfFormat1IsReadAndWrittenToTheByte(t *testing.T) {
	const text = `{"at":"2026-11-25T09:30:00.001Z","kind":"check",` +
		`"payload":{"gauge":"MIC-014","readings":["5.101","10.002"],"weight":[1,{"a":"}]\\\""}]},` +
		`"person":"Ada \"Reed\" Bellows","program":"wring 0.1"}`
	sum := sha256.New()
	sum.Write([]byte("wring journal 1\n"))
	sum.Write(make([]byte, 32))
	sum.Write([]byte{0, 0, 0, 0, 0, 0, 0, 1})
	sum.Write([]byte(text))
	want := append(append(sum.Sum(nil), 1), text...)

	record, head := seal(t, Head{}, sample(1))
	if !bytes.Equal(record, want) {
		t.Fatalf("record is\n%q, want\n%q", record, want)
	}
	if head != (Head{Seq: 1, Hash: [32]byte(want[:32])}) {
		t.Errorf("head is %s, want 1-%x", head, want[:32])
	}
	const frozen = "1-c8f5ed8a273cd08ef6ea15e569f78de49aec5e82932f5f56ae19a9e1e94160da"
	if head.String() != frozen {
		t.Errorf("head is %s, want %s as on the day the format was fixed", head, frozen)
	}
}

func TestOpenGivesBackWhatWasSealed(t *testing.T) {
	for name, change := range map[string]func(*Entry){
		"as it is":        func(*Entry) {},
		"nobody":          func(e *Entry) { e.Person, e.Program = "", "" },
		"control, quotes": func(e *Entry) { e.Person = "a\x00\n\"\\\u2028</b>é" },
		"text as payload": func(e *Entry) { e.Payload = json.RawMessage(`"},{"`) },
		"looks like the end": func(e *Entry) {
			e.Payload = json.RawMessage(`{"a":[{"kind":"x","person":"y","program":"z"}],"program":"w"}`)
			e.Person, e.Program, e.Kind = `,"person":"`, `,"program":"","person":""}`, `,"payload":`
		},
		"number":       func(e *Entry) { e.Payload = json.RawMessage(`-1.5`) },
		"null":         func(e *Entry) { e.Payload = json.RawMessage(`null`) },
		"empty object": func(e *Entry) { e.Payload = json.RawMessage(`{}`) },
		"year 0":       func(e *Entry) { e.At = time.Date(0, 1, 1, 0, 0, 0, 0, time.UTC) },
		"year 9999":    func(e *Entry) { e.At = time.Date(9999, 12, 31, 23, 59, 59, 999e6, time.UTC) },
	} {
		t.Run(name, func(t *testing.T) {
			e := sample(1)
			change(&e)
			record, head := seal(t, Head{}, e)
			got, hash, err := Open(1, record)
			if err != nil || hash != head.Hash {
				t.Fatalf("open: hash %x (%v), want %x", hash, err, head.Hash)
			}
			if d := cmp.Diff(e, got); d != "" {
				t.Errorf("sealed and opened differ:\n%s", d)
			}
			if err := CheckForm(1, record); err != nil {
				t.Errorf("what Seal wrote is not in its own form: %v", err)
			}
		})
	}
}

func TestPayloadIsSealedInCanonicalForm(t *testing.T) {
	a, b := sample(1), sample(1)
	a.Payload = json.RawMessage(`{"b": 1.50, "a": "\u00e9"}`)
	b.Payload = json.RawMessage(`{"a":"é","b":15e-1}`)
	ra, _ := seal(t, Head{}, a)
	rb, _ := seal(t, Head{}, b)
	if !bytes.Equal(ra, rb) {
		t.Errorf("one payload in two dresses gives two records:\n%q\n%q", ra, rb)
	}
}

func TestSealRefusesWhatARecordCannotHold(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(*Entry)
		want   string
	}{
		{"gap", func(e *Entry) { e.Seq = 7 }, `journal entry 7: follows entry 4; want the next number`},
		{"same again", func(e *Entry) { e.Seq = 4 }, `journal entry 4: follows entry 4; want the next number`},
		{"no kind", func(e *Entry) { e.Kind = "" }, `journal entry 5: kind: none; want a word for what happened`},
		{"no payload", func(e *Entry) { e.Payload = nil }, `journal entry 5: payload: none; want a JSON value`},
		{"microseconds", func(e *Entry) { e.At = e.At.Add(time.Microsecond) },
			`journal entry 5: time 2026-11-25 09:30:00.005001 +0000 UTC: no record holds it exactly; want UTC in whole milliseconds`},
		{"another zone", func(e *Entry) { e.At = e.At.In(time.FixedZone("", 3600)) },
			`journal entry 5: time 2026-11-25 10:30:00.005 +0100 +0100: no record holds it exactly; want UTC in whole milliseconds`},
		{"year 10000", func(e *Entry) { e.At = time.Date(10000, 1, 1, 0, 0, 0, 0, time.UTC) },
			`journal entry 5: time 10000-01-01 00:00:00 +0000 UTC: no record holds it exactly; want UTC in whole milliseconds`},
		{"person not UTF-8", func(e *Entry) { e.Person = "\xff" }, `journal entry 5: text "\xff": not UTF-8; want UTF-8`},
		{"payload no JSON", func(e *Entry) { e.Payload = json.RawMessage(`{`) },
			`journal entry 5: payload: canonical json: byte 1: the text ends; want a member's name`},
	} {
		t.Run(c.name, func(t *testing.T) {
			e := sample(5)
			c.change(&e)
			record, head, err := Seal(Head{Seq: 4, Hash: [32]byte{1}}, e)
			if err == nil || err.Error() != c.want {
				t.Errorf("message is\n%v, want\n%s", err, c.want)
			}
			if record != nil || head != (Head{}) {
				t.Errorf("refused, and gives the record %q and the head %s", record, head)
			}
		})
	}
	if _, _, err := Seal(Head{Seq: 1<<64 - 1}, sample(0)); err == nil {
		t.Error("the number after the last one is 0, and that is accepted")
	}
}

func TestALaterFormatIsNewerAndNeverDamaged(t *testing.T) {
	record, _ := seal(t, Head{}, sample(1))
	later := bytes.Clone(record)
	later[32] = 2
	later = append(later[:33], "compressed, say"...)
	var newer *NewerError

	_, _, err := Open(1, later)
	if !errors.As(err, &newer) || newer.Seq != 1 || newer.Format != 2 {
		t.Errorf("open says %v, want that entry 1 is newer, format 2", err)
	}
	_, _, err = Check(Head{}, 1, later)
	const want = "journal entry 1: written in format 2 by a newer program; want format 1 or a newer program"
	if !errors.As(err, &newer) || err.Error() != want {
		t.Errorf("check says %v, want %s", err, want)
	}
	if err := CheckForm(1, later); !errors.As(err, &newer) {
		t.Errorf("check of the form says %v, want newer", err)
	}
	// A format byte that was changed on an entry of format 1 is no later
	// format: the hash says so.
	var bad *DamageError
	record[32] = 3
	if _, _, err := Check(Head{}, 1, record); !errors.As(err, &bad) {
		t.Errorf("a changed format byte gives %v, want damage", err)
	}
	record[32] = 0
	if _, _, err := Open(1, record); !errors.As(err, &bad) {
		t.Errorf("format 0, which no version wrote, gives %v, want damage", err)
	}
}

func TestOpenRefusesWhatNoVersionWrote(t *testing.T) {
	front := strings.Repeat("00", 32) + "01"
	for _, body := range []string{
		``, `{}`, `{"at":`, `{"at":"2026-11`, `{"at":"2026-11-25T09:30:00.001Z"`, ` {"at":"2026-11-25T09:30:00.001Z","kind":"k","payload":1,"person":"","program":""}`,
		`{"at":"2026-11-25T09:30:00.001Z","kind":"k","payload":1,"person":"","program":""} `,
		`{"at":"2026-11-25T09:30:00.001Z","kind":"","payload":1,"person":"","program":""}`,
		`{"at":"2026-11-25T09:30:00,001Z","kind":"k","payload":1,"person":"","program":""}`,
		`{"at":"2026-11-25T09:30:00.0010Z","kind":"k","payload":1,"person":"","program":""}`,
		`{"at":"2026-13-25T09:30:00.001Z","kind":"k","payload":1,"person":"","program":""}`,
		`{"at":"2026-11-25T09:30:00.001Z","kind":"k","payload":,"person":"","program":""}`,
		`{"at":"2026-11-25T09:30:00.001Z","kind":"k","payload":{"person":"","program":""}`,
		`{"at":"2026-11-25T09:30:00.001Z","kind":"k","payload":1,"person":"\x","program":""}`,
		`{"at":"2026-11-25T09:30:00.001Z","kind":"k","payload":1,"person":"a`,
		`{"at":"2026-11-25T09:30:00.001Z","kind":"k","payload":1,"person":"a" ,"program":""}`,
		`{"at":"2026-11-25T09:30:00.001Z","kind":"k","payload":1,"person":"a","program":"" }`,
		`{"at":"2026-11-25T09:30:00.001Z","kind":"k" ,"payload":1,"person":"a","program":""}`,
		`{"at":"2026-11-25T09:30:00.001Z","kind":"k","payload":]`,
		`{"at":"2026-11-25T09:30:00.001Z","kind":"k","payload":"`,
	} {
		record, _ := hex.DecodeString(front)
		record = append(record, body...)
		var bad *DamageError
		if e, _, err := Open(9, record); !errors.As(err, &bad) || bad.Seq != 9 {
			t.Errorf("%s opens as %+v (%v), want damage at 9", body, e, err)
		}
	}
}

func TestCheckFormFindsBytesThatAreNotCanonical(t *testing.T) {
	for _, payload := range []string{`{"b":1,"a":2}`, `1.0`, `{"a":1,"a":1}`, `"\u0061"`, `[1, 2]`, `{]`} {
		body := `{"at":"2026-11-25T09:30:00.001Z","kind":"k","payload":` + payload + `,"person":"","program":""}`
		hash := chainHash([32]byte{}, 1, []byte(body))
		record := append(append(hash[:], format), body...)
		if _, _, err := Check(Head{}, 1, record); err != nil {
			t.Fatalf("the sample itself does not chain: %v", err)
		}
		var bad *DamageError
		if err := CheckForm(1, record); !errors.As(err, &bad) || bad.Seq != 1 {
			t.Errorf("payload %s gives %v, want damage at 1", payload, err)
		}
	}
}

func FuzzOpen(f *testing.F) {
	record, _ := seal(f, Head{}, sample(1))
	f.Add(record)
	f.Add(append(make([]byte, 32), "\x01{}"...))
	f.Add([]byte(nil))
	f.Fuzz(func(t *testing.T, record []byte) {
		e, hash, err := Open(1, record)
		if err != nil {
			return
		}
		if !bytes.Equal(hash[:], record[:32]) {
			t.Fatalf("hash %x out of %x", hash, record[:32])
		}
		if CheckForm(1, record) != nil {
			return
		}
		// What is in the right form is what Seal writes for the entry.
		again, _, err := Seal(Head{}, e)
		if err != nil || !bytes.Equal(again[32:], record[32:]) {
			t.Fatalf("%q opens, and is sealed as %q (%v)", record[32:], again, err)
		}
	})
}
