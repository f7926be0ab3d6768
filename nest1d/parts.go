package nest1d

// A bar too long to be carried is cut into parts where it is bought:
//
//	|TrimLeft|pieces ... Tail|PartKerf|pieces ... Tail|PartKerf|pieces ... Tail|TrimRight|
//	|········ part 0 ········|        |··· part 1 ····|        |········ part 2 ·········|
//
// The parts are the whole bar less the first cuts, and none is longer than Part.
// Their lengths are free. The first part holds the left trim and the last one the
// right trim, pieces or not; ends made by first cuts need none. Each part is then
// a bar of its own by the rules in geometry.go, with the tail lost at its right
// end when it holds pieces.
//
// A content fits if it can be dealt out to the parts so that none needs more than
// Part and all together no more than there is: bin packing with a common limit.
// Lengths follow from that, since parts can be made longer as long as their sum
// asks for it.

// parted says that first cuts divide the bar.
func (s *Stock) parted() bool { return s.Part > 0 && s.Parts > 1 }

// partsLength is what the first cuts leave of the bar.
func (s *Stock) partsLength() int64 { return s.Length - int64(s.Parts-1)*s.PartKerf }

// part is the bar that part j makes when it is so long.
func (s *Stock) part(j int, length int64) Stock {
	p := Stock{Length: length, Tail: s.Tail, Kerf: s.Kerf}
	if j == 0 {
		p.TrimLeft = s.TrimLeft
	}
	if j == s.Parts-1 {
		p.TrimRight = s.TrimRight
	}
	return p
}

// cutParts lists the parts between the cuts with the places in each, counted
// from its left end; false when the cuts or the parts are not as they must be,
// or a place lies across a cut.
func (s *Stock) cutParts(pieces []Piece, places []Place, cuts []int64) (parts []Stock, held [][]Place, sound bool) {
	if len(cuts) != s.Parts-1 {
		return nil, nil, false
	}
	start := int64(0)
	for j := range s.Parts {
		end := s.Length
		if j < len(cuts) {
			end = cuts[j]
		}
		p := s.part(j, end-start)
		if p.Length < p.TrimLeft+p.TrimRight || p.Length > s.Part {
			return nil, nil, false
		}
		var in []Place
		for len(places) > 0 && places[0].At+pieces[places[0].Piece].Length <= end {
			in = append(in, places[0])
			in[len(in)-1].At -= start
			places = places[1:]
		}
		parts, held = append(parts, p), append(held, in)
		start = end + s.PartKerf
	}
	return parts, held, len(places) == 0
}

// ArrangeParts is Arrange for a bar that is parted, too: cuts are the left sides
// of the first cuts, ascending, none when it is not parted. The lengths of the
// parts are chosen so that the longest offcut is as long as it can be for the
// pieces that share a part. With many pieces of different lengths the search for
// a way to deal them out may end before one is found.
func (s Stock) ArrangeParts(pieces []Piece, content []int) (places []Place, cuts []int64, fits bool) {
	if !s.parted() {
		places, fits = s.Arrange(pieces, content)
		return places, nil, fits
	}
	lots := make([]lot, len(content))
	for i, p := range content {
		lots[i] = lot{p, 1}
	}
	d := newDeal(&s, pieces, lots)
	if fits, _ = d.solve(); !fits {
		return nil, nil, false
	}
	held := d.contents()
	arranged, length := make([][]Place, s.Parts), make([]int64, s.Parts)
	spare := s.partsLength()
	for j := range arranged {
		p := s.part(j, s.Part)
		arranged[j], fits = p.Arrange(pieces, held[j])
		length[j] = p.TrimLeft + p.TrimRight
		if n := len(arranged[j]); n > 0 {
			length[j] = p.End(pieces, arranged[j]) + p.TrimRight
			if p.Tail > 0 {
				length[j] += p.lastKerf(pieces, arranged[j]) + p.Tail
			}
		}
		if spare -= length[j]; !fits || spare < 0 {
			return nil, nil, false
		}
	}
	s.stretch(pieces, arranged, length, spare)
	start := int64(0)
	for j, in := range arranged {
		for _, p := range in {
			p.At += start
			places = append(places, p)
		}
		start += length[j]
		if j < s.Parts-1 {
			cuts = append(cuts, start)
			start += s.PartKerf
		}
	}
	return places, cuts, true
}

// stretch gives what is to spare to the parts, first to the one whose offcut
// becomes the longest, of equals to the one furthest right.
func (s *Stock) stretch(pieces []Piece, held [][]Place, length []int64, spare int64) {
	for spare > 0 {
		best, offcut := -1, int64(0)
		for j := range length {
			more := min(spare, s.Part-length[j])
			if more == 0 {
				continue
			}
			p := s.part(j, length[j]+more)
			if o := p.Offcut(pieces, held[j]); best < 0 || o >= offcut {
				best, offcut = j, o
			}
		}
		if best < 0 {
			return // check refuses such bars
		}
		more := min(spare, s.Part-length[best])
		length[best] += more
		spare -= more
	}
}
