package nest1d

// rowDuals are the duals of the programme with cuts in integers, in units of 1/scale.
type rowDuals struct {
	scale int64
	value []int64 // per item
	rent  []int64 // per bar; below 0 where more bars are wanted
	sigma []int64 // per cut
	gain  []int64 // per set; below 0 where fewer bars are allowed
}

// duals reads them, given those of the items. It is false when they are too large.
func (c *cutting) duals(value []float64) (*rowDuals, bool) {
	dual := c.s.lp.Dual(nil)
	sigma, gain, rent := make([]float64, len(c.cuts)), make([]float64, len(c.sets)), make([]float64, len(c.bars))
	var prices, weight float64
	for k, row := range c.rows {
		sigma[k] = max(0, -dual[row])
		weight += sigma[k] * float64(c.cuts[k].right+1)
	}
	for n, row := range c.setRow {
		s := c.decided.of(n) // the root has no sets
		switch v := dual[row]; {
		case v > 0 && s.least > 0:
			gain[n] = v
			weight += float64(v * float64(s.least+1))
		case v < 0 && s.most != Unlimited:
			gain[n] = v
			weight -= float64(v * float64(s.most+1))
		}
	}
	for b, row := range c.s.supplyOf {
		if row >= 0 {
			rent[b] = -dual[row]
		}
		prices = max(prices, float64(c.bars[b].price)+rent[b])
	}
	scale := scaleFor(value, c.need, prices+weight)
	if scale == 0 {
		return nil, false
	}
	d := &rowDuals{scale, floorAll(value, scale), floorAll(rent, scale), floorAll(sigma, scale), floorAll(gain, scale)}
	return d.with(c, d.value), true
}

// with are the duals with other values of the items, at least 1 for those of sets
// that give: knapsacks leave out what is worth nothing.
func (d *rowDuals) with(c *cutting, value []int64) *rowDuals {
	out := *d
	out.value = value
	for n, v := range d.gain {
		if v <= 0 {
			continue
		}
		for _, e := range c.sets[n].entries() {
			value[e.item] = max(1, value[e.item])
		}
	}
	return &out
}

// less is what the rows of cuts and sets take off what the pieces are worth.
func (d *rowDuals) less(c *cutting) (less int64, ok bool) {
	for k, v := range d.sigma {
		taken, ok := product(v, c.cuts[k].right)
		if less += taken; !ok || less > limit {
			return 0, false
		}
	}
	for n, v := range d.gain {
		switch s := c.decided.of(n); {
		case v > 0:
			given, ok := product(v, s.least)
			if less -= given; !ok || less < -limit {
				return 0, false
			}
		case v < 0:
			taken, ok := product(-v, s.most)
			if less += taken; !ok || less > limit {
				return 0, false
			}
		}
	}
	return less, true
}

// room is the knapsack of a bar in the node being searched, before cuts and sets
// count: of pieces, or of groups, whose members and places it then knows.
type room struct {
	*knapsack
	members [][]int32
	place   map[int32]int
}

func (c *cutting) room(b *bar, d *rowDuals, need []int64) room {
	if c.decided == nil {
		return room{knapsack: newKnapsack(b, d.value, need)}
	}
	k, members, place := c.decided.grouped(b, d.value, need)
	return room{k, members, place}
}

// penalised is a room as the cuts and sets change what it is worth.
func (c *cutting) penalised(k room, d *rowDuals) *penalised {
	p := newPenalised(k.knapsack, k.place, c.cuts, d.sigma)
	if c.decided != nil {
		p.members = k.members
		c.decided.exclude(p, k.place)
	}
	if len(c.sets) > 0 {
		p.withSets(k.place, c.sets, d.gain)
	}
	return p
}

// given is the most that sets bring a content.
func (d *rowDuals) given() int64 {
	sum := int64(0)
	for _, v := range d.gain {
		sum += max(0, v)
	}
	return sum
}
