package nest1d

// meter counts the work of a run. Searches stop when their allowance is used
// up, never by the clock, so that a run can be repeated.
type meter struct {
	Work
	// ticks are nodes and, weighted by size, simplex iterations.
	ticks, budget int64
}

func (m *meter) count(nodes int64) {
	m.Nodes += nodes
	m.ticks += nodes
}

// iterate counts simplex iterations on a programme of such a size.
func (m *meter) iterate(n, rows, columns int) {
	m.ticks += int64(n) * int64(rows+columns/3+50)
}

// scan counts a pass over a pool of patterns.
func (m *meter) scan(patterns int) { m.ticks += int64(patterns) / 8 }

// allow starts a new allowance.
func (m *meter) allow(ticks int64) { m.budget = m.ticks + ticks }

func (m *meter) spent() bool { return m.ticks > m.budget }

// limits of the stages of a run.
type limits struct {
	build    int64 // nodes of the first plans
	root     int64 // ticks of column generation at the root
	dives    int64 // ticks of all dives
	diving   int   // number of dives
	cutting  int64 // ticks of the programme with cuts
	patterns int   // patterns listed for the closing search
	listing  int64 // nodes of that listing
	closing  int64 // ticks of the closing search
	polish   int64 // ticks of the goals after cost
}

func (e Effort) limits() limits {
	switch e {
	case Quick:
		return limits{build: 5e6, root: 20e6, dives: 5e6, diving: 1, patterns: 20_000, listing: 500e3, closing: 5e6, polish: 1e6}
	case Long:
		return limits{build: 500e6, root: 20e9, dives: 2e9, diving: 100, cutting: 5e9, patterns: 2_000_000, listing: 100e6, closing: 3e9, polish: 100e6}
	}
	return limits{build: 30e6, root: 400e6, dives: 60e6, diving: 24, cutting: 200e6, patterns: 400_000, listing: 10e6, closing: 40e6, polish: 5e6}
}

// seedKinds is the number of kinds of bars up to which all get bars full of one item,
// and beyond which there are many.
const seedKinds = 12

// ofManyKinds are limits for many kinds of bars: each has a row in every linear
// programme, and what counts as much takes several times as long.
func (l limits) ofManyKinds() limits {
	l.dives, l.closing, l.cutting = l.dives/3, l.closing/4, l.cutting/16
	return l
}
