package check

import (
	"encoding/binary"
	"math/bits"
)

// Whether panels that lie freely fit one sheet is settled by placing them in
// corners. Of rectangles side by side one can always be named with no other to its
// left below, or partly so: begin with that one, and again of the rest. Pushed left
// and down as far as those placed before allow, each comes to lie in a corner of
// the stairs that these make from the upper left to the lower right: the line above
// which nothing placed reaches to the right of it. So it is enough to try all
// corners with all panels (Scheithauer 1997; Martello, Pisinger and Vigo 2000, whose
// corner points these are; for rectangles they leave out no placement). What lies
// below the stairs and is covered by nothing is lost, which ends most trials soon.
//
// G. Scheithauer, "Equivalence and dominance for problems of optimal packing of
// rectangles", Ricerca Operativa 27 (1997) 3–34; S. Martello, D. Pisinger & D. Vigo,
// "The three-dimensional bin packing problem", Operations Research 48 (2000) 256–267.

// cornerEffort is how many panels may be put in corners for one material.
const cornerEffort = 4_000_000

// stairs are the upper right corners of steps, from left to right; each is lower
// than the one before.
type stairs []extent

// corners tries panels, given by the ways in which each may lie, on a sheet.
type corners struct {
	sheet  extent
	poses  [][]extent
	effort *int64
	failed map[string]bool
}

// longestSide keeps areas in 64 bits.
const longestSide = 1 << 31

// lies answers whether the set fits the sheet; unknown when the effort ran out.
func (c *corners) lies(set int) answer {
	c.failed = map[string]bool{}
	if max(c.sheet[alongX], c.sheet[alongY]) > longestSide {
		return unknown
	}
	return c.place(set, nil, c.sheet[alongX]*c.sheet[alongY])
}

// place answers for the rest of a set above stairs, when so much of the sheet is
// left above them.
func (c *corners) place(rest int, s stairs, left int64) answer {
	if rest == 0 {
		return yes
	}
	for i, poses := range c.poses {
		if rest>>i&1 == 1 {
			if len(poses) == 0 {
				return no
			}
			left -= poses[0][alongX] * poses[0][alongY]
		}
	}
	if left < 0 {
		return no
	}
	key := s.key(rest)
	if c.failed[key] {
		return no
	}
	for i, poses := range c.poses {
		if rest>>i&1 == 0 || c.alike(rest&(1<<i-1), i) {
			continue
		}
		for _, e := range poses {
			for k := range len(s) + 1 {
				*c.effort--
				if *c.effort < 0 {
					return unknown
				}
				at := s.corner(k)
				if at[alongX]+e[alongX] > c.sheet[alongX] || at[alongY]+e[alongY] > c.sheet[alongY] {
					continue
				}
				next := s.with(k, e)
				if v := c.place(rest&^(1<<i), next, c.sheet[alongX]*c.sheet[alongY]-next.area()); v != no {
					return v
				}
			}
		}
	}
	c.failed[key] = true
	return no
}

// alike reports whether one of a set may lie just as panel i.
func (c *corners) alike(set, i int) bool {
	for ; set > 0; set &= set - 1 {
		o := c.poses[bits.TrailingZeros(uint(set))]
		if len(o) == len(c.poses[i]) && o[0] == c.poses[i][0] {
			return true
		}
	}
	return false
}

// corner is the k-th place where a panel can go no further left or down.
func (s stairs) corner(k int) (at extent) {
	if k > 0 {
		at[alongX] = s[k-1][alongX]
	}
	if k < len(s) {
		at[alongY] = s[k][alongY]
	}
	return at
}

// with are the stairs with a panel in the k-th corner.
func (s stairs) with(k int, e extent) stairs {
	at := s.corner(k)
	step := extent{at[alongX] + e[alongX], at[alongY] + e[alongY]}
	from, to := k, k
	for from > 0 && s[from-1][alongY] <= step[alongY] {
		from--
	}
	for to < len(s) && s[to][alongX] <= step[alongX] {
		to++
	}
	next := append(append(make(stairs, 0, len(s)+1), s[:from]...), step)
	return append(next, s[to:]...)
}

// area below the stairs.
func (s stairs) area() int64 {
	var sum, left int64
	for _, e := range s {
		sum += (e[alongX] - left) * e[alongY]
		left = e[alongX]
	}
	return sum
}

func (s stairs) key(rest int) string {
	b := binary.AppendVarint(nil, int64(rest))
	for _, e := range s {
		b = binary.AppendVarint(binary.AppendVarint(b, e[alongX]), e[alongY])
	}
	return string(b)
}
