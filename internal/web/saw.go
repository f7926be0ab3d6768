package web

import (
	"fmt"
	"math"
	"net/http"
	"path/filepath"
	"strconv"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/progress"
	"sawbill/internal/section"
)

// cutView is one cut that is to be made.
type cutView struct {
	Mark         string
	Copy         int
	Size         string
	Angles       string
	Outline      string // of a piece with angles, in a field of 300 by 60
	Material     string
	Layout       string
	Stock        string
	Plan         string
	First        bool // of its layout
	Bare, Number int
}

// sawView is the page at the saw.
type sawView struct {
	place
	Title                 string
	Pack                  string // the folder's name
	Next                  *cutView
	Then                  []cutView
	Made, Waiting, Wanted int
	Materials             []string
	Material              string
	Refused, Done         string
}

// current is the pack that is being cut: the job's, or the last that took over.
func (s *Server) current(p place) (dir string, pl *plan.Plan, f *progress.File) {
	dir = p.pack()
	for range 1000 {
		pl = readPlan(dir)
		if pl == nil {
			return dir, nil, nil
		}
		f, _ = progress.Load(dir)
		if f == nil || f.Next == "" || !f.Of(pl) {
			return dir, pl, f
		}
		next, err := filepath.EvalSymlinks(filepath.Join(dir, filepath.FromSlash(f.Next)))
		if err != nil || !s.holds(next) {
			return dir, pl, f
		}
		dir = next
	}
	return dir, pl, f
}

func (s *Server) saw(w http.ResponseWriter, r *http.Request, p place) {
	s.showSaw(w, p, http.StatusOK, r.FormValue("m"), "", "")
}

func (s *Server) showSaw(w http.ResponseWriter, p place, status int, material, refused, done string) {
	j, ok := s.sound(w, p)
	if !ok {
		return
	}
	dir, pl, f := s.current(p)
	if pl == nil {
		s.refuse(w, http.StatusNotFound, "There is no plan yet.")
		return
	}
	j = progress.Planned(j, pl)
	if f == nil {
		f = progress.Begin(pl, nil, progress.Start(j, pl))
	}
	if !f.Of(pl) || pl.Job.Digest != f.JobOf(j).Digest {
		s.refuse(w, http.StatusConflict, "The plan is of another state of the job; plan it again, or put the job back.")
		return
	}
	look := progress.Look(j, f.State, f.Events)
	v := &sawView{place: p, Title: j.Name, Pack: filepath.Base(dir), Made: len(look.Made), Waiting: len(look.Waiting), Wanted: len(look.Wanted),
		Material: material, Refused: refused, Done: done}
	cuts := cutsOf(j, look)
	for _, c := range cuts {
		if n := len(v.Materials); n == 0 || v.Materials[n-1] != c.Material {
			v.Materials = append(v.Materials, c.Material)
		}
	}
	for i := range cuts {
		if material != "" && cuts[i].Material != material {
			continue
		}
		if v.Next == nil {
			v.Next = &cuts[i]
		} else if len(v.Then) < mostThen {
			v.Then = append(v.Then, cuts[i])
		}
	}
	s.show(w, status, "saw", v)
}

// mostThen is how many cuts are shown after the next.
const mostThen = 12

// cutsOf lists what is still to be cut, in cutting order.
func cutsOf(j *job.Job, look *progress.View) []cutView {
	type size struct{ text, angles, outline string }
	sizes := map[string]size{}
	print := func(l length.Length) string { return length.Exact(l, j.Unit) }
	for _, p := range j.Pieces {
		a := ""
		if p.Mitred() {
			sec := j.Materials[p.Material].Section
			a = "left " + laid(sec, p.Left, p.LeftFace) + ", right " + laid(sec, p.Right, p.RightFace)
		}
		sizes[p.Mark] = size{print(p.Length), a, outlineOf(p)}
	}
	for _, p := range j.Panels {
		sizes[p.Mark] = size{text: print(p.Length) + " × " + print(p.Width)}
	}
	waiting := map[progress.Copy]bool{}
	for _, c := range look.Waiting {
		waiting[c] = true
	}
	var list []cutView
	for _, l := range look.Layouts {
		stock := print(l.Layout.Stock.Length)
		if l.Layout.Stock.Width > 0 {
			stock += " × " + print(l.Layout.Stock.Width)
		}
		first := true
		add := func(mark string, copy int) {
			if !waiting[progress.Copy{Mark: mark, Copy: copy}] {
				return
			}
			list = append(list, cutView{Mark: mark, Copy: copy, Size: sizes[mark].text, Angles: sizes[mark].angles, Outline: sizes[mark].outline, Material: l.Material,
				Layout: l.Material + " " + strconv.Itoa(l.Layout.Number), Stock: stock, Plan: l.Plan, First: first})
			first = false
		}
		for _, q := range l.Layout.Pieces {
			add(q.Mark, q.Copy)
		}
		for _, q := range l.Layout.Panels {
			add(q.Mark, q.Copy)
		}
	}
	return list
}

// outlineOf draws the ends of a piece, the longer edge at the foot where both
// angles are of one sign, in a field of 300 by 60; "" where both are square, or laid on
// two sides. Only the angles are to scale.
func outlineOf(p job.Piece) string {
	if p.Left == 0 && p.Right == 0 || p.Left != 0 && p.Right != 0 && p.LeftFace != p.RightFace {
		return ""
	}
	const left, right, top, foot = 5.0, 295.0, 12.0, 48.0
	slant := func(thousandths int64) float64 { return (foot - top) * math.Tan(float64(thousandths)/1000*math.Pi/180) }
	a, b := slant(p.Left), slant(p.Right)
	return fmt.Sprintf("M%.1f %g L%.1f %g L%.1f %g L%.1f %g Z", left+max(0, a), top, right-max(0, b), top, right-max(0, -b), foot, left+max(0, -a), foot)
}

// laid is an angle, with the side that it is laid on where they differ.
func laid(sec section.Section, angle int64, f section.Face) string {
	if name := sec.LaidOn(angle, f); name != "" {
		return degrees(angle) + " on the " + name
	}
	return degrees(angle)
}

func degrees(thousandths int64) string {
	if thousandths < 0 {
		return "−" + degrees(-thousandths)
	}
	return strconv.FormatFloat(float64(thousandths)/1000, 'f', -1, 64) + "°"
}

// tick notes what became of a copy.
func (s *Server) tick(w http.ResponseWriter, r *http.Request, p place) {
	material := r.FormValue("m")
	j, ok := s.sound(w, p)
	if !ok {
		return
	}
	copy, _ := strconv.Atoi(r.FormValue("copy"))
	e := progress.Event{Become: r.FormValue("become"), Mark: r.FormValue("mark"), Copy: copy}
	e.OtherHand = r.FormValue("other-hand") != "" && e.Become == progress.Wrong
	if text := r.FormValue("measures"); text != "" && e.Become == progress.Wrong {
		l, err := length.Parse(text, length.Reading{Unit: j.Unit, DecimalComma: j.DecimalComma})
		if err != nil {
			s.showSaw(w, p, http.StatusUnprocessableEntity, material, sentence(err), "")
			return
		}
		e.Length = l
	}
	dir, pl, _ := s.current(p)
	if pl == nil {
		s.refuse(w, http.StatusNotFound, "There is no plan yet.")
		return
	}
	j = progress.Planned(j, pl)
	_, err := progress.Note(j, pl, dir, func(f *progress.File) ([]progress.Event, error) {
		return progress.Add(j, f.State, f.Events, e)
	})
	if err != nil {
		s.showSaw(w, p, http.StatusConflict, material, sentence(err), "")
		return
	}
	http.Redirect(w, r, "/saw?f="+query(p.Rel)+"&m="+query(material), http.StatusSeeOther)
}

// replan plans what remains.
func (s *Server) replan(w http.ResponseWriter, r *http.Request, p place) {
	dir, _, _ := s.current(p)
	next, err := s.program.Replan(r.Context(), p.path, dir)
	if err != nil {
		s.showSaw(w, p, http.StatusConflict, r.FormValue("m"), sentence(err), "")
		return
	}
	s.showSaw(w, p, http.StatusOK, r.FormValue("m"), "", "A new plan for what remains is in "+filepath.Base(next)+"; going-on.pdf says what to buy and which sheets still hold.")
}
