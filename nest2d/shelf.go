package nest2d

// A shelf keeps the layouts that a search has seen, each set of panels once.
type shelf struct {
	boards []*board
	known  map[uint64]struct{}
	nodes  int // of all boards
}

// A shelf is full when one of these is reached.
const (
	mostShelved      = 30_000
	mostShelvedNodes = 600_000
)

// keep puts a board on the shelf. It must not change any more.
func (f *shelf) keep(b *board) {
	if len(f.boards) >= mostShelved || f.nodes >= mostShelvedNodes || b.empty() {
		return
	}
	key := b.contents()
	if _, ok := f.known[key]; ok {
		return
	}
	if f.known == nil {
		f.known = map[uint64]struct{}{}
	}
	f.known[key] = struct{}{}
	b.kept = true
	f.boards = append(f.boards, b)
	f.nodes += len(b.nodes)
}

// contents is a number that names the kind of the board and the panels on it,
// in any order; two boards hardly ever share it by chance, and if so one of
// them is lost.
func (b *board) contents() uint64 {
	sum := mixed(uint64(b.kind))
	for panel := range b.each {
		sum += mixed(uint64(panel) + 1<<32)
	}
	return sum
}

// mixed spreads a number over all bits (SplitMix64: Steele, Lea & Flood 2014,
// "Fast splittable pseudorandom number generators", OOPSLA 2014, 453–472).
func mixed(x uint64) uint64 {
	x += 0x9e3779b97f4a7c15
	x = (x ^ x>>30) * 0xbf58476d1ce4e5b9
	x = (x ^ x>>27) * 0x94d049bb133111eb
	return x ^ x>>31
}

// keep puts the boards changed in this iteration on the shelf, if there is one.
func (s *search) keep(d *draft) {
	if s.shelf == nil {
		return
	}
	for i, b := range d.boards {
		if s.fresh[i] {
			s.shelf.keep(b)
		}
	}
}
