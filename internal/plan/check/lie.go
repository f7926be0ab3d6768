package check

import (
	"math"
	"slices"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/section"
)

// How a piece may lie in a bar is derived from the outline of its section. Seen along
// the bar a turn of the piece is a turn or a reflection of that outline: of all eight
// that bring the sides of a rectangle onto lines along them, those are possible which
// bring the outline onto itself. After a reflection the piece has been turned end for
// end, since it is not its own mirror image. Sections are seen in the box around them,
// the larger size upright: u runs across, v up.

// lie is one way in which a piece may lie: what it is called in a plan, and where
// every corner of the box comes to lie.
type lie struct {
	turned, rolled bool
	onto           [4]int
}

// boxCorners are the corners of the box, from its middle, in halves of its sizes.
var boxCorners = [4][2]int{{-1, -1}, {-1, 1}, {1, -1}, {1, 1}}

// image is a turn or a reflection: where u and v come to lie.
type image struct{ u, v [2]int }

func (i image) of(x, y int64) [2]int64 {
	return [2]int64{int64(i.u[0])*x + int64(i.v[0])*y, int64(i.u[1])*x + int64(i.v[1])*y}
}

// reflects is true of reflections.
func (i image) reflects() bool { return i.u[0]*i.v[1]-i.u[1]*i.v[0] < 0 }

// outline lists the corners of a section from the middle of its box, in halves of a
// unit, without radii.
func outline(s section.Section) [][2]int64 {
	w, h, t := int64(s.OuterWidth()), int64(s.OuterHeight()), int64(s.Thickness)
	corners := [][2]int64{{0, 0}, {w, 0}, {w, h}, {0, h}}
	switch s.Shape {
	case section.Angle:
		corners = [][2]int64{{0, 0}, {w, 0}, {w, t}, {t, t}, {t, h}, {0, h}}
	case section.Channel:
		f := int64(s.Flange)
		corners = [][2]int64{{0, 0}, {w, 0}, {w, f}, {t, f}, {t, h - f}, {w, h - f}, {w, h}, {0, h}}
	}
	for i, c := range corners {
		corners[i] = [2]int64{2*c[0] - w, 2*c[1] - h}
	}
	return corners
}

// keeps says that an image of the outline is the outline.
func (i image) keeps(outline [][2]int64) bool {
	return !slices.ContainsFunc(outline, func(c [2]int64) bool { return !slices.Contains(outline, i.of(c[0], c[1])) })
}

// keepsGood says that the good side stays the side that it is: where all sides are
// the same the upper one, since mitres are laid on it and slant across; else the left
// one, a wide side, the back of a web.
func (i image) keepsGood(s section.Section) bool {
	if s.EqualFaces() {
		return i.v == [2]int{0, 1}
	}
	return i.u == [2]int{1, 0}
}

// lies lists how pieces may lie, first as listed; only so where nothing is shared.
func (a *audit) lies(m *material) []lie {
	list := []lie{{onto: [4]int{0, 1, 2, 3}}}
	if !a.nests(m) {
		return list
	}
	s := m.job.Section
	shape := outline(s)
	for _, u := range [][2]int{{1, 0}, {-1, 0}, {0, 1}, {0, -1}} {
		for _, v := range [][2]int{{u[1], u[0]}, {-u[1], -u[0]}} {
			i := image{u, v}
			along := u[1] != 0
			switch {
			case u == [2]int{1, 0} && v == [2]int{0, 1}: // as listed
			case !i.keeps(shape) || m.job.GoodSide && !i.keepsGood(s):
			case along && s.EqualFaces(): // mitres then slant another way than those of all others
			default:
				l := lie{turned: i.reflects(), rolled: u[0]+u[1] < 0}
				for n, c := range boxCorners {
					to := i.of(int64(c[0]), int64(c[1]))
					l.onto[n] = slices.Index(boxCorners[:], [2]int{int(to[0]), int(to[1])})
				}
				list = append(list, l)
			}
		}
	}
	return list
}

// lying is the way of that name, and whether a piece may lie so.
func (a *audit) lying(m *material, turned, rolled bool) (lie, bool) {
	list := a.lies(m)
	i := slices.IndexFunc(list, func(how lie) bool { return how.turned == turned && how.rolled == rolled })
	if i < 0 {
		return list[0], false
	}
	return list[i], true
}

// turns reports whether pieces may lie with their ends exchanged.
func (a *audit) turns(m *material) bool {
	return slices.ContainsFunc(a.lies(m), func(how lie) bool { return how.turned })
}

// slant is how far an end of an angle reaches in from its tip across a face,
// rounded down to the unit: width times tangent. The millionth keeps an exact
// value, such as the width itself at 45°, from losing a unit to the float.
func slant(face length.Length, angle int64) length.Length {
	tan := math.Tan(math.Abs(float64(angle)) * math.Pi / 180_000)
	return length.Length(math.Floor(float64(face)*tan + 1e-6))
}

// mitre is one end as it lies: the bar that its cut uses, and how far it reaches
// in from the tip at every corner of the box.
type mitre struct {
	cut   length.Length
	reach [4]length.Length
}

// slope is what is the same of an end and those that it may share a cut with.
type slope struct {
	in    length.Length
	along bool // it slants along v
}

func (e mitre) slope() slope {
	return slope{max(e.reach[0], e.reach[1], e.reach[2], e.reach[3]), e.reach[0] != e.reach[1]}
}

// mitres are the ends of a piece, left and right, as it lies. A positive angle has
// its tip at low u or v, by the side that it is laid on.
func (m *material) mitres(p *job.Piece, how lie) (left, right mitre) {
	end := func(angle int64, face section.Face) mitre {
		e := mitre{cut: cutLength(m.process.Kerf, angle)}
		in := slant(m.job.Section.Across(face), angle)
		for n, c := range boxCorners {
			at := c[0]
			if face == section.Wide {
				at = c[1]
			}
			if at > 0 == (angle > 0) {
				e.reach[how.onto[n]] = in
			}
		}
		return e
	}
	left, right = end(p.Left, p.LeftFace), end(p.Right, p.RightFace)
	if how.turned {
		left, right = right, left
	}
	return left, right
}

// apart is the least distance from a right tip to the left tip of the next piece
// at which every corner keeps the wider cut.
func apart(right, left mitre) length.Length {
	over := right.reach[0] + left.reach[0]
	for n := range boxCorners {
		over = min(over, right.reach[n]+left.reach[n])
	}
	return max(right.cut, left.cut) - over
}
