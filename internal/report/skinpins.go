package report

import (
	"fmt"
	"slices"
	"strings"

	"sawbill/internal/job"
	"sawbill/internal/length"
)

// Skin pins hold a panel on its members while it is drilled and riveted: one in
// every fourth hole of a row and at either end. Common practice, no source.

// pins are those of one size of hole.
type pins struct {
	hole  length.Length
	count int64
}

const holesPerPin = 4

// pinsFor are the skin pins that a panel takes at once, the smallest first.
func pinsFor(p job.Panel) []pins {
	if p.Form == nil {
		return nil
	}
	var list []pins
	next := len(p.Form.Holes)
	for _, row := range p.Form.Rows {
		for _, l := range row.Laid {
			n := len(l.Holes)
			if n == 0 || next >= len(p.Form.Shape.Holes) {
				continue
			}
			hole := length.Length(p.Form.Shape.Holes[next].Diameter)
			next += n
			i := slices.IndexFunc(list, func(q pins) bool { return q.hole == hole })
			if i < 0 {
				i = len(list)
				list = append(list, pins{hole: hole})
			}
			list[i].count += int64((n+holesPerPin-2)/holesPerPin + 1)
		}
	}
	slices.SortFunc(list, func(a, b pins) int { return int(a.hole - b.hole) })
	return list
}

// skinPins says how many the panel takes that takes most.
func (s style) skinPins(j *job.Job) string {
	most := map[length.Length]pins{}
	marks := map[length.Length]string{}
	var holes []length.Length
	for _, p := range j.Panels {
		for _, n := range pinsFor(p) {
			if _, known := most[n.hole]; !known {
				holes = append(holes, n.hole)
			}
			if n.count > most[n.hole].count {
				most[n.hole], marks[n.hole] = n, p.Mark
			}
		}
	}
	slices.Sort(holes)
	var texts []string
	for _, h := range holes {
		texts = append(texts, fmt.Sprintf("%d for holes of %s (%s)", most[h].count, s.unitOn(s.fastener(h)), marks[h]))
	}
	if len(texts) == 0 {
		return ""
	}
	return "Skin pins, one in every fourth hole and at both ends of a row, for the panel that takes most: " + strings.Join(texts, ", ") + ". They are used again for the next."
}
