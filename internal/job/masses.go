package job

import (
	"fmt"
	"math/big"
	"regexp"
	"strings"

	"github.com/pelletier/go-toml/v2/unstable"

	"sawbill/internal/length"
)

// Masses are whole milligrams. The pound is 0.45359237 kg and the ounce its
// sixteenth, exactly (international yard and pound agreement, 1959).

const kilogram = 1_000_000 // milligrams

var massUnits = map[string]*big.Rat{
	"mg": big.NewRat(1, 1), "g": big.NewRat(1000, 1), "gr": big.NewRat(1000, 1), "kg": big.NewRat(kilogram, 1), "t": big.NewRat(1000*kilogram, 1),
	"lb": rat("453592.37/1"), "lbs": rat("453592.37/1"), "oz": rat("453592.37/16"),
}

var figureAndUnit = regexp.MustCompile(`^([+-]?[\d.,][\d.,' ]*?)\s*(\pL.*)?$`)

// amountIn reads a figure and a unit behind it. A bare figure is in the unit
// given; the result is in what the units are stated in.
func amountIn(text string, comma bool, units map[string]*big.Rat, bare string) (*big.Rat, error) {
	m := figureAndUnit.FindStringSubmatch(length.Clean(text))
	if m == nil {
		return nil, fmt.Errorf("%s is not a figure with a unit", quote(text))
	}
	v, err := decimal(strings.TrimSpace(m[1]), comma)
	if err != nil {
		return nil, err
	}
	unit := bare
	if m[2] != "" {
		unit = fold(m[2])
	}
	factor, ok := units[unit]
	if !ok {
		if unit == "" {
			return nil, fmt.Errorf("%s has no unit behind it", quote(text))
		}
		return nil, fmt.Errorf("%s in %s is not a unit that is known here", quote(strings.TrimSpace(m[2])), quote(text))
	}
	return v.Mul(v, factor), nil
}

// milligrams reads a mass.
func milligrams(text string, comma bool, bare string) (int64, error) {
	v, err := amountIn(text, comma, massUnits, bare)
	switch {
	case err != nil:
		return 0, fmt.Errorf("%v; write a mass such as 12 g, 1.5 kg or 3 lb", err)
	case v.Sign() < 0:
		return 0, fmt.Errorf("%s is negative; write a mass of 0 or more", quote(text))
	case v.Cmp(big.NewRat(mostMass, 1)) > 0:
		return 0, fmt.Errorf("%s is more than %d kg; check the figure and its unit", quote(text), int64(mostMass/kilogram))
	}
	return roundHalfUp(v).Int64(), nil
}

// bareMass is the unit of a mass that has none: kilograms, or pounds where lengths
// are in inches or feet.
func (r *reader) bareMass() string {
	if r.job.Unit.Imperial() {
		return "lb"
	}
	return "kg"
}

// mass reads the mass of a row; a unit in the head or in a row below the heads
// holds for bare figures.
func (c record) mass(to *int64) bool {
	v := c.cell("mass")
	if v.text == "" {
		return true
	}
	bare := c.t.r.bareMass()
	column := c.t.columns["mass"]
	for i := c.t.header; i < c.t.body; i++ {
		if cells := c.t.grid.rows[i].cells; column < len(cells) {
			words := strings.Fields(fold(cells[column].text))
			if n := len(words); n > 0 && massUnits[words[n-1]] != nil {
				bare = words[n-1]
			}
		}
	}
	m, err := milligrams(v.text, c.comma("mass"), bare)
	if err != nil {
		c.t.r.fault(v.at, "mass: %v", err)
		return false
	}
	*to = m
	return true
}

// readCarrying reads who carries the thing and what it may weigh.
func (r *reader) readCarrying(b block) {
	if e := b.at["people"]; e != nil {
		n, ok := number(e.value)
		if ok && n.IsInt() && n.Sign() > 0 && n.Cmp(big.NewRat(100, 1)) <= 0 {
			r.job.People = n.Num().Int64()
		} else {
			b.wrong(e, "how many carry together, a whole number from 1 to 100")
		}
	}
	e := b.at["allowed-load"]
	if e == nil {
		return
	}
	text, comma := e.value.text, r.job.DecimalComma
	if _, plain := number(e.value); plain {
		text, comma = strings.ReplaceAll(e.value.raw, "_", ""), false
	} else if e.value.kind != unstable.String {
		b.wrong(e, `a mass such as 250, or text with a unit such as "250 kg"`)
		return
	}
	m, err := milligrams(text, comma, r.bareMass())
	switch {
	case err != nil:
		r.fault(e.value.pos, "allowed-load: %v", err)
	case m == 0:
		r.fault(e.value.pos, "allowed-load is 0; write what the whole may weigh, or take the line out")
	}
	r.job.AllowedLoad = m
}
