package main

import (
	"encoding/binary"
	"regexp"
	"strconv"

	"github.com/rogpeppe/go-internal/testscript"

	"example.org/wring/registry/journal"
	"example.org/wring/registry/store"
)

// tamper FILE entry N PATTERN TEXT changes the text of entry N, first match
// only, and leaves its hash.
//
// tamper FILE history N PATTERN TEXT does it and makes every hash from there on
// anew, as only the owner of the file could.
//
// tamper FILE drop TREE takes a whole tree out of the file.
func tamper(ts *testscript.TestScript, _ bool, args []string) {
	s, err := store.Open(ts.MkAbs(args[0]), store.Options{})
	ts.Check(err)
	err = s.Update(func(tx *store.Tx) error {
		if args[1] == "drop" {
			return tx.Drop(args[2])
		}
		n, err := strconv.ParseUint(args[2], 10, 64)
		ts.Check(err)
		pattern := regexp.MustCompile(args[3])
		if args[1] == "history" {
			return rewriteHistory(ts, tx, n, pattern, args[4])
		}
		key := binary.BigEndian.AppendUint64(nil, n)
		return tx.Put("journal", key, replaceOnce(ts, tx.Get("journal", key), pattern, args[4]))
	})
	ts.Check(err)
	ts.Check(s.Close())
}

func replaceOnce(ts *testscript.TestScript, text []byte, pattern *regexp.Regexp, by string) []byte {
	at := pattern.FindIndex(text)
	if at == nil {
		ts.Fatalf("%s: stands nowhere in %s", pattern, text)
	}
	return append(append(append([]byte{}, text[:at[0]]...), by...), text[at[1]:]...)
}

func rewriteHistory(ts *testscript.TestScript, tx *store.Tx, from uint64, pattern *regexp.Regexp, by string) error {
	var prev journal.Head
	for seq := uint64(1); ; seq++ {
		key := binary.BigEndian.AppendUint64(nil, seq)
		record := tx.Get("journal", key)
		if record == nil {
			return nil
		}
		e, hash, err := journal.Open(seq, record)
		ts.Check(err)
		if seq < from {
			prev = journal.Head{Seq: seq, Hash: hash}
			continue
		}
		if seq == from {
			e.Payload = replaceOnce(ts, e.Payload, pattern, by)
		}
		record, prev, err = journal.Seal(prev, e)
		ts.Check(err)
		ts.Check(tx.Put("journal", key, record))
	}
}

// headof FILE puts the head in an answer of --json into $HEAD and, in its short
// form, into $SHORT.
func headof(ts *testscript.TestScript, _ bool, args []string) {
	at := regexp.MustCompile(`"head": "(\d+-[0-9a-f]{16})([0-9a-f]{48})"`).FindStringSubmatch(ts.ReadFile(args[0]))
	if at == nil {
		ts.Fatalf("%s: no head in it", args[0])
	}
	ts.Setenv("HEAD", at[1]+at[2])
	ts.Setenv("SHORT", at[1])
}
