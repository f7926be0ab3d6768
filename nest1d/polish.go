package nest1d

// polish works on the goals after cost, in their order, without touching those
// before: fewest bars, fewest patterns, the longest offcut.
func (r *run) polish() {
	struck := r.struck
	r.work.allow(r.limits.polish)
	r.fewerBars()
	r.fewerPatterns()
	if !r.work.spent() && r.longestKeep() > 0 {
		r.concentrate()
	}
	if !r.ended() {
		r.struck = struck // an allowance spent on lesser goals is not worth a word
	}
}

// fewerBars dives towards purchases of the same cost with fewer bars.
func (r *run) fewerBars() {
	least := r.barBound()
	if len(r.bars) == 1 || r.best.bars() <= least {
		return
	}
	r.fewer = least
	for _, t := range r.purchases(r.value, r.best.bars(), r.limits.diving) {
		if r.settled() || r.stopped() {
			break
		}
		r.dive(nil, t.bars)
	}
	r.fewer = limit
}

// barBound is the least number of bars of any plan as cheap as the best.
func (r *run) barBound() int64 {
	return max(r.fewest(&r.proof, r.value), r.fewest(&r.material, r.value))
}

// longestKeep is 0 when no stock keeps offcuts.
func (r *run) longestKeep() int64 {
	var most int64
	for b := range r.bars {
		most = max(most, r.problem.Stocks[r.bars[b].stock].Keep)
	}
	return most
}
