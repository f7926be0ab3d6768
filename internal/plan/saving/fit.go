package saving

import (
	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
)

// mostSideBySide is how many of one side are looked for in a row.
const mostSideBySide = 50

// fit finds of which bar or sheet that is bought one more goes into the length,
// now that a side is shorter; nil when of none. Of several it is the one where
// the fewest do.
func fit(old, new *job.Job, p *plan.Plan, s job.Side) *Fit {
	was, mi := extent(old, s)
	is, _ := extent(new, s)
	process := new.Processes[new.Materials[mi].Process]
	var best *Fit
	look := func(of, room length.Length) {
		for n := int64(1); n <= mostSideBySide; n++ {
			share := (room - length.Length(n-1)*process.Kerf) / length.Length(n)
			if was > share && is <= share && (best == nil || n < best.Count) {
				best = &Fit{Count: n, Of: of, Bar: s.Of == job.PieceLength}
			}
		}
	}
	for _, m := range p.Materials {
		if m.Key != new.Materials[mi].Key {
			continue
		}
		for _, l := range m.Buy {
			if l.Width == 0 {
				look(l.Length, l.Length-process.TrimLeft-process.TrimRight-process.Tail)
				continue
			}
			along, across := s.Of == job.PanelLength, s.Of == job.PanelWidth
			if turns(new, s.Mark) {
				along, across = true, true
			}
			if along {
				look(l.Length, l.Length-process.TrimLeft-process.TrimRight)
			}
			if across {
				look(l.Width, l.Width-process.TrimBottom-process.TrimTop)
			}
		}
	}
	return best
}

// extent is how long a side is, and its material.
func extent(j *job.Job, s job.Side) (length.Length, int) {
	if s.Of == job.PieceLength {
		for _, p := range j.Pieces {
			if p.Mark == s.Mark {
				return p.Length, p.Material
			}
		}
	}
	for _, p := range j.Panels {
		switch {
		case p.Mark != s.Mark:
		case s.Of == job.PanelLength:
			return p.Length, p.Material
		default:
			return p.Width, p.Material
		}
	}
	return 0, 0
}

func turns(j *job.Job, mark string) bool {
	for _, p := range j.Panels {
		if p.Mark == mark {
			return p.Turn && !j.Materials[p.Material].Grain
		}
	}
	return false
}
