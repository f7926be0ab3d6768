package web

import (
	"context"
	"net/http"
	"os"
	"slices"
	"strconv"

	"sawbill/internal/job"
	"sawbill/internal/report/screen"
)

// compareView is the page of a job's options.
type compareView struct {
	place
	Title   string
	Running bool
	Failed  string
	// Ready is false where nothing was compared yet; Stale when the job has changed since.
	Ready, Stale bool
	Digest       string
	Blocks       []screen.Block
	Choices      []choiceView
	// Links lead from the names of options to what taking them changes.
	Links map[string]string
	Chart bool
}

// choiceView is an option and what taking it changes.
type choiceView struct {
	Choice
	Rows []rowView
}

// rowView is a row of a table.
type rowView struct {
	File  string
	Line  int
	Cells []string
}

func (s *Server) compare(w http.ResponseWriter, r *http.Request, p place) {
	d, ok := s.open(w, p)
	if !ok {
		return
	}
	v := &compareView{place: p, Title: p.Name()}
	v.Running, v.Failed = s.standing(errand{comparing, p.Rel})
	if d.Job == nil {
		v.Failed = faulty(d)
		s.show(w, http.StatusOK, "compare", v)
		return
	}
	v.Title, v.Digest = d.Job.Name, d.Job.Digest
	o, err := s.program.Options(p.path, d.Job)
	if err != nil {
		v.Failed = sentence(err)
	}
	if o != nil && o.Stale {
		v.Stale = true
	} else if o != nil {
		v.Ready, v.Blocks = true, headless(o.Paper.Blocks)
		v.Chart = slices.Contains(packFiles(p.beside("compare")), "compare.svg")
		v.Links = map[string]string{}
		for i, c := range o.Choices {
			v.Links[c.Name] = "#take-" + strconv.Itoa(i)
			v.Choices = append(v.Choices, choiceView{c, s.rowsAt(d, c.Without)})
		}
	}
	s.show(w, http.StatusOK, "compare", v)
}

// rowsAt are the rows of a job's tables at some places.
func (s *Server) rowsAt(d *job.Draft, places []job.Pos) []rowView {
	var list []rowView
	for _, sheet := range d.Sheets {
		for _, i := range rowsOf(sheet, places) {
			v := rowView{File: s.short(sheet.File), Line: sheet.Rows[i][0].At.Line}
			for _, c := range sheet.Rows[i] {
				if c.Text != "" {
					v.Cells = append(v.Cells, c.Text)
				}
			}
			list = append(list, v)
		}
	}
	return list
}

// rowsOf are the numbers of a sheet's rows that stand at one of the places.
func rowsOf(sheet job.Sheet, places []job.Pos) []int {
	var rows []int
	for i, row := range sheet.Rows {
		at := row[0].At
		if slices.ContainsFunc(places, func(p job.Pos) bool { return p.File == at.File && p.Line == at.Line }) {
			rows = append(rows, i)
		}
	}
	return rows
}

// startComparing begins a comparison, unless one is under way.
func (s *Server) startComparing(w http.ResponseWriter, r *http.Request, p place) {
	if _, ok := s.sound(w, p); !ok {
		return
	}
	s.begin(errand{comparing, p.Rel}, func(ctx context.Context, run *run) error {
		return s.program.Compare(ctx, p.path, run.count)
	})
	http.Redirect(w, r, "/compare?f="+query(p.Rel), http.StatusSeeOther)
}

// take makes an option the job: the rows that it does without become comments.
func (s *Server) take(w http.ResponseWriter, r *http.Request, p place) {
	_, no := s.change(p, func() (undo, *refusal) {
		d, ok := s.read(p)
		if !ok {
			return nil, refused(http.StatusForbidden, outside)
		}
		if d.Job == nil || d.Job.Digest != r.FormValue("digest") {
			return nil, refused(http.StatusConflict, "The job was changed elsewhere meanwhile; nothing was written. Compare it again.")
		}
		o, err := s.program.Options(p.path, d.Job)
		if err != nil || o == nil || o.Stale {
			return nil, refused(http.StatusConflict, "The comparison is of another state of the job; nothing was written. Compare it again.")
		}
		i := slices.IndexFunc(o.Choices, func(c Choice) bool { return c.Name == r.FormValue("option") })
		if i < 0 || o.Choices[i].Refused != "" || len(o.Choices[i].Without) == 0 {
			return nil, refused(http.StatusConflict, "This option is not one to be taken; nothing was written.")
		}
		files, no := aside(d, o.Choices[i].Without)
		if no != nil {
			return nil, no
		}
		return s.write(files...)
	})
	if no != nil {
		s.refuse(w, no.status, no.text)
		return
	}
	http.Redirect(w, r, "/job?f="+query(p.Rel), http.StatusSeeOther)
}

// aside are the files of a job with rows at some places made comments.
func aside(d *job.Draft, places []job.Pos) ([]file, *refusal) {
	sheets := slices.DeleteFunc(slices.Clone(d.Sheets), func(t job.Sheet) bool { return len(rowsOf(t, places)) == 0 })
	// From the last table of a file to its first, so that those before stand where they stood.
	slices.SortFunc(sheets, func(a, b job.Sheet) int { return b.Rows[0][0].At.Line - a.Rows[0][0].At.Line })
	var files []file
	for _, sheet := range sheets {
		rows := rowsOf(sheet, places)
		if len(rows) == len(sheet.Rows) {
			return nil, refused(http.StatusConflict, "Nothing would remain in the table of "+sheet.Name+"; take its line out of the job file instead.")
		}
		i := slices.IndexFunc(files, func(f file) bool { return f.path == sheet.File })
		if i < 0 {
			i = len(files)
			files = append(files, file{path: sheet.File})
			if !sheet.Spreadsheet { // which Aside refuses
				old, err := os.ReadFile(sheet.File)
				if err != nil {
					return nil, refused(http.StatusInternalServerError, sentence(err))
				}
				files[i].old, files[i].data = old, old
			}
		}
		data, err := sheet.Aside(files[i].data, rows...)
		if err != nil {
			return nil, refused(http.StatusUnprocessableEntity, sentence(err))
		}
		files[i].data = data
	}
	return files, nil
}
