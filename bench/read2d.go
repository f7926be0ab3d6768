package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// sheetProblem is a two-dimensional instance: which items from which sheets,
// every demand to be met.
type sheetProblem struct {
	name   string
	items  []panelKind
	sheets []sheetKind
	// decimals is the number of decimal places that costs are scaled by.
	decimals int
}

// panelKind is a kind of item; its value matters to selection alone.
type panelKind struct{ length, height, demand, value int64 }

// sheetKind is a kind of sheet. A supply below zero is unlimited.
type sheetKind struct{ length, height, supply, cost int64 }

// jsonInstance is a line of the file. Length is the first dimension; Stock
// null is unlimited, Cost null the area. Value is what each item counts for in
// selection problems, its area if it is left out. DemandMax does not matter.
type jsonInstance struct {
	Name    string
	Objects []struct {
		Length, Height json.Number
		Stock, Cost    *json.Number
	}
	Items []struct {
		Length, Height json.Number
		Demand, Value  *json.Number
	}
}

const (
	maxSide     = 1_000_000_000 // an area stays inside an int64
	maxDecimals = 6             // of a cost
	maxCost     = 1 << 40       // of one sheet, unscaled
	maxTotal    = 1 << 62       // of a whole plan, scaled
)

// readSheets reads one instance a line, and a fault for every line that is
// none. An instance without a name has that of the file and its line.
func readSheets(file, base string, text []byte) ([]sheetProblem, []error) {
	var problems []sheetProblem
	var faults []error
	number := 0
	for line := range bytes.Lines(text) {
		number++
		line = bytes.TrimSpace(line)
		if len(line) == 0 {
			continue
		}
		p, err := readSheet(line)
		if err != nil {
			faults = append(faults, fmt.Errorf("%s:%d: %w", file, number, err))
			continue
		}
		if p.name == "" {
			p.name = fmt.Sprintf("%s_%d", base, number)
		}
		problems = append(problems, p)
	}
	if len(problems) == 0 && len(faults) == 0 {
		faults = append(faults, fmt.Errorf("%s: there is no instance in it: write one JSON object a line", file))
	}
	return problems, faults
}

func readSheet(line []byte) (sheetProblem, error) {
	var in jsonInstance
	if err := json.Unmarshal(line, &in); err != nil {
		return sheetProblem{}, fmt.Errorf("the line is not an instance: %w", err)
	}
	if len(in.Objects) == 0 || len(in.Items) == 0 {
		return sheetProblem{}, errors.New("the line is not an instance: it needs Objects and Items, one of each at least")
	}
	p := sheetProblem{name: in.Name}
	costs := make([]float64, len(in.Objects))
	for i, o := range in.Objects {
		var s sheetKind
		var err error
		if s.length, err = whole("Length", o.Length, 1, maxSide); err != nil {
			return p, err
		}
		if s.height, err = whole("Height", o.Height, 1, maxSide); err != nil {
			return p, err
		}
		s.supply = -1
		if o.Stock != nil {
			if s.supply, err = whole("Stock", *o.Stock, 0, maxNumber); err != nil {
				return p, err
			}
		}
		costs[i] = float64(s.length * s.height)
		if o.Cost != nil {
			if costs[i], err = o.Cost.Float64(); err != nil {
				return p, fmt.Errorf("the Cost %q is not a number", *o.Cost)
			}
		}
		p.sheets = append(p.sheets, s)
	}
	for _, it := range in.Items {
		var k panelKind
		var err error
		if k.length, err = whole("Length", it.Length, 1, maxSide); err != nil {
			return p, err
		}
		if k.height, err = whole("Height", it.Height, 1, maxSide); err != nil {
			return p, err
		}
		k.demand = 1
		if it.Demand != nil {
			if k.demand, err = whole("Demand", *it.Demand, 0, maxNumber); err != nil {
				return p, err
			}
		}
		k.value = k.length * k.height
		if it.Value != nil {
			if k.value, err = whole("Value", *it.Value, 0, maxCost); err != nil {
				return p, err
			}
		}
		p.items = append(p.items, k)
	}
	return p, p.price(costs)
}

// whole reads a number that is whole, however it is written: 33 or 33.0.
func whole(what string, n json.Number, low, high int64) (int64, error) {
	f, err := n.Float64()
	if err != nil || f != math.Trunc(f) || f < float64(low) || f > float64(high) {
		return 0, fmt.Errorf("the %s %q is out of range: give a whole number from %d to %d", what, n, low, high)
	}
	return int64(f), nil
}

// price sets what the sheets cost, as integers. Sheets of a single size cost
// 1 each, so that the cost counts them; several are scaled to whole numbers.
func (p *sheetProblem) price(costs []float64) error {
	if len(costs) == 1 {
		p.sheets[0].cost = 1
		return nil
	}
	for _, c := range costs {
		text := strconv.FormatFloat(c, 'f', -1, 64)
		_, fraction, _ := strings.Cut(text, ".")
		p.decimals = max(p.decimals, len(fraction))
		if c < 0 || c > maxCost || len(fraction) > maxDecimals {
			return fmt.Errorf("the Cost %s is out of range: give 0 to %d with at most %d decimals", text, int64(maxCost), maxDecimals)
		}
	}
	scale := math.Pow10(p.decimals)
	for i, c := range costs {
		p.sheets[i].cost = int64(math.Round(c * scale))
		if pieces := p.count(); pieces > 0 && p.sheets[i].cost > maxTotal/pieces {
			return fmt.Errorf("the Cost %v for %d pieces is beyond the range of the count: give costs in a larger unit", c, pieces)
		}
	}
	return nil
}

// amount writes a scaled cost in the instance's unit.
func (p sheetProblem) amount(cost int64) string {
	text := strconv.FormatInt(cost, 10)
	if p.decimals == 0 {
		return text
	}
	if len(text) <= p.decimals {
		text = strings.Repeat("0", p.decimals+1-len(text)) + text
	}
	text = text[:len(text)-p.decimals] + "." + text[len(text)-p.decimals:]
	return strings.TrimSuffix(strings.TrimRight(text, "0"), ".")
}

// count is the sum of the demands.
func (p sheetProblem) count() int64 {
	var n int64
	for _, k := range p.items {
		n += k.demand
	}
	return n
}
