package main

import (
	"bytes"
	"strings"
	"testing"
	"time"
)

func TestLongWorkShowsHowFarItIsAndLeavesNothing(t *testing.T) {
	now := time.Date(2026, 11, 25, 10, 0, 0, 0, time.UTC)
	for _, watched := range []bool{true, false} {
		var out bytes.Buffer
		d := desk{env: env{Err: &out, Watched: watched, Now: func() time.Time { return now }}}
		p := d.watch("verify", 900)
		for i := range uint64(900) {
			p.reached(i + 1)
			now = now.Add(time.Millisecond)
		}
		p.end()
		p.reached(901)
		said := out.String()
		if !watched {
			if said != "" {
				t.Errorf("nobody watches, and it says %q", said)
			}
			continue
		}
		if n := strings.Count(said, "\rverify: entry "); n != 5 || !strings.HasPrefix(said, "\rverify: entry 401 of 900") {
			t.Errorf("%d times: %q", n, said)
		}
		if strings.Contains(said, "\n") || !strings.HasSuffix(said, "\r"+strings.Repeat(" ", len("verify: entry 801 of 900"))+"\r") {
			t.Errorf("it leaves something: %q", said)
		}
	}
}
