package rivet

import "slices"

// spaces is the number of equal spaces of a length that are no wider than the
// pitch and, before that, no narrower than the least. 0 is a single hole.
func spaces(length, pitch, least int64) int64 {
	return min((length+pitch-1)/pitch, length/least)
}

// places are the ends of n equal spaces of a stretch, to the nearest unit, seen
// from the nearer end: a stretch and its mirror have the same. With n 0 it is
// the middle.
func (s stretch) places(n int64) []int64 {
	if n == 0 {
		return []int64{s.from + (s.to-s.from)/2}
	}
	out := make([]int64, n+1)
	for k := range out {
		if k := int64(k); 2*k <= n {
			out[k] = s.from + scaled(s.to-s.from, k, n)
		} else {
			out[k] = s.to - scaled(s.to-s.from, n-k, n)
		}
	}
	return out
}

// apart shortens neighbouring stretches, both alike, so that none is nearer to
// the next than the least pitch; one of which nothing is left is left out.
func apart(stretches []stretch, least int64) []stretch {
	cut := slices.Clone(stretches)
	for i := 1; i < len(cut); i++ {
		if lack := least - (stretches[i].from - stretches[i-1].to); lack > 0 {
			cut[i-1].to -= (lack + 1) / 2
			cut[i].from += (lack + 1) / 2
		}
	}
	return slices.DeleteFunc(cut, func(s stretch) bool { return s.from > s.to })
}

// A run is a series of holes of one pitch.
type run []int64

// equal lays holes on the free stretches of a line: with one pitch if that
// misses the blocks and takes no more holes than stretch by stretch. No two
// holes are nearer to each other than the least pitch.
func equal(stretches []stretch, blocks []block, pitch, least int64) []run {
	if len(stretches) == 0 {
		return nil
	}
	var parts []run
	count := int64(0)
	for _, s := range apart(stretches, least) {
		parts = append(parts, s.places(spaces(s.to-s.from, pitch, least)))
		count += int64(len(parts[len(parts)-1]))
	}
	if len(parts) == 1 {
		return parts
	}
	whole := stretch{stretches[0].from, stretches[len(stretches)-1].to}
	for n := spaces(whole.to-whole.from, pitch, least); n >= 1 && n < count && n*least <= whole.to-whole.from; n++ {
		if one := whole.places(n); misses(one, blocks) {
			return []run{one}
		}
	}
	return parts
}

func misses(places []int64, blocks []block) bool {
	for _, t := range places {
		if !clear(t, blocks) {
			return false
		}
	}
	return true
}
