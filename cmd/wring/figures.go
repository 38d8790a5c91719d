package main

import (
	"cmp"
	"io"
	"strings"

	"github.com/urfave/cli/v2"

	"example.org/wring/certs"
	"example.org/wring/cmd/internal/screen"
)

// plotSeen refuses a drawing that nobody would see.
func (d desk) plotSeen(c *cli.Context) error {
	if c.Bool("plot") && d.json {
		return usagef("--plot: draws for a person, and --json answers a program; want one of the two")
	}
	return nil
}

// writeFigures draws the figures of a certificate for a terminal, one below
// the other.
func writeFigures(out io.Writer, in certs.CertificateOf) error {
	in.Paper = cmp.Or(in.Paper, certs.A4) // only its parts are taken
	doc, err := certs.Certificate(in)
	if err != nil {
		return err
	}
	drawn := false
	for _, p := range doc.Parts {
		f, ok := p.(certs.Figure)
		if !ok {
			continue
		}
		bars := strings.TrimSuffix(strings.TrimPrefix(f.Caption, "Bars: "), ".")
		title := in.Basis.Gauge.ID + ", " + in.Kept.Check.Date.String() + ": " + strings.ToLower(f.Title[:1]) + f.Title[1:]
		if err := first(line(out, "%s%s", yes(drawn, "\n", ""), title), screen.Drawing{Plot: f.Plot, Bars: bars}.Write(out)); err != nil {
			return err
		}
		drawn = true
	}
	if !drawn {
		return line(out, "nothing to draw: no figure of this check stands at two places or more")
	}
	return nil
}

// paper is what the certificate of a check would be made from, before it is
// kept: enough for its figures.
func (j *checkJob) paper() certs.CertificateOf {
	return certs.CertificateOf{Number: "not kept", Issued: j.check.Date, Program: version, Basis: j.basis, Kept: certs.KeptCheck{Check: j.check, Result: j.result}}
}
