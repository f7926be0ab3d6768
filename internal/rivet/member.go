package rivet

// Rows that share a member, though not a panel.

// A Skin is one of two that meet on a face of a member: its row there, with its
// offset seen along the member, and how far the skin reaches from it towards the
// other.
type Skin struct {
	Row  Row
	Edge int64
}

// Meeting checks two skins that meet on one face, their offsets seen the same
// way along it. What concerns one row alone is checked by Lay. Findings are
// of row 0 or 1.
func Meeting(a, b Skin) []Finding {
	var out []Finding
	apart := max(a.Row.Offset-b.Row.Offset, b.Row.Offset-a.Row.Offset)
	da, db := a.Row.Rivet.Diameter, b.Row.Rivet.Diameter
	gap := apart - a.Edge - b.Edge
	if gap < 0 {
		out = append(out, finding(Refuse, 1, "the skins overlap by %s on the member, as their rows are %s apart and %s and %s from their edges: cut the skins back or move the rows", length(-gap), length(apart), length(a.Edge), length(b.Edge)))
	}
	if least := leastSpacing(max(da, db)); apart < least {
		out = append(out, finding(Refuse, 1, "the rows of both skins are %s apart, under 2.5 diameters: give %s or more", length(apart), length(least)))
	}
	face := max(a.Row.Member.Face, b.Row.Member.Face)
	if need := Lap(da, 1) + Lap(db, 1) + max(gap, 0); face > 0 && face < need {
		out = append(out, finding(Warn, 1, "a face of %s is narrow for two skins that meet: 2 diameters to every edge take %s", length(face), length(need)))
	}
	return out
}

// A Blind is a row of blind rivets seen in the member: where each is along it,
// how far the row is from the outside of the adjacent face, and how far the
// rivet reaches into the member from its outside (Reach).
type Blind struct {
	Along                 []int64
	Edge, Diameter, Reach int64
}

// Reach is how far a rivet of a body length reaches into a member from the
// outside of the wall, before it is set. The mandrel's head is taken to stand
// out of the body by a diameter. Common practice, no source.
func Reach(body, grip, wall, diameter int64) int64 { return body - grip + wall + diameter }

// Adjacent finds the rivets of two rows on adjacent faces of one member whose
// blind ends, 1.5 D wide, would be in each other's way: indices into Along of
// either. Row Between helps where there are any. O(n·m).
func Adjacent(a, b Blind) [][2]int {
	wide := blindHead(a.Diameter) + blindHead(b.Diameter)
	if a.Edge-blindHead(a.Diameter) >= b.Reach || b.Edge-blindHead(b.Diameter) >= a.Reach {
		return nil
	}
	var out [][2]int
	for i, s := range a.Along {
		for k, t := range b.Along {
			if s-t < wide && t-s < wide {
				out = append(out, [2]int{i, k})
			}
		}
	}
	return out
}
