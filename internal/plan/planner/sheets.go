package planner

import (
	"context"
	"fmt"
	"strings"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/nest2d"
)

// sheetJob is the problem of one material and the way back from its answer.
type sheetJob struct {
	problem nest2d.Problem
	offers  []int
	copies  [][]named
	cuts    []contours // by panel
	// openings are those of each panel in which others may lie.
	openings [][]opening
}

// rectangle is what makes two panels alike for the cutter: their size and,
// where a supplier may charge for cutting them, what is cut.
type rectangle struct {
	length, width length.Length
	turn          bool
	cut           contours
	openings      string
}

func sheets(ctx context.Context, j *job.Job, mi int, head plan.Material, o Options) outcome {
	s := newSheetJob(j, mi)
	if len(s.copies) == 0 {
		return outcome{}
	}
	if err := s.beyond(j, mi); err != nil {
		return outcome{err: err}
	}
	options := nest2d.Options{Effort: efforts[o.Effort].sheets, Seed: o.Seed, Aims: aims(j, mi)}
	if o.Progress != nil {
		options.Progress = func(p nest2d.Progress) {
			o.Progress(Progress{Material: head.Key, Value: plan.Money(p.Value), Bound: plan.Money(p.Bound), Found: p.Found})
		}
	}
	r, err := nest2d.Solve(ctx, s.problem, options)
	if err == nil {
		err = s.widen(ctx, &r, options)
	}
	if err != nil {
		return outcome{err: fmt.Errorf("material %q: %w", head.Key, err)}
	}
	if r.Outcome != nest2d.Planned {
		return s.noPlan(j, mi, r)
	}
	head.Goals = plan.Goals{
		Cost:   moneyGoal(r.Cost.Value, r.Cost.Bound),
		Count:  countGoal(r.Sheets.Value, r.Sheets.Bound, r.Sheets.Status == nest2d.Proven),
		Offcut: countGoal(r.Offcut.Value, r.Offcut.Bound, r.Offcut.Status == nest2d.Proven),
	}
	head.Struck = struck(ctx, r.Struck == nest2d.EffortLimit, r.Struck == nest2d.TimeLimit, head.Goals)
	head.SheetProof = s.proof(r.Certificate)
	head.Layouts = s.layouts(j, mi, r.Layouts)
	if head.Free {
		value := largestStrip(j, mi, head.Layouts)
		head.Goals.Offcut = countGoal(value, r.Offcut.Bound, value == r.Offcut.Bound)
	}
	aimGoals(j, mi, &head, &r)
	used := cut(j, head.Layouts)
	head.Buy = buy(j, used, used)
	weighSheets(j, mi, &head)
	return outcome{material: head}
}

func newSheetJob(j *job.Job, mi int) *sheetJob {
	s := &sheetJob{}
	m := j.Materials[mi]
	process := j.Processes[m.Process]
	kinds := map[rectangle]int{}
	isFree := free(j, mi)
	var rooms []room
	for _, p := range j.Panels {
		if p.Material == mi {
			rooms = append(rooms, room{int64(p.Length), int64(p.Width), p.Turn && !m.Grain})
		}
	}
	for _, p := range j.Panels {
		if p.Material != mi {
			continue
		}
		r := rectangle{length: p.Length, width: p.Width, turn: p.Turn && !m.Grain}
		if process.BySupplier {
			r.cut = contours{p.CutLength(), p.Pierces()}
		}
		var hosting []opening
		if isFree {
			hosting = openings(p, r.turn, process.Kerf, rooms)
			r.openings = fmt.Sprint(hosting)
		}
		k, known := kinds[r]
		if !known {
			k = len(s.copies)
			kinds[r] = k
			s.copies, s.cuts, s.openings = append(s.copies, nil), append(s.cuts, r.cut), append(s.openings, hosting)
			s.problem.Panels = append(s.problem.Panels, nest2d.Panel{
				Length: int64(p.Length), Width: int64(p.Width), Turn: r.turn,
			})
		}
		s.problem.Panels[k].Demand += p.Quantity
		for c := range int(p.Quantity) {
			s.copies[k] = append(s.copies[k], named{p.Mark, p.Copy(c)})
		}
	}
	s.problem.Windows, _ = s.windows(false)
	if s.problem.Free = isFree; !isFree {
		s.problem.Stages = process.Stages
		s.problem.TrimCut = !process.Exact
		s.problem.FirstCut = firstCuts[process.FirstCut]
	}
	for i, offer := range j.Offers {
		if offer.Material == mi && !j.Suppliers[offer.Supplier].ByMark {
			s.offers = append(s.offers, i)
			s.problem.Sheets = append(s.problem.Sheets, s.sheet(process, offer))
		}
	}
	return s
}

var firstCuts = map[job.CutDirection]nest2d.Direction{
	job.CutsAlongLength: nest2d.AlongLength, job.CutsAlongWidth: nest2d.AlongWidth,
}

func (s *sheetJob) sheet(process job.Process, offer job.Offer) nest2d.Sheet {
	out := nest2d.Sheet{
		Length: int64(offer.Length), Width: int64(offer.Width),
		TrimLeft: int64(process.TrimLeft), TrimRight: int64(process.TrimRight),
		TrimBottom: int64(process.TrimBottom), TrimTop: int64(process.TrimTop),
		Kerf: int64(process.Kerf), MinStrip: int64(process.MinStrip), Blade: int64(process.Blade),
		Supply: offer.Stock, Price: leastPrice(offer),
	}
	if out.Price == 0 && out.Supply < 0 {
		for _, p := range s.problem.Panels { // what costs nothing must have an end
			out.Supply = max(0, out.Supply) + p.Demand
		}
	}
	return out
}

// beyond says, in the job's words, what is more than the engine can plan.
func (s *sheetJob) beyond(j *job.Job, mi int) error {
	copies := 0
	for _, c := range s.copies {
		copies += len(c)
	}
	if copies > nest2d.MaxCopies {
		return fmt.Errorf("material %q: %d panels are wanted; at most %d of one material can be planned together, so split the list", j.Materials[mi].Key, copies, nest2d.MaxCopies)
	}
	for _, o := range s.offers {
		if side := max(j.Offers[o].Length, j.Offers[o].Width); side > nest2d.MaxLength {
			return fmt.Errorf("material %q: a sheet with a side of %s is offered; at most %s can be planned, so write the length in which it is cut off the roll",
				j.Materials[mi].Key, inUnit(j, side), inUnit(j, nest2d.MaxLength))
		}
	}
	return nil
}

func (s *sheetJob) layouts(j *job.Job, mi int, found []nest2d.Layout) []plan.Layout {
	next := make([]int, len(s.copies))
	var list []plan.Layout
	for _, l := range found {
		for range l.Count {
			out := plan.Layout{Stock: stock(j, s.offers[l.Sheet])}
			if l.Tree != nil {
				out.Tree = tree(l.Tree, j.Materials[mi])
			}
			for _, place := range l.Places {
				who := s.copies[place.Panel][next[place.Panel]]
				next[place.Panel]++
				out.Panels = append(out.Panels, plan.Panel{
					Mark: who.mark, Copy: who.copy,
					X: length.Length(place.X), Y: length.Length(place.Y), Turned: place.Turned, In: place.In,
				})
			}
			if out.Tree == nil {
				keepStrip(j, mi, &out, false)
			}
			list = append(list, out)
		}
	}
	number(list)
	return list
}

// tree turns an engine's cut tree into the plan's, and marks leftovers that
// are large enough to keep.
func tree(n *nest2d.Node, m job.Material) *plan.Part {
	p := &plan.Part{
		X: length.Length(n.X), Y: length.Length(n.Y),
		Length: length.Length(n.Length), Width: length.Length(n.Width),
	}
	switch n.Kind {
	case nest2d.Whole:
		p.Panel = n.Place + 1
	case nest2d.Waste:
		p.Kept = worthKeeping(p, m)
	case nest2d.Split:
		p.Stage = n.Stage
		p.Cut = plan.AlongLength
		if n.Cut == nest2d.AlongWidth {
			p.Cut = plan.AlongWidth
		}
		for _, c := range n.Children {
			p.Parts = append(p.Parts, tree(c, m))
		}
	}
	return p
}

func worthKeeping(p *plan.Part, m job.Material) bool {
	if m.KeepLength <= 0 || m.KeepWidth <= 0 {
		return false
	}
	asLies := p.Length >= m.KeepLength && p.Width >= m.KeepWidth
	turned := p.Length >= m.KeepWidth && p.Width >= m.KeepLength
	return asLies || (turned && !m.Grain)
}

func (s *sheetJob) noPlan(j *job.Job, mi int, r nest2d.Result) outcome {
	m := j.Materials[mi]
	impossible := r.Outcome == nest2d.Impossible
	if len(r.Shortfall.TooLarge) > 0 {
		var marks []string
		for _, k := range r.Shortfall.TooLarge {
			marks = append(marks, marksOf(s.copies[k])...)
		}
		return outcome{impossible: true, message: tooLarge(m, j.Processes[m.Process], "sheets", marks)}
	}
	var missing string
	if r.Shortfall.Area > 0 {
		metre := float64(length.Metre)
		missing = fmt.Sprintf("at least %.2f m² of sheet is missing", r.Shortfall.Area/metre/metre)
	}
	var left []string
	for _, u := range r.Shortfall.Unplaced {
		left = append(left, fmt.Sprintf("%d of %s", u.Count, strings.Join(marksOf(s.copies[u.Panel]), ", ")))
	}
	return outcome{impossible: impossible, message: shortMessage(m, "sheets", impossible, missing, left)}
}

// families names the engine's function families in the plan's words.
var families = map[nest2d.Family]string{
	nest2d.Identity: "identity", nest2d.Threshold: "threshold", nest2d.Rounding: "rounding", nest2d.Steps: "steps",
}

func (s *sheetJob) proof(c nest2d.Certificate) *plan.SheetProof {
	if len(c.Kinds) == 0 {
		return nil
	}
	proof := &plan.SheetProof{Need: c.Need, Bound: plan.Money(c.Bound), Searched: c.Enumerated}
	function := func(f nest2d.Function) plan.DualFunction {
		return plan.DualFunction{Family: families[f.Family], Parameter: f.Parameter}
	}
	terms := func(k nest2d.KindProof) (list []plan.ProductTerm) {
		for _, t := range k.Terms {
			list = append(list, plan.ProductTerm{X: function(t.X), Y: function(t.Y)})
		}
		return list
	}
	for i, o := range s.offers {
		if k := c.Kinds[i]; len(k.Terms) > 0 {
			proof.Kinds = append(proof.Kinds, plan.SheetWorth{Offer: o, Worth: k.Worth, Terms: terms(k)})
		}
	}
	_, of := s.windows(true)
	for i, o := range of {
		k := c.Kinds[len(s.offers)+i]
		proof.Need -= k.Worth * s.problem.Panels[o.class].Demand
		for _, mark := range marksOf(s.copies[o.class]) {
			proof.Openings = append(proof.Openings, plan.OpeningWorth{Mark: mark, Opening: o.number, Worth: k.Worth, Terms: terms(k)})
		}
	}
	proof.Need = max(proof.Need, 0)
	proof.Layouts = s.layoutProof(c.Layouts)
	return proof
}

func (s *sheetJob) layoutProof(c *nest2d.LayoutProof) *plan.LayoutProof {
	if c == nil {
		return nil
	}
	byMark := func(values []int64) (list []plan.PanelValue) {
		for i, v := range values {
			for _, mark := range marksOf(s.copies[i]) {
				if v > 0 {
					list = append(list, plan.PanelValue{Mark: mark, Value: v})
				}
			}
		}
		return list
	}
	proof := &plan.LayoutProof{Values: byMark(c.Values), Need: c.Need, Bound: plan.Money(c.Bound)}
	for i, o := range s.offers {
		if k := c.Kinds[i]; k.Charges != nil {
			w := plan.LayoutWorth{Offer: o, Worth: k.Worth, Charges: byMark(k.Charges)}
			if k.Unit > 1 {
				w.Unit = length.Length(k.Unit)
			}
			proof.Kinds = append(proof.Kinds, w)
		}
	}
	return proof
}
