package web

import (
	"encoding/csv"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"sawbill/internal/length"
	"sawbill/internal/rack"
)

// rackView is the page of the rack.
type rackView struct {
	Asked   string // what of it is shown
	All     int
	Offcuts []offcutView
	Refused string
	Given   rack.Offcut // what was to be put in, when it was refused
	Length  string
	Width   string
}

// offcutView is a bar or sheet on the rack.
type offcutView struct {
	rack.Offcut
	Size string
}

func (s *Server) rack(w http.ResponseWriter, r *http.Request) {
	s.showRack(w, r, http.StatusOK, &rackView{Asked: strings.TrimSpace(r.FormValue("m"))})
}

// listRack is all that lies on the rack, or refuses.
func (s *Server) listRack(w http.ResponseWriter, r *http.Request) ([]rack.Offcut, bool) {
	k, ok := s.openRack(w, r)
	if !ok {
		return nil, false
	}
	defer k.Close()
	all, err := k.List(r.Context())
	if err != nil {
		s.refuse(w, http.StatusInternalServerError, sentence(err))
	}
	return all, err == nil
}

func (s *Server) showRack(w http.ResponseWriter, r *http.Request, status int, v *rackView) {
	all, ok := s.listRack(w, r)
	if !ok {
		return
	}
	v.All = len(all)
	for _, o := range all {
		if !about(o, v.Asked) {
			continue
		}
		size := length.Exact(o.Length, length.MM)
		if o.Width > 0 {
			size += " × " + length.Exact(o.Width, length.MM)
		}
		v.Offcuts = append(v.Offcuts, offcutView{o, size + " mm"})
	}
	s.show(w, status, "rack", v)
}

// about tells whether every word that is looked for is in a material, a place or a note.
func about(o rack.Offcut, asked string) bool {
	text := strings.ToLower(o.Material + " " + o.Place + " " + o.Note)
	return !slices.ContainsFunc(strings.Fields(strings.ToLower(asked)), func(word string) bool { return !strings.Contains(text, word) })
}

func (s *Server) openRack(w http.ResponseWriter, r *http.Request) (Rack, bool) {
	k, err := s.program.Rack(r.Context())
	if err != nil {
		s.refuse(w, http.StatusInternalServerError, sentence(err))
		return nil, false
	}
	return k, true
}

// rackAdd puts a bar or sheet on the rack.
func (s *Server) rackAdd(w http.ResponseWriter, r *http.Request) {
	v := &rackView{Length: r.FormValue("length"), Width: r.FormValue("width")}
	v.Given = rack.Offcut{Material: r.FormValue("material"), Place: r.FormValue("place"), Note: r.FormValue("note"), Date: s.now().Format(time.DateOnly)}
	o := v.Given
	refuse := func(err error) {
		v.Refused = sentence(err)
		s.showRack(w, r, http.StatusUnprocessableEntity, v)
	}
	spelling, sheet, err := rack.Material(o.Material)
	if err != nil {
		refuse(err)
		return
	}
	o.Material = spelling
	if o.Length, err = size("length", v.Length); err != nil {
		refuse(err)
		return
	}
	if sheet {
		if o.Width, err = size("width", v.Width); err != nil {
			refuse(err)
			return
		}
	} else if v.Width != "" {
		v.Refused = "A bar has no width; leave it empty."
		s.showRack(w, r, http.StatusUnprocessableEntity, v)
		return
	}
	k, ok := s.openRack(w, r)
	if !ok {
		return
	}
	defer k.Close()
	if _, err := k.Add(r.Context(), o); err != nil {
		s.refuse(w, http.StatusInternalServerError, sentence(err))
		return
	}
	http.Redirect(w, r, "/rack", http.StatusSeeOther)
}

// size reads a length that a bar or sheet can have; bare numbers are millimetres.
func size(name, text string) (length.Length, error) {
	l, err := length.Parse(text, length.Reading{Unit: length.MM})
	switch {
	case err != nil:
		return 0, fmt.Errorf("%s: %w", name, err)
	case l <= 0:
		return 0, fmt.Errorf("%s %q is no size of a bar or sheet; write one above 0", name, text)
	}
	return l, nil
}

// rackTable is the rack as CSV.
func (s *Server) rackTable(w http.ResponseWriter, r *http.Request) {
	all, ok := s.listRack(w, r)
	if !ok {
		return
	}
	w.Header().Set("Content-Type", "text/csv; charset=utf-8")
	w.Header().Set("Content-Disposition", `attachment; filename="rack.csv"`)
	_ = csv.NewWriter(w).WriteAll(rack.Rows(all)) // who is gone is told nothing
}

// rackDrop takes a bar or sheet off the rack.
func (s *Server) rackDrop(w http.ResponseWriter, r *http.Request) {
	s.onRack(w, r, func(k Rack, id int64) error { return k.Drop(r.Context(), id) })
}

// rackEdit notes another place of a bar or sheet, or another note.
func (s *Server) rackEdit(w http.ResponseWriter, r *http.Request) {
	s.onRack(w, r, func(k Rack, id int64) error {
		_, err := k.Edit(r.Context(), id, func(o *rack.Offcut) error {
			o.Place, o.Note = r.FormValue("place"), r.FormValue("note")
			return nil
		})
		return err
	})
}

// rackRelease makes a bar or sheet free that is kept for a plan.
func (s *Server) rackRelease(w http.ResponseWriter, r *http.Request) {
	s.onRack(w, r, func(k Rack, id int64) error { return k.ReleasePieces(r.Context(), id) })
}

// onRack does something to the bar or sheet that a request names.
func (s *Server) onRack(w http.ResponseWriter, r *http.Request, do func(Rack, int64) error) {
	id, err := strconv.ParseInt(r.FormValue("id"), 10, 64)
	if err != nil {
		http.Error(w, "that is no number of a bar or sheet", http.StatusBadRequest)
		return
	}
	k, ok := s.openRack(w, r)
	if !ok {
		return
	}
	err = do(k, id)
	if err := errors.Join(err, k.Close()); err != nil {
		s.showRack(w, r, http.StatusConflict, &rackView{Asked: r.FormValue("m"), Refused: sentence(err)})
		return
	}
	http.Redirect(w, r, "/rack?m="+query(r.FormValue("m")), http.StatusSeeOther)
}
