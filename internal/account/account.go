// Package account says what a job weighs and costs beside its bars and sheets:
// the mass of every mark, material and group, and the brackets, rivets, items
// and consumables to buy. It follows from the job alone; what bars and sheets
// cost is the plan's to say.
//
// Masses are whole milligrams, weighed once per mark and multiplied; money is
// whole cents, counted in whole packs. Everything in an Account adds up: a sum
// is the sum of its lines, and nothing is rounded after that.
package account

import (
	"math/big"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
)

// Account is all that is weighed and all that is bought beside the plan.
type Account struct {
	Marks     []Mark     // by material, in the job's order
	Materials []Material // those of which something is cut, in the job's order
	Groups    []Group    // as the job first names them; what is in none last
	// Sizes are the rivets that the job's joints and rows take, by index into
	// Job.Riveted; -1 for none.
	Sizes []int
	// Brackets, Rivets, Items and Consumables are what to buy, in table order.
	Brackets, Rivets, Items, Consumables []Line
	Taxes                                []Tax // by supplier, in the job's order
}

// Mark is the mass of all pieces or panels of one mark.
type Mark struct {
	Material, Mark, Group string
	Count                 int64
	Each, Mass            plan.Mass // Mass is Count times Each
}

// Material is the mass of all that is cut from one material, and its growth
// allowance.
type Material struct {
	Key          string
	Mass, Growth plan.Mass
}

// Group is what one part of the structure weighs: what is cut for it, the
// growth allowance of that, and the brackets, rivets and items bought for it.
type Group struct {
	Name                string // "" for what is in no group
	Cut, Growth, Fitted plan.Mass
}

// Mass is all of it.
func (g Group) Mass() plan.Mass { return g.Cut + g.Growth + g.Fitted }

// Line is one thing to buy in whole packs.
type Line struct {
	Name, Supplier, Group, Note string
	Diameter, Length            length.Length // of a rivet
	// Measure is what Need and Content are counted in: "count", "length" (base
	// units), "area" (µm²) or "volume" (mm·µm², millionths of a mm³).
	Measure string
	// Need is what is needed, spare and waste included, rounded up; Content what
	// one pack has.
	Need, Content int64
	Packs         int64
	Each, Amount  plan.Money // of one pack, and of Packs
	// Mass is that of what stays on the structure, without spare and waste.
	Mass plan.Mass
}

// Tax is what one supplier adds to the lines bought from it: Rate thousandths of
// a percent of Net, rounded half up to the cent.
type Tax struct {
	Supplier    string
	Rate        int64
	Net, Amount plan.Money
}

// Of makes the account of a job.
func Of(j *job.Job) *Account {
	a := &Account{}
	a.weigh(j)
	a.buyBrackets(j)
	a.buyRivets(j)
	a.buyItems(j)
	a.buyConsumables(j)
	a.tax(j)
	a.group(j)
	return a
}

// Lines are all lines, in the order of a bill.
func (a *Account) Lines() []Line {
	var out []Line
	for _, part := range [][]Line{a.Brackets, a.Rivets, a.Items, a.Consumables} {
		out = append(out, part...)
	}
	return out
}

// Spend is what all lines cost, taxes included.
func (a *Account) Spend() plan.Money {
	sum := plan.Money(0)
	for _, l := range a.Lines() {
		sum += l.Amount
	}
	for _, t := range a.Taxes {
		sum += t.Amount
	}
	return sum
}

// Cut is the mass of all pieces and panels.
func (a *Account) Cut() plan.Mass {
	sum := plan.Mass(0)
	for _, m := range a.Materials {
		sum += m.Mass
	}
	return sum
}

// Growth is the growth allowance of all materials.
func (a *Account) Growth() plan.Mass {
	sum := plan.Mass(0)
	for _, m := range a.Materials {
		sum += m.Growth
	}
	return sum
}

// Mass is that of the whole: cut, growth allowance, and all lines.
func (a *Account) Mass() plan.Mass {
	return a.Cut() + a.Growth() + MassOf(a.Lines())
}

// MassOf is what lines add to the structure.
func MassOf(lines []Line) plan.Mass {
	sum := plan.Mass(0)
	for _, l := range lines {
		sum += l.Mass
	}
	return sum
}

// tax adds what suppliers add to these lines.
func (a *Account) tax(j *job.Job) {
	for _, s := range j.Suppliers {
		net := plan.Money(0)
		for _, l := range a.Lines() {
			if l.Supplier == s.Name {
				net += l.Amount
			}
		}
		if s.Tax > 0 && net > 0 {
			a.Taxes = append(a.Taxes, Tax{Supplier: s.Name, Rate: s.Tax, Net: net, Amount: plan.Money(portion(int64(net), s.Tax, 100_000))})
		}
	}
}

// portion is rate parts of n of whole, which is even, rounded half up.
func portion(n, rate, whole int64) int64 {
	p := new(big.Int).Mul(big.NewInt(n), big.NewInt(rate))
	p.Add(p, big.NewInt(whole/2))
	return p.Div(p, big.NewInt(whole)).Int64()
}
