package nest2d

import "math"

// Certificate proves the bound on cost.
type Certificate struct {
	// Bound on the cost of any plan.
	Bound int64
}

// areaCertificate bounds the cost by area alone.
func (m *model) areaCertificate() Certificate {
	cheapest := -1
	for k := range m.kinds {
		if m.kinds[k].supply > 0 && (cheapest < 0 || m.cheaper(k, cheapest)) {
			cheapest = k
		}
	}
	if cheapest < 0 {
		return Certificate{}
	}
	k := m.kinds[cheapest]
	area := 0.0
	for _, a := range m.problem.Panels {
		area += float64(a.Demand) * float64(a.Length) * float64(a.Width)
	}
	if len(m.kinds) > 1 {
		return Certificate{Bound: int64(math.Floor(area / float64(k.area) * float64(k.price) * (1 - 1e-9)))}
	}
	bound := area / float64(k.area) * float64(k.price)
	return Certificate{Bound: int64(math.Ceil(bound*(1-1e-9)/float64(k.price))) * k.price}
}
