package check

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"sawbill/internal/length"
)

// TestJoints compares the least of all orders, tried one by one, with the
// search over classes, and holds the pairing below it.
func TestJoints(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := &barModel{tail: rapid.Bool().Draw(t, "tail"), orders: map[[16]byte]length.Length{}}
		cut := rapid.SampledFrom([]length.Length{3, 3, 5, 7, 20})
		for range rapid.IntRange(1, 4).Draw(t, "classes") {
			b.classes = append(b.classes, ends{cut.Draw(t, "left"), cut.Draw(t, "right")})
			b.kinds = append(b.kinds, barKind{class: len(b.classes) - 1, length: 100})
		}
		content := rapid.SliceOfN(rapid.IntRange(0, len(b.kinds)-1), 1, 6).Draw(t, "content")
		least := length.Length(math.MaxInt64)
		var order func(at int)
		order = func(at int) {
			if at == len(content) {
				sum := length.Length(0)
				for i, k := range content {
					end := b.classes[b.kinds[k].class]
					sum += 100
					if i > 0 {
						sum += max(b.classes[b.kinds[content[i-1]].class][1], end[0])
					}
					if i == len(content)-1 && b.tail {
						sum += end[1]
					}
				}
				least = min(least, sum)
				return
			}
			for i := at; i < len(content); i++ {
				content[at], content[i] = content[i], content[at]
				order(at + 1)
				content[at], content[i] = content[i], content[at]
			}
		}
		order(0)
		counts := make([]int, len(b.classes))
		for _, k := range content {
			counts[b.kinds[k].class]++
		}
		for range 2 { // worked out, and remembered
			if got := b.need(content); got != least || b.loose {
				t.Fatalf("%d, by trial %d (loose %t)", got, least, b.loose)
			}
		}
		if low := b.paired(counts) + 100*length.Length(len(content)); low > least {
			t.Fatalf("the pairing takes %d, an order %d", low, least)
		}
	})
}

// TestManyOrders: where there are too many orders, need stays below and says so.
func TestManyOrders(t *testing.T) {
	b := &barModel{orders: map[[16]byte]length.Length{}}
	var content []int
	for i := range 20 {
		b.classes = append(b.classes, ends{length.Length(i), length.Length(40 - i)})
		b.kinds = append(b.kinds, barKind{class: i, length: 1})
		content = append(content, i)
	}
	if got := b.need(content); got <= 20 || !b.loose {
		t.Errorf("%d, loose %t", got, b.loose)
	}
}
