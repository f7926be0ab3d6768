package report

import (
	"fmt"
	"strings"

	"sawbill/internal/report/drawing"
)

// ticks draws a box to tick for each bar or sheet, numbered as long as they are
// few, in tens when they are many, and leaves a tally to hand when more.
func (s *set) ticks(fig *drawing.Page, what string, numbers []int, y float64) float64 {
	const few, many = 64, 200
	switch n := len(numbers); {
	case n > many:
		s.write(fig, 0, y+5, fig.Width, what+"s "+ranges(numbers)+"   tally:", font{size: 10, least: 7})
		return y + 7
	case n > few:
		return s.tens(fig, numbers, y)
	}
	const box, step = 4.0, 14.0
	line := y + 5
	start := s.write(fig, 0, line, fig.Width, what, font{size: 9}) + 3
	x := start
	for _, n := range numbers {
		if x+step > fig.Width {
			x, line = start, line+6
		}
		tick(fig, x, line, box)
		s.write(fig, x+box+1, line, step-box-2, fmt.Sprint(n), font{size: 10, least: 6})
		x += step
	}
	return line + 1.5
}

func (s *set) tens(fig *drawing.Page, numbers []int, y float64) float64 {
	const row, box = 40, 3.6
	line := y
	for i := 0; i < len(numbers); i += row {
		line += 5
		part := numbers[i:min(i+row, len(numbers))]
		s.write(fig, 0, line, 34, ranges(part), font{size: 9, least: 5})
		for k := range part {
			tick(fig, 36+float64(k)*(box+1)+float64(k/10)*3, line, box)
		}
	}
	return line + 1.5
}

// ranges writes 1–3, 5, 7–9.
func ranges(numbers []int) string {
	var parts []string
	for i := 0; i < len(numbers); {
		k := i
		for k+1 < len(numbers) && numbers[k+1] == numbers[k]+1 {
			k++
		}
		if k == i {
			parts = append(parts, fmt.Sprint(numbers[i]))
		} else {
			parts = append(parts, fmt.Sprintf("%d–%d", numbers[i], numbers[k]))
		}
		i = k + 1
	}
	return strings.Join(parts, ", ")
}

// tick draws an empty box to tick, its lower edge a little below the baseline.
func tick(p *drawing.Page, x, baseline, side float64) {
	p.Box(x, baseline-side+0.6, side, side, medium, drawing.White)
}
