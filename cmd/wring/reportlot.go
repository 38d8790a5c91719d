package main

import (
	"fmt"
	"strconv"

	"github.com/urfave/cli/v2"

	"example.org/wring/certs"
	"example.org/wring/registry"
	"example.org/wring/uncertainty/unit"
)

func runReportLot(d desk, c *cli.Context) error {
	w, err := words(c, "LOT")
	if err != nil {
		return err
	}
	if err := d.reportStands(c); err != nil {
		return err
	}
	var face reportFace
	var list []registry.Surveyed
	var job surveyJob
	if err := d.view(func(tx *registry.Tx) (err error) {
		if _, err = tx.Lot(w[0]); err != nil {
			return err
		}
		if face, err = faceOf(tx); err != nil {
			return err
		}
		if list, err = tx.SurveysOf(w[0]); err != nil {
			return err
		}
		if len(list) == 0 {
			return fmt.Errorf("lot %s: was never surveyed; want a survey first", w[0])
		}
		k := list[len(list)-1].Survey
		job = surveyJob{survey: k.Survey, refs: k.Basis, result: k.Result}
		job.basis, err = tx.ResolveSurvey(job.refs)
		return err
	}); err != nil {
		return err
	}
	shown := shownSurvey(&job, list[len(list)-1].Head.Seq)
	shown.Withdrawn = list[len(list)-1].Withdrawn
	doc := shown.document(face.house, face.head)
	doc.Title, doc.Issued = "Report of a lot", d.today().String()
	if len(list) > 1 {
		doc.Parts = append(doc.Parts, surveysTable(list, shown.unit))
	}
	return d.writeReport(c, doc, "report of "+w[0])
}

// surveysTable lists all surveys of a lot; the report tells the last.
func surveysTable(list []registry.Surveyed, u unit.Unit) certs.Table {
	t := certs.Table{Title: "All surveys of the lot", Columns: []certs.Column{{Heading: "Entry", Align: certs.Right}, {Heading: "Date"}, {Heading: "Method"}, {Heading: "Gauge"},
		{Heading: "Places", Align: certs.Right}, {Heading: "Mean", Unit: u.Symbol(), Align: certs.Point}, {Heading: "U", Unit: u.Symbol(), Align: certs.Point}, {Heading: "Verdict"}},
		Notes: []string{"This report tells the last of them."}}
	for _, s := range list {
		k := s.Survey
		value, expanded := inFigure(u, k.Result.Mean)
		t.Rows = append(t.Rows, certs.Row{Cells: []string{strconv.FormatUint(s.Head.Seq, 10), k.Survey.Date.String(), k.Survey.Method, k.Survey.Gauge,
			strconv.Itoa(len(k.Survey.Places)), value, expanded, string(k.Result.Verdict) + yes(s.Withdrawn > 0, ", withdrawn", "")}})
	}
	return t
}
