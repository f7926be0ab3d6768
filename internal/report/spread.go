package report

// spread moves labels wanted at sorted places apart to a least distance, each as
// near its place as the others allow (least squares, by pooling adjacent
// violators), and within low to high. It reports false when they do not fit.
func spread(wanted []float64, distance, low, high float64) ([]float64, bool) {
	n := len(wanted)
	if n == 0 {
		return nil, true
	}
	if float64(n-1)*distance > high-low {
		return nil, false
	}
	type pool struct {
		sum   float64
		count int
	}
	var pools []pool
	for i, w := range wanted {
		pools = append(pools, pool{w - float64(float64(i)*distance), 1})
		for k := len(pools) - 1; k > 0 && pools[k-1].sum*float64(pools[k].count) > pools[k].sum*float64(pools[k-1].count); k-- {
			pools[k-1] = pool{pools[k-1].sum + pools[k].sum, pools[k-1].count + pools[k].count}
			pools = pools[:k]
		}
	}
	out := make([]float64, 0, n)
	highest := high - float64(float64(n-1)*distance)
	for _, p := range pools {
		at := min(max(p.sum/float64(p.count), low), highest)
		for range p.count {
			out = append(out, at+float64(float64(len(out))*distance))
		}
	}
	return out, true
}
