package main

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"

	"github.com/urfave/cli/v2"

	"example.org/wring/calib"
	"example.org/wring/certs"
	"example.org/wring/certs/pdf"
	"example.org/wring/cmd/internal/inorder"
	"example.org/wring/registry"
)

func certificatesFlags() []cli.Flag {
	return []cli.Flag{
		text("since", "DATE", "of the last check; those of before are left out"), text("until", "DATE", "of the last check; those of after are left out"),
		text("place", "PLACE", "where the gauges are"), text("owner", "NAME", "whose they are"), text("kind", "KIND", "of gauge"),
		text("paper", "PAPER", "A4 or Letter (as the house has set, else A4)"),
		switchOn("replace", "write over files that are there"),
	}
}

// A certificatesAnswer is what --json says of the certificates of many gauges.
type certificatesAnswer struct {
	Folder  string              `json:"folder"`
	Written []certificateAnswer `json:"written"`
	Refused []refusedPaper      `json:"refused"`
}

// A refusedPaper is a certificate that could not be written.
type refusedPaper struct {
	Gauge  string `json:"gauge"`
	Check  uint64 `json:"check"`
	Reason string `json:"reason"`
}

// A lastCheck is the check of a gauge whose certificate is wanted.
type lastCheck struct {
	gauge string
	entry uint64
}

func runReportCertificates(d desk, c *cli.Context) error {
	w, err := words(c, "DIR")
	if err != nil {
		return err
	}
	paper, err := choice(c, "paper", []certs.Paper{certs.A4, certs.Letter})
	if err != nil {
		return err
	}
	var list []lastCheck
	if err := d.view(func(tx *registry.Tx) (err error) { list, err = lastChecks(tx, c); return err }); err != nil {
		return err
	}
	a := certificatesAnswer{Folder: w[0], Written: []certificateAnswer{}, Refused: []refusedPaper{}}
	if len(list) > 0 {
		if err := d.writeCertificates(&a, list, paper, c.Bool("replace")); err != nil {
			return err
		}
	}
	if err := d.answer(a, a.write); err != nil || len(a.Refused) == 0 {
		return err
	}
	return errNo
}

// lastChecks are the newest checks of the gauges that the options ask for.
func lastChecks(tx *registry.Tx, c *cli.Context) (list []lastCheck, err error) {
	since, err := date(c, "since", calib.Date{})
	if err != nil {
		return nil, err
	}
	until, err := date(c, "until", calib.Date{})
	if err != nil {
		return nil, err
	}
	err = tx.GaugeOutlines(func(o registry.GaugeOutline) error {
		g, last := o.Gauge, o.Last
		if !matches(g.Place, c.String("place")) || !matches(g.Owner, c.String("owner")) || !matches(string(g.Kind), c.String("kind")) {
			return nil
		}
		if last == nil || last.Date.Before(since) || !until.IsZero() && last.Date.After(until) {
			return nil
		}
		list = append(list, lastCheck{g.ID, last.Entry})
		return nil
	})
	if err == nil && len(list) == 0 {
		err = filtersKnown(tx, c)
	}
	return list, err
}

// setTogether is how many certificates are gathered before the registry is let
// go and they are set, and readTogether how many of them one reader gathers
// (house rules). Who waits to write waits for a hundredth of a second.
const (
	setTogether  = 64
	readTogether = 8
)

// writeCertificates writes each certificate into the folder, and notes what
// could not be written. Its own error ends the work: nothing more can be read.
func (d desk) writeCertificates(a *certificatesAnswer, list []lastCheck, paper certs.Paper, replace bool) error {
	if err := os.MkdirAll(a.Folder, 0o777); err != nil { // who may read it is the user's own setting
		return at(a.Folder, err)
	}
	r, err := pdf.New()
	if err != nil {
		return err
	}
	p := d.watch("certificates", uint64(len(list)))
	p.unit = "paper"
	defer p.end()
	for some := range slices.Chunk(list, setTogether) {
		jobs, err := d.gather(some)
		if err != nil {
			return err
		}
		for _, j := range inorder.Each(jobs, func(j paperJob) paperJob { return j.done(r, a.Folder, paper, replace) }) {
			a.take(j)
			p.reached(uint64(len(a.Written) + len(a.Refused)))
		}
	}
	return nil
}

// A paperJob is a certificate on its way into a file.
type paperJob struct {
	lastCheck
	in       certs.CertificateOf
	invented bool
	file     string
	bytes    int
	err      error // why it is refused
}

// gather reads what the certificates state, on all processors.
func (d desk) gather(list []lastCheck) ([]paperJob, error) {
	reg, err := registry.OpenReading(d.registry)
	if err != nil {
		return nil, d.opening(err)
	}
	type batch struct {
		jobs []paperJob
		err  error
	}
	var jobs []paperJob
	for _, b := range inorder.Each(slices.Collect(slices.Chunk(list, readTogether)), func(some []lastCheck) (b batch) {
		b.err = reg.View(func(tx *registry.Tx) error { b.jobs = jobsOf(tx, some); return nil })
		return b
	}) {
		jobs, err = append(jobs, b.jobs...), first(err, b.err)
	}
	return jobs, first(err, reg.Close())
}

func jobsOf(tx *registry.Tx, list []lastCheck) (jobs []paperJob) {
	for _, last := range list {
		j := paperJob{lastCheck: last}
		var kept registry.Kept
		if kept, j.err = tx.Check(last.entry); j.err == nil {
			j.in, j.invented, j.err = certificateOfCheck(tx, kept)
		}
		jobs = append(jobs, j)
	}
	return jobs
}

// done is the job after the certificate was set and written.
func (j paperJob) done(r *pdf.Renderer, folder string, paper certs.Paper, replace bool) paperJob {
	if j.err != nil {
		return j
	}
	j.in.Paper = cmp.Or(paper, j.in.Paper, certs.A4)
	j.file = filepath.Join(folder, j.in.Number+".pdf")
	var data []byte
	if data, j.err = renderCertificate(r, j.in, j.invented); j.err == nil {
		j.bytes, j.err = len(data), writePaper(j.file, data, replace)
	}
	return j
}

func (a *certificatesAnswer) take(j paperJob) {
	if j.err != nil {
		reason := j.err.Error()
		var standing *hinted
		if errors.As(j.err, &standing) { // its hint is for one file
			reason += "; want another folder, or --replace"
		}
		a.Refused = append(a.Refused, refusedPaper{j.gauge, j.entry, reason})
		return
	}
	a.Written = append(a.Written, certificateAnswer{j.in.Number, j.entry, j.in.Head, j.file, j.bytes})
}

func (a certificatesAnswer) write(out io.Writer) error {
	if len(a.Written)+len(a.Refused) == 0 {
		return line(out, "no gauge has a last check that was asked for")
	}
	if err := line(out, "%s: %s", a.Folder, plural(len(a.Written), "certificate")); err != nil || len(a.Refused) == 0 {
		return err
	}
	if err := line(out, "not written, %d:", len(a.Refused)); err != nil {
		return err
	}
	for _, r := range a.Refused {
		if _, err := fmt.Fprintf(out, "  %s, check %d: %s\n", r.Gauge, r.Check, r.Reason); err != nil {
			return err
		}
	}
	return nil
}
