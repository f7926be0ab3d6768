package embedded

import (
	"math"

	"sawbill/solver"
)

// noise is a fixed pseudo-random number in [0.5, 1) for variable v: a hash of
// its number, so that equal models are perturbed equally on every machine.
func noise(v int32) float64 {
	h := uint64(v)*0x9e3779b97f4a7c15 + 0x632be59bd9b4e019
	h ^= h >> 30
	h *= 0xbf58476d1ce4e5b9
	h ^= h >> 27
	h *= 0x94d049bb133111eb
	h ^= h >> 31
	return 0.5 + float64(float64(h>>11)/(1<<54))
}

// widenBounds moves the bounds of the basic variables outwards a little. No
// value changes, so the point stays feasible and steps get positive length.
func (p *lp) widenBounds(size float64) {
	for _, v := range p.head {
		n := float64(size * noise(v))
		if !math.IsInf(p.low[v], 0) {
			p.low[v] -= float64(n * (1 + math.Abs(p.low[v])))
		}
		if !math.IsInf(p.high[v], 0) {
			p.high[v] += float64(n * (1 + math.Abs(p.high[v])))
		}
	}
}

// raiseCosts moves the costs of the non-basic variables a little in the
// direction that keeps them unattractive, so that dual steps get length.
func (p *lp) raiseCosts(size float64) {
	for v := range p.status {
		if p.status[v] == solver.Basic || p.low[v] == p.high[v] {
			continue
		}
		c := float64(float64(size*noise(int32(v))) * (1 + math.Abs(p.weight[v])))
		switch p.status[v] {
		case solver.AtLower:
		case solver.AtUpper:
			c = -c
		default:
			continue
		}
		p.weight[v] += c
		p.d[v] += c
	}
}
