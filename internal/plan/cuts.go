package plan

// Cuts counts the cuts that part a rectangle and its parts; nil has none. A
// part that reaches to the far edge needs no cut there.
func (p *Part) Cuts() int64 {
	if p == nil {
		return 0
	}
	n := int64(0)
	for _, q := range p.Parts {
		if p.Cut == AlongLength && q.Y+q.Width < p.Y+p.Width || p.Cut == AlongWidth && q.X+q.Length < p.X+p.Length {
			n++
		}
		n += q.Cuts()
	}
	return n
}
