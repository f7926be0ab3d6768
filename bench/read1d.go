package main

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// barProblem is a one-dimensional instance: which pieces from which bars.
type barProblem struct {
	pieces []barPiece
	stocks []barStock
}

type barPiece struct{ length, demand int64 }

// barStock is a kind of bar. A supply below zero is unlimited.
type barStock struct{ length, supply, cost int64 }

// maxNumber bounds every number of an instance, so that sums of products
// of two stay inside an int64.
const maxNumber = 1 << 31

// readBars reads an instance in one of three forms, line ends of no weight:
//
//	m c, then m times: length demand          cutting stock
//	n c, then n times: length                 bin packing
//	K, then K times: length supply cost;
//	m, then m times: length demand            several bar lengths
//
// The first number k and the count of all numbers T tell the form: T − 2 is
// 2k in the first, k in the second and at least 3k in the third, so no text
// fits two of them. The first two have one bar length in unlimited supply,
// each bar at cost 1.
func readBars(text string) (barProblem, error) {
	numbers, err := readNumbers(text)
	if err != nil {
		return barProblem{}, err
	}
	if len(numbers) < 2 || numbers[0] < 1 {
		return barProblem{}, errors.New("there is no instance in it: the first number must say how many lengths follow")
	}
	k, rest := numbers[0], int64(len(numbers)-2)
	var p barProblem
	switch {
	case rest == 2*k:
		p.stocks = []barStock{{numbers[1], -1, 1}}
		p.pieces = pairs(numbers[2:])
	case rest == k:
		p.stocks = []barStock{{numbers[1], -1, 1}}
		p.pieces = singles(numbers[2:])
	case rest >= 3*k && rest == 3*k+2*numbers[1+3*k]:
		for i := int64(0); i < k; i++ {
			s := numbers[1+3*i : 4+3*i]
			p.stocks = append(p.stocks, barStock{s[0], s[1], s[2]})
		}
		p.pieces = pairs(numbers[2+3*k:])
	default:
		return barProblem{}, fmt.Errorf("%d numbers after a leading %d fit none of the known forms: give 'm c' and m lines 'length demand', 'n c' and n lengths, or 'K', K lines 'length supply cost', 'm' and m lines 'length demand'", rest+1, k)
	}
	return p, p.check()
}

// readNumbers reads whole numbers apart by white space.
func readNumbers(text string) ([]int64, error) {
	words := strings.Fields(text)
	numbers := make([]int64, len(words))
	for i, word := range words {
		n, err := strconv.ParseInt(word, 10, 64)
		if err != nil || n < 0 || n > maxNumber {
			return nil, fmt.Errorf("%q is not a number this form can have: write whole numbers from 0 to %d", word, int64(maxNumber))
		}
		numbers[i] = n
	}
	return numbers, nil
}

// pairs reads 'length demand' lines.
func pairs(numbers []int64) []barPiece {
	var pieces []barPiece
	for pair := range slices.Chunk(numbers, 2) {
		pieces = append(pieces, barPiece{pair[0], pair[1]})
	}
	return pieces
}

// singles counts equal lengths together, in the order of first appearance.
func singles(lengths []int64) []barPiece {
	var pieces []barPiece
	place := map[int64]int{}
	for _, length := range lengths {
		i, seen := place[length]
		if !seen {
			i = len(pieces)
			place[length] = i
			pieces = append(pieces, barPiece{length: length})
		}
		pieces[i].demand++
	}
	return pieces
}

// check tells what is wrong with the numbers of an instance, if anything.
func (p barProblem) check() error {
	for _, s := range p.stocks {
		if s.length < 1 {
			return fmt.Errorf("a bar of length %d cannot be cut: give a length of 1 or more", s.length)
		}
	}
	for _, piece := range p.pieces {
		if piece.length < 1 {
			return fmt.Errorf("a piece of length %d cannot be cut: give a length of 1 or more", piece.length)
		}
	}
	if p.count() > maxNumber {
		return fmt.Errorf("the demands add up to %d pieces: at most %d can be planned", p.count(), int64(maxNumber))
	}
	return nil
}

// count is the sum of the demands.
func (p barProblem) count() int64 {
	var n int64
	for _, piece := range p.pieces {
		n += piece.demand
	}
	return n
}
