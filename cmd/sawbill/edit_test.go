package main

import (
	"encoding/json"
	"fmt"
	"os"

	"sawbill/internal/plan"
)

// edit changes one thing of a plan file, seals it again so that its digest
// fits, and writes it to another: "edit CHANGE OLD NEW".
func edit() {
	data, err := os.ReadFile(os.Args[2])
	p := new(plan.Plan)
	if err == nil {
		err = json.Unmarshal(data, p)
	}
	if err == nil {
		change := map[string]func(*plan.Plan) error{
			"drop": dropPiece, "move": movePiece, "swap": swapMarks, "total": raiseTotal, "bound": raiseBound, "place": moveRack, "price": priceRack, "unused": unusedRack, "given": giveMore,
		}[os.Args[1]]
		err = change(p)
	}
	if err == nil {
		err = p.Seal()
	}
	if err == nil {
		data, err = p.Encode()
	}
	if err == nil {
		err = os.WriteFile(os.Args[3], data, 0o644)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func moveRack(p *plan.Plan) error { p.Rack.Pieces[0].Place += " left"; return nil }

func priceRack(p *plan.Plan) error { p.Rack.Pieces[0].Price--; return nil }

func giveMore(p *plan.Plan) error { p.GivenUp += 100_00; return nil }

func unusedRack(p *plan.Plan) error {
	for i := range p.Rack.Pieces {
		p.Rack.Pieces[i].Used = false
	}
	return nil
}

// twoPieces finds a bar with two neighbours of different marks.
func twoPieces(p *plan.Plan) (*plan.Layout, error) {
	for i := range p.Materials {
		for k := range p.Materials[i].Layouts {
			l := &p.Materials[i].Layouts[k]
			for n := 1; n < len(l.Pieces); n++ {
				if l.Pieces[n].Mark != l.Pieces[n-1].Mark {
					return l, nil
				}
			}
		}
	}
	return nil, fmt.Errorf("no bar holds two marks")
}

func dropPiece(p *plan.Plan) error {
	l, err := twoPieces(p)
	if err == nil {
		l.Pieces = l.Pieces[:len(l.Pieces)-1]
	}
	return err
}

func movePiece(p *plan.Plan) error {
	l, err := twoPieces(p)
	if err == nil {
		l.Pieces[1].At--
	}
	return err
}

func swapMarks(p *plan.Plan) error {
	l, err := twoPieces(p)
	if err != nil {
		return err
	}
	for n := 1; n < len(l.Pieces); n++ {
		if a, b := &l.Pieces[n-1], &l.Pieces[n]; a.Mark != b.Mark {
			a.Mark, b.Mark, a.Copy, b.Copy = b.Mark, a.Mark, b.Copy, a.Copy
			return nil
		}
	}
	return nil
}

func raiseTotal(p *plan.Plan) error {
	p.Total++
	return nil
}

func raiseBound(p *plan.Plan) error {
	p.Materials[0].Goals.Cost.Bound++
	p.Bound++
	return nil
}
