package job

import (
	"errors"
	"fmt"
	"math/big"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"sawbill/internal/length"
	"sawbill/internal/section"
)

// A price is for one bar or sheet, or per metre, foot, kilogram, pound, square
// metre, square foot or pack. It becomes cents for one bar or sheet, or for one
// pack, here, once and exactly, so that the plan compares what the supplier will
// write on the bill.

// basis is what a price is for.
type basis int

const (
	each basis = iota
	byLength
	byMass
	byArea
	byPack
)

// per is a unit of sale: one of it in metres, kilograms or square metres.
type per struct {
	basis basis
	one   *big.Rat
	name  string
}

var (
	oneFoot  = rat("3048/10000")
	oneInch  = rat("254/10000")
	onePound = rat("45359237/100000000")
)

// units of sale by their folded names.
var saleUnits = func() map[string]per {
	m := map[string]per{}
	add := func(p per, names ...string) {
		for _, n := range names {
			m[n] = p
		}
	}
	one := big.NewRat(1, 1)
	add(per{each, one, "each"}, "each", "ea", "pc", "pcs", "piece", "bar", "sheet", "length", "stk", "st", "stuck", "stange", "tafel", "piece", "barre", "tole", "pieza", "barra", "chapa", "ud")
	add(per{byLength, one, "per m"}, "m", "metre", "meter", "metro", "lfm", "lm", "ml", "linear m")
	add(per{byLength, oneFoot, "per ft"}, "ft", "foot", "lin ft", "linear ft", "linear foot", "pied", "pie", "fuss")
	add(per{byLength, oneInch, "per in"}, "in", "inch", "zoll", "pouce", "pulgada")
	add(per{byMass, one, "per kg"}, "kg", "kilo", "kilogram", "kilogramm", "kilogramme", "kilogramo")
	add(per{byMass, onePound, "per lb"}, "lb", "lbs", "pound")
	add(per{byMass, big.NewRat(1000, 1), "per t"}, "t", "tonne")
	add(per{byArea, one, "per m²"}, "m2", "sq m", "sqm", "qm", "square metre", "square meter", "m carre")
	add(per{byPack, one, "per pack"}, "pack", "bundle", "packung", "bund", "gebinde", "vpe", "paquet", "lot", "paquete", "lote")
	add(per{byArea, new(big.Rat).Mul(oneFoot, oneFoot), "per ft²"}, "ft2", "sq ft", "sqft", "square foot", "square ft")
	return m
}()

// price is an amount and what it is for.
type price struct {
	amount *big.Rat
	per    per
	stated bool // the text says what it is for
}

var priceText = regexp.MustCompile(`(?i)^([^\d+.,-]*?)\s*([+-]?[\d.,][\d.,' ]*)\s*(.*)$`)
var perWord = regexp.MustCompile(`(?i)^(?:(.*?)\s*(?:/|\bper\b|\bpro\b|\bpar\b|\bpor\b|\bje\b|\bla\b|\ble\b|\ba\b)\s*(.+)|(.*?)\s*\b(each|ea|stk|stück)\b\.?)$`)

// currencySigns are signs and the codes they may stand for.
var currencySigns = map[string][]string{
	"€":  {"EUR"},
	"$":  {"USD", "CAD", "AUD", "NZD", "SGD", "HKD", "MXN", "CLP", "ARS", "COP"},
	"£":  {"GBP"},
	"fr": {"CHF"}, "fr.": {"CHF"}, "sfr": {"CHF"},
	"kr": {"SEK", "NOK", "DKK", "ISK"}, "kr.": {"SEK", "NOK", "DKK", "ISK"},
	"zł": {"PLN"}, "kč": {"CZK"},
	"euro": {"EUR"}, "euros": {"EUR"}, "us$": {"USD"},
}

// parsePrice reads 21.40 each, 3.70 per m, € 4.20/kg or 24 per sq m.
func (r *reader) parsePrice(text string, comma bool) (price, error) {
	t := length.Clean(text)
	p := price{per: saleUnits["each"]}
	m := priceText.FindStringSubmatch(t)
	if m == nil || len(t) > 2*longestNumber {
		return p, fmt.Errorf("%s is not a price; write one such as 21.40 each, 3.70 per m or 4.20 per kg", quote(text))
	}
	before, figure, after := strings.TrimSpace(m[1]), strings.TrimSpace(m[2]), strings.TrimSpace(m[3])
	if w := perWord.FindStringSubmatch(after); w != nil {
		word := w[2] + w[4]
		after = strings.TrimSpace(w[1] + w[3])
		unit, ok := saleUnit(word)
		if !ok {
			return p, fmt.Errorf("%s is per %s, which is not a unit of sale; write each, per m, per ft, per kg, per lb, per m2, per ft2 or per pack", quote(text), quote(word))
		}
		p.per, p.stated = unit, true
	}
	for _, sign := range []string{before, after} {
		if err := r.checkCurrency(text, sign); err != nil {
			return p, err
		}
	}
	amount, err := decimal(figure, comma)
	if err != nil {
		return p, err
	}
	p.amount = amount
	return p, nil
}

// saleUnit finds a unit of sale by name.
func saleUnit(word string) (per, bool) {
	f := fold(word)
	u, ok := saleUnits[f]
	if !ok {
		u, ok = saleUnits[strings.TrimSuffix(f, "s")]
	}
	return u, ok
}

// checkCurrency refuses a sign or code that is not the job's.
func (r *reader) checkCurrency(text, sign string) error {
	code := r.job.Currency
	if sign == "" || strings.EqualFold(sign, code) || slices.Contains(currencySigns[strings.ToLower(sign)], code) {
		return nil
	}
	if _, known := currencySigns[strings.ToLower(sign)]; known || len(sign) == 3 && strings.ToUpper(sign) == sign {
		return fmt.Errorf("%s is in %s and the job is in %s; convert it, or change currency under [job]", quote(text), sign, code)
	}
	return fmt.Errorf("%s has %s beside the figure; write a price such as 21.40 each, 3.70 per m or 4.20 per kg", quote(text), quote(sign))
}

// amount reads a sum of money without a unit of sale.
func (r *reader) amount(text string, comma bool) (*big.Rat, error) {
	p, err := r.parsePrice(text, comma)
	if err == nil && p.stated {
		err = fmt.Errorf("%s is per something; write the amount alone, such as 35", quote(text))
	}
	return p.amount, err
}

// each converts a price to that of one bar (wide is 0) or sheet; a price per pack
// stays as it is.
func (p price) each(s section.Section, m section.Material, long, wide length.Length) (*big.Rat, error) {
	inMetres := func(l length.Length) *big.Rat { return big.NewRat(int64(l), int64(length.Metre)) }
	count := big.NewRat(1, 1)
	switch p.per.basis {
	case byLength:
		if s.IsSheet() {
			return nil, fmt.Errorf("a sheet cannot be priced %s; write a price each, per m2, per ft2, per kg or per lb", p.per.name)
		}
		count = inMetres(long)
	case byArea:
		if !s.IsSheet() {
			return nil, fmt.Errorf("a bar cannot be priced %s; write a price each, per m, per ft, per kg or per lb", p.per.name)
		}
		count.Mul(inMetres(long), inMetres(wide))
	case byMass:
		mass := section.MassPerMetre(s, m)
		if s.IsSheet() {
			mass = s.MassPerArea(m)
		}
		if mass <= 0 {
			return nil, errors.New("the price is by weight and the weight is not known; give the material an alloy or a density")
		}
		// A mass is a float; at nine decimals (kg) its last digits, which are
		// noise, no longer decide which way half a cent falls.
		count.SetString(strconv.FormatFloat(mass, 'f', 9, 64))
		count.Mul(count, inMetres(long))
		if s.IsSheet() {
			count.Mul(count, inMetres(wide))
		}
	}
	count.Quo(count, p.per.one)
	return count.Mul(count, p.amount), nil
}

// mostCents keeps sums of a million prices inside int64, mostThousandths (of a
// cent, a million for a metre) those of a million panels of a square kilometre.
const (
	mostCents       = 1_000_000_000_00
	mostThousandths = 1_000_000_00_000
)

// toCents rounds an amount half up to the cent.
func toCents(amount *big.Rat) (cents int64, exact bool, err error) {
	v := new(big.Rat).Mul(amount, big.NewRat(100, 1))
	n := roundHalfUp(v)
	if n.CmpAbs(big.NewInt(mostCents)) > 0 {
		return 0, false, fmt.Errorf("an amount of more than %d is beyond any job; check the figure", int64(mostCents/100))
	}
	return n.Int64(), v.IsInt(), nil
}

// centsText prints cents as an amount.
func centsText(cents int64) string {
	return fmt.Sprintf("%d.%02d", cents/100, cents%100)
}
