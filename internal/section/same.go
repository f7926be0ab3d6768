package section

// Same reports whether two sections are one thing, whichever way each is
// written: all sizes equal to 25 nm and the corners stated alike. So 1 in square
// tube is also one of 25.4 mm, and never one of 25 mm.
func (s Section) Same(t Section) bool {
	s.Unit, s.Canonical, s.Gauge, s.Nominal = t.Unit, t.Canonical, t.Gauge, t.Nominal
	return s == t
}
