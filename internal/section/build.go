package section

import (
	"errors"
	"fmt"
	"strings"

	"sawbill/internal/length"
)

// build turns the parts of a designation into a Section.
func (d designation) build(fallback length.Unit) (Section, error) {
	s := Section{Shape: d.kind.shape, Grade: d.kind.grade, Corner: d.corner}
	if d.gauge != 0 {
		return d.byGauge(s)
	}
	unit, explicit, err := d.unit(fallback)
	if err != nil {
		return s, err
	}
	if s.Shape == Board && len(d.sizes) == 2 {
		s.Shape = Timber
	}
	if s.Shape == Timber && (d.nominal || (!explicit && unit == length.In && d.wholeInches())) {
		return d.dressed(s)
	}
	if d.nominal {
		return s, fmt.Errorf("%s: only timber has a nominal size; write the real one", length.Quote(d.text))
	}
	if !explicit && unit == length.MM {
		for _, z := range d.sizes {
			if z.fraction || z.leading {
				return s, fmt.Errorf("%s has a fraction or a leading point, which is an inch size, but numbers here are in mm; add in after the sizes", length.Quote(d.text))
			}
		}
	}
	if unit == length.In {
		s.Unit = length.In
	}
	v := make([]length.Length, len(d.sizes))
	for i, z := range d.sizes {
		if v[i], err = d.length(z.text, unit); err != nil {
			return s, err
		}
	}
	if err := d.assign(&s, v); err != nil {
		return s, err
	}
	if d.root != "" {
		if s.Root, err = d.length(d.root, unit); err != nil {
			return s, err
		}
	}
	if d.toe != "" {
		if s.Toe, err = d.length(d.toe, unit); err != nil {
			return s, err
		}
	}
	if s.Corner == Stated && s.Root == 0 && s.Toe == 0 {
		s.Corner = Sharp // one spelling for one thing
	}
	if !explicit {
		return s, s.plausible(d.text)
	}
	return s, nil
}

// unit returns the unit the sizes are in and whether it was written.
func (d designation) unit(fallback length.Unit) (u length.Unit, explicit bool, err error) {
	for _, z := range d.sizes {
		if z.unit == "" {
			continue
		}
		w, err := length.ParseUnit(z.unit)
		if err != nil {
			return 0, false, err
		}
		if w == length.Ft {
			return 0, false, fmt.Errorf("%s gives a section in feet; write inches or millimetres", length.Quote(d.text))
		}
		if explicit && w != u {
			return 0, false, fmt.Errorf("%s mixes %s and %s; write all sizes in one unit", length.Quote(d.text), u, w)
		}
		u, explicit = w, true
	}
	if explicit {
		return u, true, nil
	}
	if fallback.Imperial() {
		return length.In, false, nil
	}
	return length.MM, false, nil
}

// length reads one size. A comma in a size is a decimal comma: no section is
// written with thousands.
func (d designation) length(text string, unit length.Unit) (length.Length, error) {
	r := length.Reading{Unit: unit, DecimalComma: strings.Contains(text, ",")}
	v, err := length.Parse(text+" "+unit.String(), r)
	var off *length.OffGridError
	if errors.As(err, &off) {
		f := length.Format{Unit: length.MM, Decimals: 3}
		if unit == length.In {
			f = length.Format{Unit: length.In, Decimals: 3}
		}
		return 0, fmt.Errorf("%s has the size %s, finer than lengths are kept (25 nm); write %s", length.Quote(d.text), text, f.WithUnit(off.Nearest))
	}
	if err != nil {
		return 0, fmt.Errorf("%s: %w", length.Quote(d.text), err)
	}
	return v, nil
}

// assign puts the sizes in their places.
func (d designation) assign(s *Section, v []length.Length) error {
	count := func(n ...int) error {
		for _, k := range n {
			if len(v) == k {
				return nil
			}
		}
		return fmt.Errorf("%s has %d sizes, but %s; write it as %s", length.Quote(d.text), len(v), wants[s.Shape], examples[s.Shape])
	}
	switch s.Shape {
	case SquareTube:
		if err := count(2, 3); err != nil {
			return err
		}
		if len(v) == 3 && v[0] != v[1] {
			return fmt.Errorf("%s is called square but has two different sides; write RHS or rect tube", length.Quote(d.text))
		}
		s.Width, s.Height, s.Thickness = v[0], v[0], v[len(v)-1]
	case RectTube:
		if d.kind.any && d.corner == USHSS && len(v) == 2 {
			s.Shape = RoundTube
			s.Corner = ByMaterial
			s.Width, s.Height, s.Thickness = v[0], v[0], v[1]
			return nil
		}
		if err := count(3); err != nil {
			return err
		}
		s.Height, s.Width, s.Thickness = max(v[0], v[1]), min(v[0], v[1]), v[2]
		if v[0] == v[1] {
			s.Shape = SquareTube
		}
	case RoundTube:
		if err := count(2); err != nil {
			return err
		}
		s.Width, s.Height, s.Thickness = v[0], v[0], v[1]
	case Angle:
		if err := count(2, 3); err != nil {
			return err
		}
		b := v[len(v)-2]
		s.Height, s.Width, s.Thickness = max(v[0], b), min(v[0], b), v[len(v)-1]
	case Channel:
		if err := count(3, 4); err != nil {
			return err
		}
		s.Height, s.Width, s.Flange, s.Thickness = v[0], v[1], v[2], v[len(v)-1]
	case Flat:
		if err := count(2); err != nil {
			return err
		}
		s.Width, s.Thickness = max(v[0], v[1]), min(v[0], v[1])
		if v[0] == v[1] {
			s.Shape, s.Width, s.Height, s.Thickness = SquareBar, v[0], v[0], 0
		}
	case SquareBar:
		if err := count(1, 2); err != nil {
			return err
		}
		if v[0] != v[len(v)-1] {
			return fmt.Errorf("%s is called square but has two different sides; write flat", length.Quote(d.text))
		}
		s.Width, s.Height = v[0], v[0]
	case RoundBar:
		if err := count(1); err != nil {
			return err
		}
		s.Width, s.Height = v[0], v[0]
	case Timber:
		if err := count(2); err != nil {
			return err
		}
		s.Width, s.Height = min(v[0], v[1]), max(v[0], v[1])
	default:
		if err := count(1); err != nil {
			return err
		}
		s.Thickness = v[0]
	}
	return nil
}

var wants = map[Shape]string{
	SquareTube: "a square tube has side and wall",
	RectTube:   "a rectangular tube has two sides and a wall",
	RoundTube:  "a round tube has outside diameter and wall",
	Angle:      "an angle has two legs and a thickness",
	Channel:    "a channel has depth, flange width, flange thickness and web thickness",
	Flat:       "a flat has width and thickness",
	SquareBar:  "a square bar has one size",
	RoundBar:   "a round bar has one size",
	Timber:     "timber has two sizes",
	Sheet:      "a sheet is named by its thickness; its length and width belong to the offer",
	Plywood:    "plywood is named by its thickness; its length and width belong to the offer",
	Foam:       "foam is named by its thickness; its length and width belong to the offer",
	Board:      "a board is named by its thickness; its length and width belong to the offer",
}

var examples = map[Shape]string{
	SquareTube: "SHS 25x25x2", RectTube: "RHS 50x30x3", RoundTube: "CHS 33.7x3", Angle: "L 40x40x4",
	Channel: "channel 50x25x3x3", Flat: "flat 40x5", SquareBar: "sq bar 12", RoundBar: "round bar 12",
	Timber: "timber 45x70", Sheet: "sheet 1.5", Plywood: "ply 12", Foam: "foam 30", Board: "board 18",
}

// check refuses impossible geometry.
func (s Section) check(text string) error {
	for _, v := range []length.Length{s.Width, s.Height, s.Thickness, s.Flange} {
		if v < 0 || v > Largest {
			return fmt.Errorf("%s has a size of %s, beyond the %d mm a section may have; check the unit", length.Quote(text), v, Largest/length.Millimetre)
		}
	}
	zero := s.Thickness == 0
	switch s.Shape {
	case SquareBar, RoundBar, Timber:
		zero = s.Width == 0
	case Channel:
		zero = zero || s.Flange == 0
	}
	switch {
	case zero:
		return fmt.Errorf("%s has a size of zero; write the real one", length.Quote(text))
	case s.IsTube() && 2*s.Thickness >= min(s.Width, s.Height):
		return fmt.Errorf("%s has no hollow: twice the wall is not less than the side; check the sizes, or write a bar", length.Quote(text))
	case s.Shape == Angle && s.Thickness >= s.Width:
		return fmt.Errorf("%s has legs no wider than they are thick; write leg, leg and thickness, such as L 40x40x4", length.Quote(text))
	case s.Shape == Channel && (2*s.Flange >= s.Height || s.Thickness >= s.Width):
		return fmt.Errorf("%s has flanges or web that fill it; write depth, flange width, flange thickness and web thickness", length.Quote(text))
	}
	return s.checkCorner(text)
}

// checkCorner refuses corner rules where they mean nothing.
func (s Section) checkCorner(text string) error {
	if s.Corner == ByMaterial {
		return nil
	}
	rectangular := s.Shape == SquareTube || s.Shape == RectTube
	switch s.Corner {
	case EN10219, EN10210, USHSS:
		if !rectangular {
			return fmt.Errorf("%s names a corner rule, but only square and rectangular tube have one; leave it out", length.Quote(text))
		}
	case Sharp, Stated:
		if !rectangular && s.Shape != Angle && s.Shape != Channel {
			return fmt.Errorf("%s names a corner radius, but %s has none; leave it out", length.Quote(text), s.Shape)
		}
	}
	switch {
	case s.Toe != 0 && s.Shape != Angle:
		return fmt.Errorf("%s has a toe radius, which only an angle has; leave it out", length.Quote(text))
	case 2*s.Root > min(s.Width, s.Height):
		return fmt.Errorf("%s has a radius larger than half its side; check it", length.Quote(text))
	case s.Toe > s.Thickness:
		return fmt.Errorf("%s has a toe radius larger than its thickness; check it", length.Quote(text))
	}
	return nil
}

// msg is the US Manufacturers' Standard gauge for steel sheet in 1/10 000 in.
// 7 gauge and 3 gauge: Weight of sheet steel by gauge,
// roofonline.com/weight-of-sheet-steel; the others from memory, each checked
// there by its weight, 41.82 lb/ft² per inch.
var msg = map[int]int64{
	3: 2391, 4: 2242, 5: 2092, 6: 1943, 7: 1793, 8: 1644, 9: 1495, 10: 1345, 11: 1196, 12: 1046,
	13: 897, 14: 747, 15: 673, 16: 598, 17: 538, 18: 478, 19: 418, 20: 359, 21: 329, 22: 299,
	23: 269, 24: 239, 25: 209, 26: 179, 27: 164, 28: 149, 29: 135, 30: 120,
}

// byGauge names a steel sheet by gauge.
func (d designation) byGauge(s Section) (Section, error) {
	if s.Shape != Sheet {
		return s, fmt.Errorf("%s uses a gauge, which has several series for anything but steel sheet; write the thickness, such as .065 in", length.Quote(d.text))
	}
	t, ok := msg[d.gauge]
	if !ok {
		return s, fmt.Errorf("%s has a gauge outside 3 to 30; write the thickness instead", length.Quote(d.text))
	}
	s.Gauge, s.Unit = d.gauge, length.In
	s.Thickness = (length.Length(t)*length.Inch + 5000) / 10000
	return s, nil
}

// dressedSizes are US softwood lumber sizes, dry, in 1/16 in by nominal inch
// (American Softwood Lumber Standard PS 20-05, as in
// sizes.com/materials/lumberSoftDimen_US.htm and
// mail.vterrain.org/Hawaii/Ben/lumber.htm; 5/4 as in
// gandalfddi.github.io/woodsize.htm; 3 from memory).
var dressedSizes = map[string]length.Length{
	"1": 12, "5/4": 16, "2": 24, "3": 40, "4": 56, "6": 88, "8": 116, "10": 148, "12": 180,
}

// wholeInches reports whether the sizes are spelt as nominal lumber is.
func (d designation) wholeInches() bool {
	for _, z := range d.sizes {
		if _, ok := dressedSizes[z.text]; !ok {
			return false
		}
	}
	return len(d.sizes) == 2
}

// dressed gives nominal lumber its real size.
func (d designation) dressed(s Section) (Section, error) {
	if !d.wholeInches() {
		return s, fmt.Errorf("%s is not a nominal lumber size; write one such as timber 2x4 nominal, or the real size with its unit", length.Quote(d.text))
	}
	a, b := d.sizes[0].text, d.sizes[1].text
	if dressedSizes[a] > dressedSizes[b] {
		a, b = b, a
	}
	s.Unit = length.In
	s.Nominal = a + "x" + b
	s.Width, s.Height = dressedSizes[a]*length.Inch/16, dressedSizes[b]*length.Inch/16
	return s, nil
}
