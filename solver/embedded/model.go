package embedded

import (
	"math"

	"sawbill/solver"
	"sawbill/solver/internal/argument"
)

// Engine makes models solved by this package.
type Engine struct{}

// Name returns "embedded".
func (Engine) Name() string { return "embedded" }

// New returns an empty model.
func (Engine) New() solver.LP { return &lp{} }

// lp is a model with its simplex state. Columns and rows are both variables,
// numbered in the order they were added; the variable of a row is its
// activity, held to A·x by the equation A·x − r = 0, so that a basis of row
// variables alone is −I and the reduced cost of a row variable is the row's
// dual value.
//
// All numbers are in scaled units: entry (i,j) is multiplied by
// rowScale[i]·colScale[j], both powers of two, so scaling loses nothing.
type lp struct {
	columns, rows []int32 // model number → variable
	isRow         []bool  // by variable
	number        []int32 // variable → model number

	colEntries [][]entry // by variable: (row, value); nil for row variables
	rowEntries [][]entry // by row: (variable, value)
	scale      []float64 // by variable: true value = scale·scaled value
	scaled     bool

	lower, upper, cost []float64 // by variable, as given
	low, high, weight  []float64 // the same as the simplex method sees them: perturbed, shifted

	status []solver.BasisStatus
	x, d   []float64
	head   []int32 // basic variable of each row
	at     []int32 // row in which a variable is basic, -1 otherwise

	factor     factor
	factorised bool

	devex     []float64 // primal reference weights, by variable
	edge      []float64 // dual steepest-edge weights, by variable
	edgeValid bool

	column, rho, tau, flips []float64 // work vectors by row
	alpha                   []float64 // pivot row, by variable
	touched                 []int32   // non-zero variables of alpha
	inTouched               []bool

	iterations int
	result     result
	arguments  argument.Checker
}

// result is what the last Solve left, in the caller's units.
type result struct {
	objective             float64
	primal, dual, reduced []float64
}

func (p *lp) NumRows() int    { return len(p.rows) }
func (p *lp) NumColumns() int { return len(p.columns) }
func (p *lp) Iterations() int { return p.iterations }
func (p *lp) Close()          {}

func (p *lp) addVariable(row bool, number int, cost, lower, upper, scale float64) int32 {
	v := int32(len(p.isRow))
	p.isRow = append(p.isRow, row)
	p.number = append(p.number, int32(number))
	p.colEntries = append(p.colEntries, nil)
	p.scale = append(p.scale, scale)
	p.cost = append(p.cost, cost*scale)
	p.lower = append(p.lower, lower/scale)
	p.upper = append(p.upper, upper/scale)
	p.low = append(p.low, lower/scale)
	p.high = append(p.high, upper/scale)
	p.weight = append(p.weight, cost*scale)
	p.x = append(p.x, 0)
	p.d = append(p.d, 0)
	p.devex = append(p.devex, 1)
	p.edge = append(p.edge, 1)
	p.alpha = append(p.alpha, 0)
	p.inTouched = append(p.inTouched, false)
	p.status = append(p.status, solver.Basic)
	p.at = append(p.at, -1)
	return v
}

func (p *lp) AddRow(lower, upper float64, columns []int32, values []float64) int {
	p.arguments.Sparse("AddRow", columns, values, len(p.columns))
	argument.Bounds("AddRow", lower, upper)
	number := len(p.rows)
	scale := 1.0
	if p.scaled {
		scale = p.fitRow(columns, values)
	}
	v := p.addVariable(true, number, 0, lower, upper, scale)
	p.rows = append(p.rows, v)
	row := make([]entry, 0, len(columns))
	for k, c := range columns {
		if values[k] == 0 {
			continue
		}
		j := p.columns[c]
		a := values[k] * p.scale[j] / scale
		row = append(row, entry{j, a})
		p.colEntries[j] = append(p.colEntries[j], entry{int32(number), a})
	}
	p.rowEntries = append(p.rowEntries, row)
	p.head = append(p.head, v)
	p.at[v] = int32(number)
	p.factorised = false
	return number
}

func (p *lp) AddColumn(cost, lower, upper float64, rows []int32, values []float64) int {
	p.arguments.Sparse("AddColumn", rows, values, len(p.rows))
	argument.Bounds("AddColumn", lower, upper)
	argument.Cost("AddColumn", cost)
	number := len(p.columns)
	scale := 1.0
	if p.scaled {
		scale = p.fitColumn(rows, values)
	}
	v := p.addVariable(false, number, cost, lower, upper, scale)
	p.columns = append(p.columns, v)
	col := make([]entry, 0, len(rows))
	for k, i := range rows {
		if values[k] == 0 {
			continue
		}
		a := values[k] * scale / p.scale[p.rows[i]]
		col = append(col, entry{i, a})
		p.rowEntries[i] = append(p.rowEntries[i], entry{v, a})
	}
	p.colEntries[v] = col
	p.status[v] = restingStatus(lower, upper)
	return number
}

// restingStatus is where a non-basic variable starts: at its lower bound, or
// at the upper if it alone is finite.
func restingStatus(lower, upper float64) solver.BasisStatus {
	switch {
	case !math.IsInf(lower, 0):
		return solver.AtLower
	case !math.IsInf(upper, 0):
		return solver.AtUpper
	}
	return solver.Free
}

func (p *lp) SetCost(column int, cost float64) {
	argument.Cost("SetCost", cost)
	v := p.columns[column]
	p.cost[v] = cost * p.scale[v]
}

func (p *lp) SetColumnBounds(column int, lower, upper float64) {
	argument.Bounds("SetColumnBounds", lower, upper)
	p.setBounds(p.columns[column], lower, upper)
}

func (p *lp) SetRowBounds(row int, lower, upper float64) {
	argument.Bounds("SetRowBounds", lower, upper)
	p.setBounds(p.rows[row], lower, upper)
}

func (p *lp) setBounds(v int32, lower, upper float64) {
	p.lower[v] = lower / p.scale[v]
	p.upper[v] = upper / p.scale[v]
}

func (p *lp) ColumnBounds(column int) (lower, upper float64) { return p.bounds(p.columns[column]) }
func (p *lp) RowBounds(row int) (lower, upper float64)       { return p.bounds(p.rows[row]) }

func (p *lp) bounds(v int32) (lower, upper float64) {
	return p.lower[v] * p.scale[v], p.upper[v] * p.scale[v]
}

func (p *lp) Objective() float64                  { return p.result.objective }
func (p *lp) Primal(dst []float64) []float64      { return append(dst[:0], p.result.primal...) }
func (p *lp) Dual(dst []float64) []float64        { return append(dst[:0], p.result.dual...) }
func (p *lp) ReducedCost(dst []float64) []float64 { return append(dst[:0], p.result.reduced...) }

func (p *lp) Basis() solver.Basis {
	b := solver.Basis{
		Columns: make([]solver.BasisStatus, len(p.columns)),
		Rows:    make([]solver.BasisStatus, len(p.rows)),
	}
	for i, v := range p.columns {
		b.Columns[i] = p.status[v]
	}
	for i, v := range p.rows {
		b.Rows[i] = p.status[v]
	}
	return b
}

// SetBasis takes the statuses over. Too many basic variables are cut off,
// columns first kept; too few are filled up with rows. Whether the columns
// are independent is found when the next Solve factorises them.
func (p *lp) SetBasis(b solver.Basis) {
	same := true
	set := func(v int32, s solver.BasisStatus) {
		same = same && (s == solver.Basic) == (p.status[v] == solver.Basic)
		p.status[v] = s
	}
	for i, v := range p.columns {
		if i < len(b.Columns) {
			set(v, b.Columns[i])
		} else {
			set(v, restingStatus(p.lower[v], p.upper[v]))
		}
	}
	for i, v := range p.rows {
		if i < len(b.Rows) {
			set(v, b.Rows[i])
		} else {
			set(v, solver.Basic)
		}
	}
	if same {
		return // the factors and weights stand
	}
	basic := 0
	keep := func(v int32) {
		if p.status[v] != solver.Basic {
			return
		}
		if basic == len(p.rows) {
			p.status[v] = restingStatus(p.lower[v], p.upper[v])
			return
		}
		p.head[basic] = v
		basic++
	}
	for _, v := range p.columns {
		keep(v)
	}
	for _, v := range p.rows {
		keep(v)
	}
	for _, v := range p.rows {
		if basic == len(p.rows) {
			break
		}
		if p.status[v] != solver.Basic {
			p.status[v] = solver.Basic
			p.head[basic] = v
			basic++
		}
	}
	p.reseat()
	p.factorised = false
	p.edgeValid = false
}

// reseat rebuilds at from head.
func (p *lp) reseat() {
	for v := range p.at {
		p.at[v] = -1
	}
	for i, v := range p.head {
		p.at[v] = int32(i)
	}
}
