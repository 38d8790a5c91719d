package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"os"

	"github.com/urfave/cli/v2"

	"example.org/wring/calib"
	"example.org/wring/certs"
)

// certificateData is what stands beside a certificate for programs: all that the
// paper states, with every digit. It stands beside and not inside, because the
// level of PDF/A that an independent checker holds the paper to allows no files
// in it.
type certificateData struct {
	Format int    `json:"format"` // 1
	Number string `json:"number"`
	Issued string `json:"issued"` // ISO date
	Head   string `json:"head"`   // of the journal at the entry
	Entry  uint64 `json:"entry"`
	SHA256 string `json:"certificate_sha256"` // of the PDF, 64 hexadecimal digits

	Gauge     calib.Gauge           `json:"gauge"`
	Plan      calib.Plan            `json:"plan"`
	Standards []calib.StandardOnDay `json:"standards"`
	Check     calib.Check           `json:"check"`
	Result    calib.Result          `json:"result"` // lengths in mm, uncertainties too
	AsFound   *certs.KeptCheck      `json:"as_found,omitempty"`
	Replaces  *certs.Replaced       `json:"replaces,omitempty"`
}

// writeData writes the data of a certificate where --data wants it. The same
// certificate gives the same bytes.
func writeData(c *cli.Context, in certs.CertificateOf, paper []byte) error {
	file := c.String("data")
	if file == "" {
		return nil
	}
	a := certificateData{Format: 1, Number: in.Number, Issued: in.Issued.String(), Head: in.Head, Entry: in.Kept.Sequence, SHA256: fmt.Sprintf("%x", sha256.Sum256(paper)),
		Gauge: in.Basis.Gauge, Plan: in.Basis.Plan, Standards: in.Basis.Standards, Check: in.Kept.Check, Result: in.Kept.Result, AsFound: in.AsFound, Replaces: in.Replaces}
	var out bytes.Buffer
	enc := json.NewEncoder(&out)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	if err := enc.Encode(a); err != nil {
		return err
	}
	if old, err := os.ReadFile(file); err == nil && !c.Bool("replace") && !bytes.Equal(old, out.Bytes()) {
		return &hinted{fmt.Errorf("%s: is there already and is something else", file), "nothing was written; name another --data FILE, or add --replace"}
	}
	return writeWhole(file, out.Bytes())
}
