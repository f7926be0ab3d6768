package web

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strconv"

	"sawbill/internal/job"
	"sawbill/internal/replace"
)

func query(text string) string { return url.QueryEscape(text) }

// undo is a file as it was before a change.
type undo struct {
	path string
	data []byte
	now  string // version after the change
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
	Outside bool
	// Faults of cells by row and column, "3.2".
	Marks map[string]string
}

// Mark is what is wrong with a cell.
func (t tableView) Mark(row, column int) string {
	return t.Marks[strconv.Itoa(row)+"."+strconv.Itoa(column)]
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
	Saved   string
	Refused string
}

func (s *Server) viewOf(p place) (*jobView, bool) {
	d, ok := s.open(p)
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
		t := tableView{Sheet: sheet, Marks: map[string]string{}}
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

// short is a file's path from the folder.
func (s *Server) short(path string) string {
	if rel, err := filepath.Rel(s.dir, path); err == nil && filepath.IsLocal(rel) {
		return filepath.ToSlash(rel)
	}
	return path
}

func (s *Server) job(w http.ResponseWriter, r *http.Request) {
	p, ok := s.where(w, r)
	if !ok {
		return
	}
	v, ok := s.viewOf(p)
	if !ok {
		s.refuse(w, http.StatusForbidden, "The job names a file outside this folder, which is not read here.")
		return
	}
	s.show(w, http.StatusOK, "job", v)
}

// cells writes cells of a table anew: "cells" is a list of [row, column, text].
func (s *Server) cells(w http.ResponseWriter, r *http.Request) {
	p, ok := s.where(w, r)
	if !ok {
		return
	}
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
	s.change(w, p, func() (string, []byte, []byte, string, int) {
		d, ok := s.open(p)
		if !ok {
			return "", nil, nil, "The job names a file outside this folder, which is not changed here.", http.StatusForbidden
		}
		i := slices.IndexFunc(d.Sheets, func(t job.Sheet) bool { return t.Name == r.FormValue("table") })
		if i < 0 {
			return "", nil, nil, "The table is not in the job any more; load the page again.", http.StatusConflict
		}
		old, err := os.ReadFile(d.Sheets[i].File)
		if err != nil {
			return "", nil, nil, err.Error(), http.StatusInternalServerError
		}
		if version(old) != r.FormValue("version") {
			return "", nil, nil, "The table was changed elsewhere meanwhile; nothing was written. It is shown as it stands now.", http.StatusConflict
		}
		data, err := d.Sheets[i].Change(old, changes, without...)
		if err != nil {
			return "", nil, nil, sentence(err), http.StatusUnprocessableEntity
		}
		return d.Sheets[i].File, old, data, "", 0
	})
}

// text writes the job file anew.
func (s *Server) text(w http.ResponseWriter, r *http.Request) {
	p, ok := s.where(w, r)
	if !ok {
		return
	}
	s.change(w, p, func() (string, []byte, []byte, string, int) {
		old, err := os.ReadFile(p.path)
		if err != nil {
			return "", nil, nil, err.Error(), http.StatusInternalServerError
		}
		if version(old) != r.FormValue("version") {
			return "", nil, nil, "The file was changed elsewhere meanwhile; nothing was written. It is shown as it stands now.", http.StatusConflict
		}
		return p.path, old, unixLines(r.FormValue("text"), old), "", 0
	})
}

// undo takes back the last change, unless the file was changed elsewhere since.
func (s *Server) undo(w http.ResponseWriter, r *http.Request) {
	p, ok := s.where(w, r)
	if !ok {
		return
	}
	s.change(w, p, func() (string, []byte, []byte, string, int) {
		list := s.undos[p.Rel]
		if len(list) == 0 {
			return "", nil, nil, "There is nothing to take back.", http.StatusConflict
		}
		u := list[len(list)-1]
		s.undos[p.Rel] = list[:len(list)-1]
		now, err := os.ReadFile(u.path)
		if err != nil || version(now) != u.now {
			return "", nil, nil, "The file was changed elsewhere since; nothing was taken back.", http.StatusConflict
		}
		return u.path, nil, u.data, "", 0
	})
}

// change writes a file with the lock held, keeps what it was, and answers with
// what of the page is new. make gives the file, its old and its new content, or
// a refusal.
func (s *Server) change(w http.ResponseWriter, p place, make func() (path string, old, data []byte, refused string, status int)) {
	s.lock.Lock()
	path, old, data, refused, status := make()
	if refused == "" {
		if err := replace.File(path, data); err != nil {
			refused, status = sentence(err), http.StatusInternalServerError
		} else if old != nil {
			list := append(s.undos[p.Rel], undo{path, old, version(data)})
			s.undos[p.Rel] = list[max(0, len(list)-mostUndos):]
		}
	}
	s.lock.Unlock()
	v, ok := s.viewOf(p)
	if !ok {
		s.refuse(w, http.StatusForbidden, "The job names a file outside this folder, which is not read here.")
		return
	}
	if v.Refused = refused; refused == "" {
		status, v.Saved = http.StatusOK, s.short(path)
	}
	s.show(w, status, "job-body", v)
}
