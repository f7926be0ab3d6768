package web

import (
	"bytes"
	"context"
	"maps"
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
	Rows    []rowView
	Renamed []rowView
}

// rowView is a row of a table.
type rowView struct {
	File  string
	Line  int
	Cells []string
	For   string // the material that the row is for then
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
			v.Choices = append(v.Choices, choiceView{c, s.rowsAt(d, c.Without, nil), s.rowsAt(d, slices.Collect(maps.Keys(c.For)), c.For)})
		}
	}
	s.show(w, http.StatusOK, "compare", v)
}

// rowsAt are the rows of a job's tables at some places, with what they are for then.
func (s *Server) rowsAt(d *job.Draft, places []job.Pos, becomes map[job.Pos]string) []rowView {
	var list []rowView
	for _, sheet := range d.Sheets {
		for _, i := range rowsOf(sheet, places) {
			v := rowView{File: s.short(sheet.File), Line: sheet.Rows[i][0].At.Line, For: becomes[sheet.Rows[i][0].At]}
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
		if i < 0 || o.Choices[i].Refused != "" || len(o.Choices[i].Without) == 0 && o.Choices[i].Variant == "" {
			return nil, refused(http.StatusConflict, "This option is not one to be taken; nothing was written.")
		}
		files, no := taken(d, p.path, o.Choices[i])
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

// taken are the files of a job that becomes one of its options: rows that it does
// without are comments, others are for another material, and the keys of a variant
// stand in the places of the job's own.
func taken(d *job.Draft, path string, c Choice) ([]file, *refusal) {
	var files []file
	open := func(path string) (*file, *refusal) {
		if i := slices.IndexFunc(files, func(f file) bool { return f.path == path }); i >= 0 {
			return &files[i], nil
		}
		old, err := os.ReadFile(path)
		if err != nil {
			return nil, refused(http.StatusInternalServerError, sentence(err))
		}
		files = append(files, file{path, old, old})
		return &files[len(files)-1], nil
	}
	for _, sheet := range d.Sheets {
		rows, changes := rowsOf(sheet, c.Without), renamed(sheet, c.For)
		if len(rows)+len(changes) == 0 {
			continue
		}
		if len(rows) == len(sheet.Rows) {
			return nil, refused(http.StatusConflict, "Nothing would remain in the table of "+sheet.Name+"; take its line out of the job file instead.")
		}
		if sheet.Spreadsheet {
			_, err := sheet.Aside(nil, rows...)
			return nil, refused(http.StatusUnprocessableEntity, sentence(err))
		}
		f, no := open(sheet.File)
		if no != nil {
			return nil, no
		}
		// Cells are changed in the table of offers alone, so that every table of a
		// file still has its lines; lines become comments last.
		data := f.data
		var err error
		if len(changes) > 0 {
			if !bytes.Equal(f.data, f.old) {
				return nil, refused(http.StatusConflict, "Two tables of one file would change, which is not done at once; take the option by hand.")
			}
			data, err = sheet.Change(f.old, changes)
		}
		if err == nil {
			data, err = sheet.AsideLines(f.old, data, rows...)
		}
		if err != nil {
			return nil, refused(http.StatusUnprocessableEntity, sentence(err))
		}
		f.data = data
	}
	if c.Variant != "" {
		f, no := open(path)
		if no != nil {
			return nil, no
		}
		data, err := job.Built(path, f.data, c.Variant)
		if err != nil {
			return nil, refused(http.StatusUnprocessableEntity, sentence(err))
		}
		f.data = data
	}
	return files, nil
}

// renamed are the cells of a sheet that name another material then.
func renamed(sheet job.Sheet, becomes map[job.Pos]string) []job.CellChange {
	var changes []job.CellChange
	column := slices.Index(sheet.Fields, "material")
	for i, row := range sheet.Rows {
		if m := becomes[row[0].At]; m != "" && column >= 0 {
			changes = append(changes, job.CellChange{Row: i, Column: column, Text: m})
		}
	}
	return changes
}
