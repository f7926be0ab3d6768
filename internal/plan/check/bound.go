package check

// bound is replaced below.
func (a *audit) bound(m *material) {}
