package report

import (
	"sawbill/internal/job"
	"sawbill/internal/plan"
)

// purchase is one line of the buy list with the material it buys.
type purchase struct {
	plan.Line
	material plan.Material
	from     int64  // the quantity that its price needs; 0 when it has one price
	rack     string // the piece of the rack that it is; "" where it is none
}

// bought lists what is bought from a supplier, in the plan's order.
func bought(p *plan.Plan, supplier string) []purchase {
	var out []purchase
	for _, m := range p.Materials {
		for _, l := range m.Buy {
			if l.Supplier == supplier {
				out = append(out, purchase{Line: l, material: m})
			}
		}
	}
	return out
}

// pattern is a run of layouts that are cut alike.
type pattern struct {
	plan.Layout
	// Numbers of the layouts, in cutting order.
	Numbers []int
}

// patterns groups a material's layouts; supplier, unless empty, chooses whose
// stock.
func patterns(m plan.Material, supplier string) []pattern {
	var out []pattern
	place := map[int]int{}
	for _, l := range m.Layouts {
		if supplier != "" && l.Stock.Supplier != supplier {
			continue
		}
		i, met := place[l.Pattern]
		if !met {
			i = len(out)
			place[l.Pattern] = i
			out = append(out, pattern{Layout: l})
		}
		out[i].Numbers = append(out[i].Numbers, l.Number)
	}
	return out
}

// lists finds what the job says of marks and materials.
type lists struct {
	pieces    map[string]job.Piece
	panels    map[string]job.Panel
	materials map[string]job.Material
	processes map[string]job.Process // by the material's key
}

func listsOf(j *job.Job) lists {
	l := lists{map[string]job.Piece{}, map[string]job.Panel{}, map[string]job.Material{}, map[string]job.Process{}}
	for _, m := range j.Materials {
		l.materials[m.Key] = m
		if m.Process >= 0 && m.Process < len(j.Processes) {
			l.processes[m.Key] = j.Processes[m.Process]
		}
	}
	for _, p := range j.Pieces {
		l.pieces[p.Mark] = p
	}
	for _, p := range j.Panels {
		l.panels[p.Mark] = p
	}
	return l
}
