package main

import (
	"fmt"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"sawbill/nest2d"
)

// TestFormsAreTold writes random instances in each form and reads them back.
func TestFormsAreTold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		number := rapid.Int64Range(1, 12)
		pieces := rapid.SliceOfNDistinct(rapid.Custom(func(t *rapid.T) barPiece {
			return barPiece{number.Draw(t, "length"), number.Draw(t, "demand")}
		}), 1, 8, func(p barPiece) int64 { return p.length }).Draw(t, "pieces")
		var text strings.Builder
		want := barProblem{pieces: pieces, stocks: []barStock{{number.Draw(t, "bar"), -1, 1}}}
		switch rapid.IntRange(0, 2).Draw(t, "form") {
		case 0:
			fmt.Fprintf(&text, "%d\n%d\n", len(pieces), want.stocks[0].length)
			for _, p := range pieces {
				fmt.Fprintf(&text, "%d\t%d\n", p.length, p.demand)
			}
		case 1:
			fmt.Fprintf(&text, "%d\n%d\n", want.count(), want.stocks[0].length)
			for _, p := range pieces {
				text.WriteString(strings.Repeat(fmt.Sprintln(p.length), int(p.demand)))
			}
		case 2:
			want.stocks = rapid.SliceOfN(rapid.Custom(func(t *rapid.T) barStock {
				return barStock{number.Draw(t, "length"), number.Draw(t, "supply"), number.Draw(t, "cost")}
			}), 1, 8).Draw(t, "stocks")
			fmt.Fprintln(&text, len(want.stocks))
			for _, s := range want.stocks {
				fmt.Fprintln(&text, s.length, s.supply, s.cost)
			}
			fmt.Fprintln(&text, len(pieces))
			for _, p := range pieces {
				fmt.Fprintln(&text, p.length, p.demand)
			}
		}
		got, err := readBars(text.String())
		if err != nil || !reflect.DeepEqual(got, want) {
			t.Fatalf("%q reads as %v, %v, want %v", text.String(), got, err, want)
		}
	})
}

// TestGuillotineTrees cuts a sheet at random, drops some parts, and counts
// no more stages than were cut.
func TestGuillotineTrees(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var boxes []box
		deepest := 0
		var cut func(b box, depth int, mirrored bool)
		cut = func(b box, depth int, mirrored bool) {
			if depth == 4 || b.right-b.left < 2 || depth > 0 && rapid.IntRange(0, 3).Draw(t, "leaf") == 0 {
				if rapid.IntRange(0, 4).Draw(t, "waste") > 0 {
					if mirrored {
						b = b.mirrored()
					}
					boxes = append(boxes, b)
					deepest = max(deepest, depth)
				}
				return
			}
			at := rapid.Int64Range(b.left+1, b.right-1).Draw(t, "at")
			parts := []box{{b.left, b.low, at, b.high}, {at, b.low, b.right, b.high}}
			if at+1 < b.right { // a third part, parted by the same stage
				parts[1].right = at + 1
				parts = append(parts, box{at + 1, b.low, b.right, b.high})
			}
			for _, part := range parts {
				cut(part.mirrored(), depth+1, !mirrored)
			}
		}
		cut(box{0, 0, 40, 30}, 0, false)
		if len(boxes) == 0 {
			return
		}
		stages, ok := guillotineStages(boxes, nest2d.AlongWidth)
		if !ok || stages > max(deepest, 1) {
			t.Fatalf("%d stages, %v, for %v cut in %d", stages, ok, boxes, deepest)
		}
	})
}
