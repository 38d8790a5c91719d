package main

import (
	"fmt"
	"io"
	"strings"
	"sync"
	"time"

	"example.org/wring/registry"
)

// How long work goes on before it shows how far it is, and how often then (house
// rules): a blink of the eye needs no news.
const (
	quietFor  = 400 * time.Millisecond
	newsEvery = 100 * time.Millisecond
)

// A progress shows on one line of a terminal how far long work is, and leaves
// nothing behind.
type progress struct {
	out  io.Writer
	tick func() time.Time
	what string
	unit string // in which it is counted

	mu    sync.Mutex
	total uint64 // 0 where it is not known
	next  time.Time
	width int // of the line that stands there
}

// watch begins to show how far work is. Where nobody sees the error stream it
// shows nothing.
func (d desk) watch(what string, total uint64) *progress {
	p := &progress{what: what, unit: "entry", total: total, tick: d.Now}
	if d.Watched {
		p.out = d.Err
		p.next = p.tick().Add(quietFor)
	}
	return p
}

// watching is a hand that shows how far it is.
func (d desk) watching(p *progress) registry.Hand {
	h := d.hand()
	h.Watch = p.reached
	return h
}

func (p *progress) reached(n uint64) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.out == nil || p.tick().Before(p.next) {
		return
	}
	p.next = p.tick().Add(newsEvery)
	text := fmt.Sprintf("%s: %s %d", p.what, p.unit, n)
	if p.total > 0 {
		text += fmt.Sprintf(" of %d", p.total)
	}
	fmt.Fprintf(p.out, "\r%s%s", text, strings.Repeat(" ", max(0, p.width-len(text))))
	p.width = max(p.width, len(text))
}

// end takes the line away again.
func (p *progress) end() {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.out != nil && p.width > 0 {
		fmt.Fprintf(p.out, "\r%s\r", strings.Repeat(" ", p.width))
	}
	p.out = nil
}

// entriesIn is how many entries a registry has; 0 where it cannot be read,
// which is said by who works on it.
func entriesIn(r *registry.Registry) (n uint64) {
	_ = r.View(func(tx *registry.Tx) error {
		head, err := tx.Head()
		n = head.Seq
		return err
	})
	return n
}
