package web

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"net/http"
	"net/url"
	"os"
	"slices"
	"strconv"
	"strings"

	"sawbill/internal/job"
)

func query(text string) string { return url.QueryEscape(text) }

// undo is a change to be taken back: files as they were.
type undo []before

// before is a file as it was, and the version of what it became.
type before struct {
	path string
	data []byte
	now  string
}

// mostUndos is how many changes of a job can be taken back.
const mostUndos = 100

// version names the content of a file, so that two who change it notice.
func version(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:8])
}

// tableView is a table as the page shows it.
type tableView struct {
	job.Sheet
	Version string
	Where   string // its file, from the folder
	// Faults of cells by row and column, "3.2".
	Marks map[string]string
}

// Mark is what is wrong with a cell.
func (t tableView) Mark(row, column int) string {
	return t.Marks[strconv.Itoa(row)+"."+strconv.Itoa(column)]
}

// Listed tells whether it is one of the lists that a job is begun with.
func (t tableView) Listed() bool { return t.Name == "pieces" || t.Name == "panels" }

// alike tells whether a head is spelled as its field is, but for blanks and the like.
func alike(field, head string) bool {
	return strings.EqualFold(field, strings.ReplaceAll(head, " ", "-"))
}

// First is what stands in a column's first rows.
func (t tableView) First(column int) string {
	var texts []string
	for _, row := range t.Rows[:min(3, len(t.Rows))] {
		if column < len(row) && row[column].Text != "" {
			texts = append(texts, row[column].Text)
		}
	}
	return strings.Join(texts, ", ")
}

// jobView is the page of a job.
type jobView struct {
	place
	Title   string
	Tables  []tableView
	Faults  []job.Message
	Remarks []job.Message
	Text    string // of the job file
	Version string
	Undos   int
	New     bool // just begun with a list
	Saved   string
	Refused string
	Yours   string // a text of the job file that was not written
}

// viewOf is the page of a job, or a refusal.
func (s *Server) viewOf(w http.ResponseWriter, p place) (*jobView, bool) {
	d, ok := s.open(w, p)
	if !ok {
		return nil, false
	}
	v := &jobView{place: p, Title: p.Name(), Faults: d.Faults, Remarks: d.Remarks}
	if d.Job != nil {
		v.Title = d.Job.Name
	}
	data, err := os.ReadFile(p.path)
	if err == nil {
		v.Text, v.Version = string(data), version(data)
	}
	for _, sheet := range d.Sheets {
		t := tableView{Sheet: sheet, Where: s.short(sheet.File), Marks: map[string]string{}}
		if data, err := os.ReadFile(sheet.File); err == nil {
			t.Version = version(data)
		}
		for _, f := range d.Faults {
			if f.Pos.File != sheet.File {
				continue
			}
			for i, row := range sheet.Rows {
				for k := range row {
					if row[k].At == f.Pos {
						t.Marks[strconv.Itoa(i)+"."+strconv.Itoa(k)] = f.Text
					}
				}
			}
		}
		v.Tables = append(v.Tables, t)
	}
	for i := range v.Faults {
		v.Faults[i].Pos.File = s.short(v.Faults[i].Pos.File)
	}
	for i := range v.Remarks {
		v.Remarks[i].Pos.File = s.short(v.Remarks[i].Pos.File)
	}
	s.lock.Lock()
	v.Undos = len(s.undos[p.Rel])
	s.lock.Unlock()
	return v, true
}

func (s *Server) job(w http.ResponseWriter, r *http.Request, p place) {
	if v, ok := s.viewOf(w, p); ok {
		v.New = r.FormValue("new") != ""
		s.show(w, http.StatusOK, "job", v)
	}
}

// cells writes cells of a table anew: "cells" is a list of [row, column, text].
func (s *Server) cells(w http.ResponseWriter, r *http.Request, p place) {
	var asked [][3]any
	if err := json.Unmarshal([]byte(r.FormValue("cells")), &asked); err != nil {
		http.Error(w, "the cells could not be read", http.StatusBadRequest)
		return
	}
	var changes []job.CellChange
	for _, c := range asked {
		row, isRow := c[0].(float64)
		column, isColumn := c[1].(float64)
		text, isText := c[2].(string)
		if !isRow || !isColumn || !isText {
			http.Error(w, "the cells could not be read", http.StatusBadRequest)
			return
		}
		changes = append(changes, job.CellChange{Row: int(row), Column: int(column), Text: text})
	}
	var without []int
	if drop, err := strconv.Atoi(r.FormValue("drop")); err == nil {
		without = append(without, drop)
	}
	s.answer(w, p, func() (undo, *refusal) {
		d, ok := s.read(p)
		if !ok {
			return nil, refused(http.StatusForbidden, outside)
		}
		i := slices.IndexFunc(d.Sheets, func(t job.Sheet) bool { return t.Name == r.FormValue("table") })
		if i < 0 {
			return nil, refused(http.StatusConflict, "The table is not in the job any more; load the page again.")
		}
		old, err := os.ReadFile(d.Sheets[i].File)
		if err != nil {
			return nil, refused(http.StatusInternalServerError, sentence(err))
		}
		if version(old) != r.FormValue("version") {
			return nil, refused(http.StatusConflict, "The table was changed elsewhere meanwhile; nothing was written. It is shown as it stands now. "+wanted(d.Sheets[i], changes, without))
		}
		data, err := d.Sheets[i].Change(old, changes, without...)
		if err != nil {
			return nil, refused(http.StatusUnprocessableEntity, sentence(err))
		}
		return s.write(file{d.Sheets[i].File, old, data})
	})
}

// wanted says what was to be written and what stands there now.
func wanted(t job.Sheet, changes []job.CellChange, without []int) string {
	var parts []string
	for _, i := range without {
		parts = append(parts, fmt.Sprintf("row %d taken out", i+1))
	}
	const most = 8
	for i, c := range changes {
		if i == most {
			parts = append(parts, fmt.Sprintf("and %d cells more", len(changes)-most))
			break
		}
		head, now := "", "is not there"
		if c.Column >= 0 && c.Column < len(t.Heads) {
			head = t.Heads[c.Column].Text
		}
		if c.Row >= 0 && c.Row < len(t.Rows) && c.Column >= 0 && c.Column < len(t.Rows[c.Row]) {
			now = fmt.Sprintf("is %q", t.Rows[c.Row][c.Column].Text)
		}
		parts = append(parts, fmt.Sprintf("%s of row %d, which %s, to be %q", head, c.Row+1, now, c.Text))
	}
	return "You wanted: " + strings.Join(parts, "; ") + "."
}

// text writes the job file anew.
func (s *Server) text(w http.ResponseWriter, r *http.Request, p place) {
	s.answer(w, p, func() (undo, *refusal) {
		old, err := os.ReadFile(p.path)
		if err != nil {
			return nil, refused(http.StatusInternalServerError, sentence(err))
		}
		if version(old) != r.FormValue("version") {
			no := refused(http.StatusConflict, "The file was changed elsewhere meanwhile; nothing was written. It is shown as it stands now, and below it what you wrote.")
			no.yours = r.FormValue("text")
			return nil, no
		}
		return s.write(file{p.path, old, unixLines(r.FormValue("text"), old)})
	})
}

// undo takes back the last change, unless a file of it was changed elsewhere since.
func (s *Server) undo(w http.ResponseWriter, _ *http.Request, p place) {
	s.answer(w, p, func() (undo, *refusal) {
		list := s.undos[p.Rel]
		if len(list) == 0 {
			return nil, refused(http.StatusConflict, "There is nothing to take back.")
		}
		last := list[len(list)-1]
		s.undos[p.Rel] = list[:len(list)-1]
		var back []file
		for _, u := range last {
			now, err := os.ReadFile(u.path)
			if err != nil || version(now) != u.now {
				return nil, refused(http.StatusConflict, "The file was changed elsewhere since; nothing was taken back.")
			}
			back = append(back, file{u.path, now, u.data})
		}
		_, no := s.write(back...)
		return nil, no
	})
}

// answer has a job changed and answers with what of its page is new.
func (s *Server) answer(w http.ResponseWriter, p place, change func() (undo, *refusal)) {
	saved, no := s.change(p, change)
	v, ok := s.viewOf(w, p)
	if !ok {
		return
	}
	status := http.StatusOK
	if no != nil {
		v.Refused, v.Yours, status = no.text, no.yours, no.status
	} else {
		v.Saved = saved
	}
	s.show(w, status, "job-body", v)
}
