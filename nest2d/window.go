package nest2d

import (
	"cmp"
	"fmt"
	"slices"
)

// Windows
//
// A panel with a large opening can host others: what lies in the opening takes
// nothing of the sheet. Such a window is a kind of sheet that costs nothing and
// of which there are as many as there are hosts; a hosted panel may host again,
// and none comes to lie in itself, for it is larger than its window. When a plan
// is found, the layouts of windows are put into hosts, in whatever order these
// come: every host is placed, the largest for certain, and so are in turn the
// smaller ones in its windows.
//
// A host that is turned turns what it hosts. So a panel that may not be turned
// lies only in hosts that may not either, or fit nowhere turned.

// A Window is a rectangle inside a panel, its lower left corner at X, Y of the
// unturned panel, in which other panels may lie, a spacing apart. What space is
// to be kept to its edges the caller has taken off already. Windows of a panel
// are a spacing apart; the spacing in them is the largest of all sheets.
type Window struct {
	Panel               int
	X, Y, Length, Width int64
	// AnyTurn says that panels lie either way in it, whether they may be turned or
	// not, as some might where the panel around them is turned: a problem with such
	// windows tells what no plan can beat, and its layouts need not be any.
	AnyTurn bool
}

func (w Window) space() space { return space{size{w.X, w.Y}, size{w.Length, w.Width}} }

// opened are the sheets, and after them all windows as sheets.
func (p Problem) opened() []Sheet {
	sheets, spacing := slices.Clip(p.Sheets), p.spacing()
	for _, w := range p.Windows {
		a := p.Panels[w.Panel]
		sheets = append(sheets, Sheet{
			Length: w.Length, Width: w.Width, Kerf: spacing, Supply: a.Demand, window: true, turns: a.Turn || w.AnyTurn, turned: p.turned(a), free: w.AnyTurn,
		})
	}
	return sheets
}

// turned says that a panel may be turned and fits a sheet so, or any window.
func (p Problem) turned(a Panel) bool {
	for _, s := range p.Sheets {
		if a.Turn && a.Width <= s.Length-s.TrimLeft-s.TrimRight && a.Length <= s.Width-s.TrimBottom-s.TrimTop {
			return true
		}
	}
	return a.Turn && slices.ContainsFunc(p.Windows, func(w Window) bool {
		return min(a.Length, a.Width) <= min(w.Length, w.Width) && max(a.Length, a.Width) <= max(w.Length, w.Width)
	})
}

// spacing is that in windows.
func (p Problem) spacing() int64 {
	most := int64(0)
	for _, s := range p.Sheets {
		most = max(most, s.Kerf)
	}
	return most
}

// checkWindows refuses windows that cannot be.
func (p Problem) checkWindows() error {
	if len(p.Windows) > 0 && !p.Free {
		return fmt.Errorf("panels have windows, but placement is not free: leave them out, or set Free")
	}
	for i, w := range p.Windows {
		if w.Panel < 0 || w.Panel >= len(p.Panels) {
			return fmt.Errorf("window %d is in panel %d, of %d: give the index of a panel", i, w.Panel, len(p.Panels))
		}
		a := p.Panels[w.Panel]
		if w.X < 0 || w.Y < 0 || w.Length <= 0 || w.Width <= 0 || w.Length > MaxLength || w.Width > MaxLength ||
			w.X >= a.Length-w.Length || w.Y >= a.Width-w.Width {
			return fmt.Errorf("window %d measures %d × %d at %d, %d: it must be inside its panel of %d × %d", i, w.Length, w.Width, w.X, w.Y, a.Length, a.Width)
		}
	}
	return nil
}

// crossed refuses windows of a panel that are too close to each other.
func (p Problem) crossed() error {
	spacing := p.spacing()
	grown := func(w Window) space { return space{size{w.X, w.Y}, size{w.Length + spacing, w.Width + spacing}} }
	for i, w := range p.Windows {
		for j, v := range p.Windows[:i] {
			if v.Panel == w.Panel && grown(v).overlaps(grown(w)) {
				return fmt.Errorf("windows %d and %d are closer than the spacing: make them one, or smaller", j, i)
			}
		}
	}
	return nil
}

// bought is the number of kinds that are sheets; those after are windows.
func (m *model) bought() int { return len(m.kinds) - len(m.problem.Windows) }

// hosted puts the layouts of windows into those of the sheets.
func (m *model) hosted(list []Layout) []Layout {
	if len(m.problem.Windows) == 0 {
		return list
	}
	inside := make([][]Layout, len(m.problem.Windows))
	for _, l := range list {
		if w := l.Sheet - m.bought(); w >= 0 {
			inside[w] = append(inside[w], l)
		}
	}
	var out []Layout
	known := map[string]int{}
	for _, l := range list {
		if l.Sheet >= m.bought() {
			break // they are sorted by sheet
		}
		for range l.Count {
			one := m.filled(l, inside)
			key := describe(one)
			if i, ok := known[key]; ok {
				out[i].Count++
				continue
			}
			known[key] = len(out)
			out = append(out, one)
		}
	}
	slices.SortStableFunc(out, func(a, b Layout) int {
		return cmp.Or(cmp.Compare(a.Sheet, b.Sheet), cmp.Compare(b.Count, a.Count))
	})
	return out
}

// filled is one sheet of a layout with windows filled by what is left for them.
func (m *model) filled(l Layout, inside [][]Layout) Layout {
	one := Layout{Sheet: l.Sheet, Count: 1, Places: slices.Clone(l.Places)}
	for at := 0; at < len(one.Places); at++ {
		for w, window := range m.problem.Windows {
			if window.Panel != one.Places[at].Panel || len(inside[w]) == 0 {
				continue
			}
			first := &inside[w][0]
			for _, p := range first.Places {
				one.Places = append(one.Places, m.within(at, one.Places[at], window, p))
			}
			if first.Count--; first.Count == 0 {
				inside[w] = inside[w][1:]
			}
		}
	}
	return one
}

// within is a place of a window on the sheet on which its host lies, as the
// place with the index at.
func (m *model) within(at int, host Place, w Window, p Place) Place {
	h := m.problem.Panels[host.Panel]
	r := m.problem.Panels[p.Panel].at(p)
	r.at[axisX], r.at[axisY] = w.X+r.at[axisX], w.Y+r.at[axisY]
	r = h.carried(host, r)
	return Place{Panel: p.Panel, X: r.at[axisX], Y: r.at[axisY], Turned: p.Turned != host.Turned, In: at + 1}
}

// at is the rectangle of a placed panel.
func (a Panel) at(p Place) space {
	if p.Turned {
		return space{size{p.X, p.Y}, size{a.Width, a.Length}}
	}
	return space{size{p.X, p.Y}, size{a.Length, a.Width}}
}

// carried is where a rectangle of a panel comes to lie when the panel is placed:
// turned is a quarter anticlockwise.
func (a Panel) carried(p Place, r space) space {
	if p.Turned {
		r.at = size{a.Width - r.at[axisY] - r.size[axisY], r.at[axisX]}
		r.size = size{r.size[axisY], r.size[axisX]}
	}
	r.at = size{p.X + r.at[axisX], p.Y + r.at[axisY]}
	return r
}

// checkHosted proves that a placed panel lies in a window of its host.
func (p Problem) checkHosted(l Layout, place int) error {
	at := l.Places[place]
	if at.In < 1 || at.In > len(l.Places) || at.In == place+1 {
		return fmt.Errorf("place %d is in place %d, which is none", place, at.In-1)
	}
	host := l.Places[at.In-1]
	if host.Panel < 0 || host.Panel >= len(p.Panels) {
		return fmt.Errorf("place %d has panel %d, which is none", at.In-1, host.Panel)
	}
	h, r := p.Panels[host.Panel], p.Panels[at.Panel].at(at)
	for _, w := range p.Windows {
		if w.Panel == host.Panel && h.carried(host, w.space()).contains(r) {
			return nil
		}
	}
	return fmt.Errorf("panel %d is in no window of panel %d", at.Panel, host.Panel)
}
