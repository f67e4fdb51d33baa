package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"

	"loopdrill/exercises"
	"loopdrill/exercises/sitting"
	"loopdrill/render"
	"loopdrill/scenarios/diag"
	"loopdrill/site"
)

// The files of a marked sitting, seen from the top of its folder.
const (
	marksReport     = site.Keep + "/class-report.html"
	marksQueries    = site.Keep + "/queries.html"
	marksModeration = site.Keep + "/second-marking.html"
)

// markPage names a page of one form.
func markPage(half, kind string, f *exercises.Form) string {
	return fmt.Sprintf("%s/%s-%02d-%s.html", half, kind, f.Number, f.Code)
}

// markFiles lists everything that a marking writes. Practice forms are drawn
// here, so that an exercise that cannot be drawn stops before anything is
// written.
func (f *formFinder) markFiles(r sitting.Report, notes []diag.Diagnostic, paper render.Paper) ([]site.File, error) {
	pages := render.NewRenderer()
	var files []site.File
	add := func(path string, write func(io.Writer) error) {
		files = append(files, site.File{Path: path, Write: write})
	}
	for _, w := range r.Works {
		practice, err := f.practiceAfter(w.Form)
		if err != nil {
			return nil, err
		}
		address := "practice-" + fmt.Sprintf("%02d-%s.html", w.Form.Number, w.Form.Code)
		if len(practice.Items) == 0 {
			address = "" // practical tasks alone: there is nothing to practise on paper
		} else {
			add(markPage(site.HandOut, "practice", w.Form), func(out io.Writer) error {
				page := render.WorkbookOf(practice)
				page.Paper = paper
				return pages.Workbook(out, page)
			})
		}
		add(markPage(site.HandOut, "feedback", w.Form), func(out io.Writer) error {
			page := render.FeedbackOf(w, address)
			page.Paper = paper
			return pages.Feedback(out, page)
		})
		add(markPage(site.Keep, "record", w.Form), func(out io.Writer) error {
			page := render.RecordOf(w)
			page.Paper = paper
			return pages.Record(out, page)
		})
	}
	add(marksReport, func(out io.Writer) error {
		page := render.ClassReportOf(r, notes)
		page.Paper = paper
		page.Queries, page.Moderation = "queries.html", "second-marking.html"
		page.Links = func(w *sitting.Work) render.PersonLinks {
			return render.PersonLinks{
				Feedback: "../" + markPage(site.HandOut, "feedback", w.Form),
				Record:   fmt.Sprintf("record-%02d-%s.html", w.Form.Number, w.Form.Code)}
		}
		return pages.ClassReport(out, page)
	})
	add(marksQueries, func(out io.Writer) error {
		page := render.QueriesOf(r)
		page.Paper, page.Table, page.HandTable = paper, "decisions.csv", "marks-by-hand.csv"
		return pages.Queries(out, page)
	})
	add(marksModeration, func(out io.Writer) error {
		page := render.ModerationOf(r)
		page.Paper, page.Table = paper, "second-marking.csv"
		return pages.Moderation(out, page)
	})
	add(site.Keep+"/marks.csv", r.MarksCSV)
	add(site.Keep+"/answers.csv", r.AnswersCSV)
	add(site.Keep+"/decisions.csv", r.BlankDecisions)
	add(site.Keep+"/overrides.csv", sitting.BlankOverrides)
	add(site.Keep+"/observed.csv", func(out io.Writer) error {
		var forms []*exercises.Form
		for _, w := range r.Works {
			forms = append(forms, w.Form)
		}
		return sitting.BlankObserved(out, forms)
	})
	add(site.Keep+"/marks-by-hand.csv", func(out io.Writer) error {
		var forms []*exercises.Form
		for _, w := range r.Works {
			forms = append(forms, w.Form)
		}
		return sitting.BlankMarks(out, forms)
	})
	add(site.Keep+"/second-marking.csv", func(out io.Writer) error {
		var works []*sitting.Work
		for _, s := range r.Sample {
			works = append(works, s.Work)
		}
		return sitting.BlankSecond(out, works)
	})
	files = append(files, site.Assets(site.HandOut+"/assets")...)
	return append(files, site.Assets(site.Keep+"/assets")...), nil
}

// secretFile is where the secret of a course lies, unless a file is named.
func secretFile(file, course string) (string, error) {
	if file != "" {
		return file, nil
	}
	settings, err := os.UserConfigDir()
	if err != nil {
		return "", fmt.Errorf("there is no settings folder with the secret of the course; name a file with --secret FILE")
	}
	return filepath.Join(settings, "loopdrill", course+".secret"), nil
}
