package nest2d

import "fmt"

// A shear's blade is as long as the longest cut it makes. A part with a side longer
// than that can only be cut across this side. So where the usable sheet is too long
// along one axis, its first cuts part it along that axis; what they cut off is a panel
// as wide as the sheet, or it is short enough for any cut, and everything in it too.
// Where the sheet is too long along both axes, nothing can be cut from it.

// shorten works out what the blade leaves of a kind.
func (k *kind) shorten(p Problem, s Sheet) {
	if s.Blade == 0 || p.Free || s.window {
		return
	}
	k.most = s.Blade + s.Kerf
	for axis := range 2 {
		if k.usable[axis] <= k.most {
			continue
		}
		if k.bladed >= 0 {
			k.most = 0 // along both
		}
		k.bladed, k.first = axis, cutOf(axis)
	}
}

// cuttable tells whether a panel of some size, grown, is cut off the sheet by cuts
// that the blade makes.
func (k *kind) cuttable(s size) bool {
	switch {
	case k.bladed < 0:
		return true
	case k.most == 0:
		return s == k.usable
	}
	return s[k.bladed] <= k.most || s[1-k.bladed] == k.usable[1-k.bladed]
}

// tooLong tells that a part of some size, split along an axis, cannot be cut so.
func (k *kind) tooLong(axis int, s size) bool {
	return k.bladed >= 0 && axis != k.bladed && s[k.bladed] > k.most
}

// checkBlade refuses what the blade contradicts.
func (p Problem) checkBlade(k int) error {
	s := p.Sheets[k]
	if s.Blade == 0 || p.Free {
		return nil
	}
	long, wide := s.Length-s.TrimLeft-s.TrimRight, s.Width-s.TrimBottom-s.TrimTop
	switch {
	case s.TrimBottom+s.TrimTop > 0 && s.Length > s.Blade:
		return fmt.Errorf("sheet %d is to be trimmed along its length of %d and the blade is %d long: give no trims there, or a longer blade", k, s.Length, s.Blade)
	case s.TrimLeft+s.TrimRight > 0 && s.Width > s.Blade:
		return fmt.Errorf("sheet %d is to be trimmed along its width of %d and the blade is %d long: give no trims there, or a longer blade", k, s.Width, s.Blade)
	case p.FirstCut == AlongLength && long > s.Blade:
		return fmt.Errorf("the first cut is to run along the length of sheet %d, %d, and the blade is %d long: let it run along the width, or give a longer blade", k, long, s.Blade)
	case p.FirstCut == AlongWidth && wide > s.Blade:
		return fmt.Errorf("the first cut is to run along the width of sheet %d, %d, and the blade is %d long: let it run along the length, or give a longer blade", k, wide, s.Blade)
	}
	return nil
}
