package plan

// Cuts counts the cuts that part a rectangle and its parts; nil has none. A
// part that reaches to the far edge needs no cut there.
func (p *Part) Cuts() int64 { return p.cuts(func(*Part) bool { return true }) }

// cuts counts those of parts that answer true.
func (p *Part) cuts(counted func(*Part) bool) int64 {
	if p == nil {
		return 0
	}
	n := int64(0)
	for _, q := range p.Parts {
		if counted(p) && (p.Cut == AlongLength && q.Y+q.Width < p.Y+p.Width || p.Cut == AlongWidth && q.X+q.Length < p.X+p.Length) {
			n++
		}
		n += q.cuts(counted)
	}
	return n
}

// Trims counts the edges of a sheet that are cut off before its cut tree begins.
func (l *Layout) Trims() int64 {
	t, n := l.Tree, int64(0)
	if t == nil {
		return 0
	}
	for _, cut := range []bool{t.X > 0, t.Y > 0, t.X+t.Length < l.Stock.Length, t.Y+t.Width < l.Stock.Width} {
		if cut {
			n++
		}
	}
	return n
}

// YardCuts counts the cuts that the supplier makes so that a bar or sheet can be
// carried.
func (l *Layout) YardCuts() int64 {
	n := int64(len(l.FirstCuts)) + l.Tree.cuts(func(p *Part) bool { return p.AtYard })
	if l.TrimsAtYard {
		n += l.Trims()
	}
	return n
}
