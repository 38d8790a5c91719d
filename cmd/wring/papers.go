package main

import (
	"strings"
	"unicode/utf8"

	"github.com/urfave/cli/v2"

	"example.org/wring/certs"
)

const inventedFoot = "Invented for demonstration: house, people, gauges and figures are made up."

func paperOr(p certs.Paper) certs.Paper {
	if p == "" {
		return certs.A4
	}
	return p
}

// capitalised writes the first letter large.
func capitalised(s string) string {
	_, n := utf8.DecodeRuneInString(s)
	return strings.ToUpper(s[:n]) + s[n:]
}

// A paperAnswer is what --json says of a paper that was written.
type paperAnswer struct {
	File  string `json:"file"`
	Bytes int    `json:"bytes"`
}

// writePDF writes a paper to a file or, for "-", to a pipe.
func (d desk) writePDF(c *cli.Context, file string, data []byte, what string) error {
	if file == "-" {
		if d.Terminal {
			return usagef("-: standard output is a terminal; want a file or a pipe for a PDF")
		}
		_, err := d.Out.Write(data)
		return err
	}
	if err := writePaper(file, data, c.Bool("replace")); err != nil {
		return err
	}
	if d.json {
		return d.answer(paperAnswer{file, len(data)}, nil)
	}
	return line(d.Out, "%s: %s", file, what)
}
