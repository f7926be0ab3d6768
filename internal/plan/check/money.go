package check

import "math"

// mostMoney stands for a price beyond any purchase. Sums of a few of them
// stay inside 64 bits.
const mostMoney = 1 << 56

// times is a·b for values not negative, at most mostMoney.
func times(a, b int64) int64 {
	if a > 0 && b > mostMoney/a {
		return mostMoney
	}
	return a * b
}

// plus is a + b, at most mostMoney.
func plus(a, b int64) int64 { return min(a+b, mostMoney) }

// ceiling returns ⌈n·p / d⌉ for values not negative and d > 0, at most mostMoney.
func ceiling(n, p, d int64) int64 {
	if n == 0 || p == 0 {
		return 0
	}
	if n <= math.MaxInt64/p {
		return min((n*p-1)/d+1, mostMoney)
	}
	v, _ := whole(n).times(whole(p)).ceiling(whole(d)).int64()
	return min(v, mostMoney)
}
