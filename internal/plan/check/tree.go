package check

import (
	"fmt"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
)

// treeAudit walks the cut tree of one sheet.
type treeAudit struct {
	*audit
	m      *material
	layout *plan.Layout
	placed []rect
	carry  bool // what leaves the yard must fit the load
	where  string
	met    []bool // panels met in a leaf
	sound  bool
}

// tree checks that the panels come out of the sheet by edge-to-edge cuts: the
// root is the trimmed sheet; every cut part is parted from edge to edge by
// parallel cuts one kerf wide; every leaf is exactly one panel or a leftover.
func (a *audit) tree(m *material, l *plan.Layout, placed []rect, region rect, carry bool, where string) bool {
	if l.Tree == nil {
		a.find(where, "it has no cut tree")
		return false
	}
	o := &a.job.Offers[l.Stock.Offer]
	if trims := carry && !m.process.BySupplier && m.trims() > 0 && !a.load(o.Length, o.Width); l.TrimsAtYard != trims {
		a.find(where, "that its edges are trimmed at the yard is given as %t, it must be %t", l.TrimsAtYard, trims)
	}
	t := &treeAudit{audit: a, m: m, layout: l, placed: placed, carry: carry, where: where, met: make([]bool, len(placed)), sound: true}
	if r := bounds(l.Tree); r != region {
		a.find(where, "the cut tree starts from %s, the trimmed sheet is %s", a.rect(r), a.rect(region))
		return false
	}
	t.part(l.Tree, 1, "")
	for i, met := range t.met {
		if !met && t.sound {
			p := l.Panels[i]
			a.find(copyName(where, p.Mark, p.Copy), "no cut of the tree sets it free")
		}
	}
	return t.sound
}

func bounds(p *plan.Part) rect { return rect{p.X, p.Y, p.Length, p.Width} }

func (t *treeAudit) fault(p *plan.Part, format string, args ...any) {
	t.sound = false
	t.find(t.where+", part "+t.rect(bounds(p)), format, args...)
}

// part checks one part whose rectangle is known to be right. stage is what its
// cuts must have, before the direction of the cuts that made it. It goes down
// only through what is right, so that even a tree that holds itself ends.
func (t *treeAudit) part(p *plan.Part, stage int, before string) {
	if len(p.Parts) == 0 {
		t.leaf(p)
		return
	}
	if p.Panel != 0 || p.Kept {
		t.fault(p, "it is cut further, so it is neither a panel nor kept")
	}
	if yard := t.carry && !t.m.process.BySupplier && !t.load(p.Length, p.Width); p.AtYard != yard {
		t.fault(p, "that it is cut at the yard is given as %t, it must be %t", p.AtYard, yard)
	}
	switch {
	case p.Cut != plan.AlongLength && p.Cut != plan.AlongWidth:
		t.fault(p, "it is cut along %q; cuts run along length or width", p.Cut)
		return
	case p.Cut == before:
		t.fault(p, "it is cut in the same direction as the part it comes from")
		return
	case p.Stage != stage:
		t.fault(p, "its cuts are of stage %d, they must be of stage %d", p.Stage, stage)
		return
	}
	t.stage(p)
	t.machine(p)
	if t.row(p) {
		for _, c := range p.Parts {
			t.part(c, stage+1, p.Cut)
		}
	}
}

// row checks that the parts lie in a row from edge to edge of p, one kerf apart.
func (t *treeAudit) row(p *plan.Part) bool {
	kerf := t.m.process.Kerf
	along := func(r rect) (at, size, crossAt, crossSize length.Length) {
		if p.Cut == plan.AlongWidth {
			return r.x, r.length, r.y, r.width
		}
		return r.y, r.width, r.x, r.length
	}
	from, extent, crossAt, crossSize := along(bounds(p))
	next := from
	for i, c := range p.Parts {
		if c == nil {
			t.fault(p, "one of its parts is empty")
			return false
		}
		at, size, cAt, cSize := along(bounds(c))
		switch {
		case !onTape(at) || !onTape(size) || size == 0:
			t.fault(p, "its part %d begins at %d and measures %d units, which cannot be", i+1, int64(at), int64(size))
			return false
		case cAt != crossAt || cSize != crossSize:
			t.fault(p, "its part %d does not reach from edge to edge of it", i+1)
			return false
		case at != next:
			t.fault(p, "its part %d begins at %s, it must begin at %s", i+1, t.len(at), t.len(next))
			return false
		}
		if (c.Panel != 0 || len(c.Parts) > 0) && size < extent && size < t.m.process.MinStrip {
			t.fault(p, "its part %d is a strip of %s, the narrowest that can be cut is %s", i+1, t.len(size), t.len(t.m.process.MinStrip))
		}
		next = at + size + kerf
	}
	// Up to a kerf behind the last part is lost in the cut that frees it; a
	// leftover needs no such cut. A single part with nothing behind it is no
	// cut at all: it only passes on the direction.
	rest := from + extent - (next - kerf)
	last := p.Parts[len(p.Parts)-1]
	leftover := last.Panel == 0 && len(last.Parts) == 0
	switch {
	case rest < 0 || rest > kerf || leftover && rest > 0:
		t.fault(p, "its parts end %s before its edge", t.len(rest))
		return false
	}
	return true
}

// stage checks the process's limit on stages. A limit that is not exact allows
// one trimming cut more, which parts a single panel from waste beside it.
func (t *treeAudit) stage(p *plan.Part) {
	limit := t.m.process.Stages
	if limit <= 0 || p.Stage <= limit {
		return
	}
	panels, others := 0, 0
	for _, c := range p.Parts {
		if c != nil && c.Panel != 0 && len(c.Parts) == 0 {
			panels++
		} else if c != nil && len(c.Parts) > 0 {
			others++
		}
	}
	trims := p.Stage == limit+1 && panels == 1 && others == 0 && len(p.Parts) <= 2
	if t.m.process.Exact || !trims {
		t.fault(p, "it is cut in stage %d, the process has %s", p.Stage, stages(limit, t.m.process.Exact))
	}
}

// machine checks which way the first cuts run and that none is longer than the blade,
// unless the yard makes it.
func (t *treeAudit) machine(p *plan.Part) {
	first := map[job.CutDirection]string{job.CutsAlongLength: plan.AlongLength, job.CutsAlongWidth: plan.AlongWidth}[t.m.process.FirstCut]
	if p.Stage == 1 && first != "" && p.Cut != first {
		t.fault(p, "its cuts are the first and run along its %s, they must run %s", p.Cut, t.m.process.FirstCut)
	}
	line, extent := p.Length, p.Width
	if p.Cut == plan.AlongWidth {
		line, extent = extent, line
	}
	blade := t.m.process.Blade
	if blade <= 0 || line <= blade || p.AtYard || p.Parts[0] == nil {
		return
	}
	if c := bounds(p.Parts[0]); p.Cut == plan.AlongLength && c.width < extent || p.Cut == plan.AlongWidth && c.length < extent {
		t.fault(p, "a cut of it is %s long, the blade %s", t.len(line), t.len(blade))
	}
}

func stages(n int, exact bool) string {
	if exact {
		return fmt.Sprintf("%d (exact)", n)
	}
	return fmt.Sprintf("%d (non-exact: and one cut to trim a single panel)", n)
}

func (t *treeAudit) leaf(p *plan.Part) {
	if p.Cut != "" || p.Stage != 0 || p.AtYard {
		t.fault(p, "it is said to be cut but has no parts")
	}
	switch {
	case p.Panel < 0 || p.Panel > len(t.placed):
		t.fault(p, "it is said to be panel %d of the sheet's %d", p.Panel, len(t.placed))
	case p.Panel == 0:
		kept := t.m.keepsSheet(p.Length, p.Width) && (!t.carry || t.load(p.Length, p.Width))
		t.kept(t.where, p.Kept, kept)
		area := whole(int64(p.Length)).times(whole(int64(p.Width)))
		t.m.leftover(area, kept)
	default:
		i := p.Panel - 1
		if t.met[i] {
			t.fault(p, "it is the same panel as another part")
		}
		t.met[i] = true
		if bounds(p) != t.placed[i] {
			t.fault(p, "it is not the size and place of %s/%d, which is %s", t.layout.Panels[i].Mark, t.layout.Panels[i].Copy, t.rect(t.placed[i]))
		}
		if p.Kept {
			t.fault(p, "it is a panel, so it is no offcut to keep")
		}
	}
}

// keepsSheet reports whether a leftover is worth keeping. Where the material
// has a grain its length counts along the sheet's length only.
func (m *material) keepsSheet(l, w length.Length) bool {
	kl, kw := m.job.KeepLength, m.job.KeepWidth
	if kl <= 0 || kw <= 0 {
		return false
	}
	return l >= kl && w >= kw || !m.job.Grain && w >= kl && l >= kw
}
