package main

import (
	"fmt"
	"io"
	"strings"

	"example.org/wring/cmd/internal/screen"
	"example.org/wring/registry"
)

// An askedHead is a head from elsewhere, and how the registry stands to it;
// empty where nobody asked.
type askedHead struct {
	Asked    string            `json:"asked_head,omitempty"`
	Standing registry.Standing `json:"standing,omitempty"`
}

// ask holds the registry against a head, if there is one.
func (h *askedHead) ask(tx *registry.Tx, mark registry.Mark) (err error) {
	if mark.Seq == 0 {
		return nil
	}
	h.Asked = mark.String()
	h.Standing, err = tx.StandingOf(mark)
	return err
}

// fault is the exit status of a head that is not contained.
func (h askedHead) fault() error {
	if h.Standing != "" && h.Standing != registry.Contained {
		return errNo
	}
	return nil
}

// text says how a registry of so many entries stands to the head.
func (h askedHead) text(entries uint64) string {
	seq, _, _ := strings.Cut(h.Asked, "-")
	head := "head of entry " + seq
	switch h.Standing {
	case registry.Contained:
		return head + " is contained: nothing up to it was changed or taken away since"
	case registry.TailLost:
		return fmt.Sprintf("%s is not contained: the registry ends at entry %d; its tail is lost, or it is an older copy", head, entries)
	case registry.OtherBranch:
		return head + " is not contained: that entry is another one here; another registry, or another history"
	}
	return ""
}

// A chainAnswer is what --json says of a chain that was proved alone.
type chainAnswer struct {
	File    string `json:"file"`
	Entries uint64 `json:"entries"`
	Head    string `json:"head"`
	askedHead

	short string // of Head
}

// proveChain proves the chain alone, on all processors.
func (d desk) proveChain(mark registry.Mark) error {
	a := chainAnswer{File: d.registry}
	r, err := registry.OpenReading(d.registry)
	if err != nil {
		return d.opening(err)
	}
	head, err := r.ProveChain()
	a.Entries, a.Head, a.short = head.Seq, head.String(), head.Short()
	if err == nil {
		err = r.View(func(tx *registry.Tx) error { return a.ask(tx, mark) })
	}
	if err := first(err, r.Close()); err != nil {
		return d.damaged(verifyAnswer{File: d.registry}, err)
	}
	return first(d.answer(a, a.write), a.fault())
}

func (a chainAnswer) write(out io.Writer) error {
	return screen.Facts(out, [][2]string{
		{"registry", a.File}, {"journal", plural(int(a.Entries), "entry") + ", the chain is whole"}, {"head", a.short},
		{"the rest", "not looked at: wring verify without --chain looks at everything"}, {"asked", a.text(a.Entries)},
	}...)
}
