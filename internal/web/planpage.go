package web

import (
	"context"
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"sawbill/internal/job"
	"sawbill/internal/plan"
	"sawbill/internal/progress"
	"sawbill/internal/report/screen"
)

// planView is the page of a plan.
type planView struct {
	place
	Title   string
	Running bool
	Failed  string
	// Plan is nil where there is none yet; Stale when the job has changed since.
	Plan      *plan.Plan
	Stale     bool
	Blocks    []screen.Block // of the summary, unless stale
	Materials []materialView
	Papers    []screen.Paper // the others
	Files     []string
}

// materialView is a material's part of the plan and its drawings.
type materialView struct {
	plan.Material
	Drawings []screen.Drawing
}

// readPlan reads the plan in a pack; nil where there is none that can be read.
func readPlan(dir string) *plan.Plan {
	data, err := os.ReadFile(filepath.Join(dir, "plan.json"))
	if err != nil {
		return nil
	}
	p, err := plan.Decode(data)
	if err != nil {
		return nil
	}
	return p
}

func (s *Server) plan(w http.ResponseWriter, r *http.Request, p place) {
	d, ok := s.open(w, p)
	if !ok {
		return
	}
	v := &planView{place: p, Title: p.Name(), Plan: readPlan(p.pack())}
	v.Running, v.Failed = s.standing(errand{planning, p.Rel})
	v.Stale = v.Plan != nil && (d.Job == nil || v.Plan.Job.Digest != progress.Planned(d.Job, v.Plan).Digest)
	if d.Job != nil {
		v.Title = d.Job.Name
	} else {
		v.Failed = faulty(d)
	}
	if v.Plan != nil {
		v.Files = packFiles(p.pack())
		drawings := s.program.Drawings(v.Plan)
		for _, m := range v.Plan.Materials {
			view := materialView{Material: m}
			for _, f := range drawings {
				if f.Material == m.Key && slices.Contains(v.Files, f.Path) {
					view.Drawings = append(view.Drawings, f)
				}
			}
			v.Materials = append(v.Materials, view)
		}
	}
	if v.Plan != nil && !v.Stale {
		papers, err := s.program.Papers(v.Plan, progress.Planned(d.Job, v.Plan))
		if err != nil {
			s.refuse(w, http.StatusInternalServerError, sentence(err))
			return
		}
		v.Blocks, v.Papers = headless(papers[0].Blocks), papers[1:]
	}
	s.show(w, http.StatusOK, "plan", v)
}

// headless are the blocks of a paper without its own heading, where the page has one.
func headless(blocks []screen.Block) []screen.Block {
	if len(blocks) > 0 && blocks[0].Kind == screen.Heading {
		return blocks[1:]
	}
	return blocks
}

// faulty says that a job cannot be planned.
func faulty(d *job.Draft) string {
	if len(d.Faults) == 1 {
		return "The job has a fault; put it right first."
	}
	return fmt.Sprintf("The job has %d faults; put them right first.", len(d.Faults))
}

// paper shows what one paper of the plan says.
func (s *Server) paper(w http.ResponseWriter, r *http.Request, p place) {
	j, ok := s.sound(w, p)
	if !ok {
		return
	}
	made := readPlan(p.pack())
	if made != nil {
		j = progress.Planned(j, made) // with what it takes from the rack
	}
	if made == nil || made.Job.Digest != j.Digest {
		s.refuse(w, http.StatusNotFound, "There is no plan of the job as it is now; plan it again.")
		return
	}
	papers, err := s.program.Papers(made, j)
	if err != nil {
		s.refuse(w, http.StatusInternalServerError, sentence(err))
		return
	}
	i := slices.IndexFunc(papers, func(q screen.Paper) bool { return q.Name == r.FormValue("n") })
	if i < 0 {
		s.refuse(w, http.StatusNotFound, "There is no such paper.")
		return
	}
	papers[i].Blocks = headless(papers[i].Blocks)
	s.show(w, http.StatusOK, "paper", struct {
		place
		screen.Paper
		Number string
	}{p, papers[i], made.Number})
}

// packFiles lists the files of a pack, with slashes.
func packFiles(dir string) []string {
	var list []string
	_ = filepath.WalkDir(dir, func(path string, e os.DirEntry, err error) error {
		if err == nil && e.Type().IsRegular() && !strings.HasPrefix(e.Name(), ".") {
			rel, _ := filepath.Rel(dir, path)
			list = append(list, filepath.ToSlash(rel))
		}
		return nil
	})
	slices.Sort(list)
	return list
}

// start begins a search, unless one is under way.
func (s *Server) start(w http.ResponseWriter, r *http.Request, p place) {
	if _, ok := s.sound(w, p); !ok {
		return
	}
	s.begin(errand{planning, p.Rel}, func(ctx context.Context, run *run) error {
		_, err := s.program.Plan(ctx, p.path, run.report)
		return err
	})
	http.Redirect(w, r, "/plan?f="+query(p.Rel), http.StatusSeeOther)
}
