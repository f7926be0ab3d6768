package dxf

import (
	"fmt"

	"sawbill/internal/length"
)

// A file is what is kept of a drawing: what is drawn in model space, the
// blocks, the layers, the unit.
type file struct {
	unit   int             // $INSUNITS, 0 if it does not say
	layers map[string]bool // hidden ones, by key
	blocks map[string]*block
	model  block
	kept   int // entities, blocks, layers and points that are held
}

// A block is a list of entities, drawn where it is inserted.
type block struct {
	name     string
	base     spot
	external bool
	entities []entity
	ignored  map[sort]int
}

// A sort of entity that is not read.
type sort struct{ kind, layer string }

// An entity as it was read: single numbers by their group, and the lists of
// those that have some.
type entity struct {
	kind, layer, block string
	line               int
	value              map[int]float64
	vertices           []vertex
	fit                []spot
	knots, weights     []float64
}

// A spot is a place in the plane, in units of the drawing or of 25 nm.
type spot struct{ x, y float64 }

// A vertex and the bulge of the edge that starts there.
type vertex struct {
	spot
	bulge float64
}

const (
	mostKept    = 500_000 // points, knots, names, and five for an entity
	heavy       = 5
	mostIgnored = 200 // sorts that are told apart
)

// kinds that are read, and that are passed over without a word: ends of lists,
// and what frames the drawing in paper space.
var (
	drawn  = map[string]bool{"LINE": true, "ARC": true, "CIRCLE": true, "ELLIPSE": true, "SPLINE": true, "LWPOLYLINE": true, "POLYLINE": true, "INSERT": true}
	silent = map[string]bool{"SEQEND": true, "VIEWPORT": true}
)

// wanted are the codes of the numbers that are looked at.
var wanted = map[int]bool{10: true, 20: true, 30: true, 11: true, 21: true, 31: true, 12: true, 22: true, 13: true, 23: true, 38: true, 40: true, 41: true, 42: true, 44: true, 45: true,
	50: true, 51: true, 70: true, 71: true, 210: true, 220: true, 230: true}

func (f *file) keep(n int) error {
	f.kept += n
	if f.kept > mostKept {
		return fmt.Errorf("the drawing has more than %d points or %d things in it: leave out what is not to be cut", mostKept, mostKept/heavy)
	}
	return nil
}

// A parser reads a file section by section; now is the group to be looked at.
type parser struct {
	scan *scanner
	now  group
	file file
}

func (p *parser) advance() (err error) {
	p.now, err = p.scan.next()
	return err
}

func (p *parser) at(name string) bool { return p.now.code == 0 && p.now.name() == name }

// skip goes on to the next group 0.
func (p *parser) skip() error {
	for {
		if err := p.advance(); err != nil || p.now.code == 0 {
			return err
		}
	}
}

// parse reads the whole file.
func (p *parser) parse() error {
	p.file.layers, p.file.blocks = map[string]bool{}, map[string]*block{}
	if err := p.advance(); err != nil {
		return err
	}
	for !p.at("EOF") {
		if !p.at("SECTION") {
			return fmt.Errorf("line %d: %s stands where a section should begin: this is no DXF, export it anew", p.now.line, length.Quote(p.now.value))
		}
		if err := p.advance(); err != nil {
			return err
		}
		if p.now.code != 2 {
			return fmt.Errorf("line %d: a section has no name: export the drawing anew", p.now.line)
		}
		name := p.now.name()
		if err := p.advance(); err != nil {
			return err
		}
		var err error
		switch name {
		case "HEADER":
			err = p.header()
		case "TABLES":
			err = p.tables()
		case "BLOCKS":
			err = p.blocks()
		case "ENTITIES":
			err = p.entities(&p.file.model)
		}
		for err == nil && !p.at("ENDSEC") {
			if p.at("SECTION") || p.at("EOF") {
				err = fmt.Errorf("line %d: the section %s has no end: the drawing is not complete, get it anew", p.now.line, length.Quote(name))
				break
			}
			err = p.skip()
		}
		if err == nil {
			err = p.skip()
		}
		if err != nil {
			return err
		}
	}
	return nil
}

func (p *parser) header() error {
	variable := ""
	for p.now.code != 0 {
		switch {
		case p.now.code == 9:
			variable = p.now.name()
		case variable == "$INSUNITS" && p.now.code == 70:
			unit, err := p.now.whole()
			if err != nil {
				return err
			}
			p.file.unit = unit
		}
		if err := p.advance(); err != nil {
			return err
		}
	}
	return nil
}

// tables finds the layers that are off or frozen.
func (p *parser) tables() error {
	for !p.at("ENDSEC") && !p.at("EOF") && !p.at("SECTION") {
		layer := p.at("LAYER")
		name, hidden := "", false
		for {
			if err := p.advance(); err != nil {
				return err
			}
			if p.now.code == 0 {
				break
			}
			if !layer || p.now.code != 2 && p.now.code != 62 && p.now.code != 70 {
				continue
			}
			if p.now.code == 2 {
				name = p.now.name()
				continue
			}
			v, err := p.now.whole()
			if err != nil {
				return err
			}
			if p.now.code == 62 && v < 0 || p.now.code == 70 && v&1 != 0 {
				hidden = true
			}
		}
		if hidden {
			if err := p.file.keep(1); err != nil {
				return err
			}
			p.file.layers[key(name)] = true
		}
	}
	return nil
}

func (p *parser) blocks() error {
	for p.at("BLOCK") {
		b := &block{}
		for {
			if err := p.advance(); err != nil {
				return err
			}
			var err error
			switch p.now.code {
			case 2:
				b.name = p.now.name()
			case 10:
				b.base.x, err = p.now.number()
			case 20:
				b.base.y, err = p.now.number()
			case 70:
				var flags int
				flags, err = p.now.whole()
				b.external = flags&(4|8) != 0
			}
			if err != nil {
				return err
			}
			if p.now.code == 0 {
				break
			}
		}
		if err := p.file.keep(1); err != nil {
			return err
		}
		if err := p.entities(b); err != nil {
			return err
		}
		if p.at("ENDBLK") {
			if err := p.skip(); err != nil {
				return err
			}
		}
		p.file.blocks[key(b.name)] = b
	}
	return nil
}

// entities reads them into a block, up to what is none.
func (p *parser) entities(b *block) error {
	b.ignored = map[sort]int{}
	for p.now.code == 0 && !p.at("ENDSEC") && !p.at("ENDBLK") && !p.at("EOF") && !p.at("SECTION") && !p.at("BLOCK") {
		e, shown, err := p.entity()
		if err != nil {
			return err
		}
		if e.kind == "POLYLINE" {
			if err := p.vertices(&e); err != nil {
				return err
			}
		}
		switch {
		case silent[e.kind] || !shown:
		case !drawn[e.kind]:
			s := sort{e.kind, e.layer}
			if len(b.ignored) >= mostIgnored && b.ignored[s] == 0 {
				s = sort{"other entities", ""}
			}
			if b.ignored[s] == 0 {
				if err := p.file.keep(1); err != nil {
					return err
				}
			}
			b.ignored[s]++
		default:
			if err := p.file.keep(heavy); err != nil {
				return err
			}
			b.entities = append(b.entities, e)
		}
	}
	return nil
}

// vertices reads those that follow a POLYLINE.
func (p *parser) vertices(e *entity) error {
	for p.at("VERTEX") {
		v, _, err := p.entity()
		if err != nil {
			return err
		}
		if int(v.value[70])&16 != 0 {
			continue // a control point of a curve that was drawn into vertices
		}
		if err := p.file.keep(1); err != nil {
			return err
		}
		e.vertices = append(e.vertices, vertex{spot{v.value[10], v.value[20]}, v.value[42]})
		if v.value[30] != 0 {
			e.value[30] = v.value[30]
		}
	}
	return nil
}

// entity reads one, up to the next group 0; shown is false for one in paper
// space or invisible.
func (p *parser) entity() (e entity, shown bool, err error) {
	e.kind, e.line, shown = p.now.name(), p.now.line, true
	read := drawn[e.kind] || e.kind == "VERTEX"
	if read {
		e.value = map[int]float64{}
	}
	for {
		if err := p.advance(); err != nil {
			return e, shown, err
		}
		g := p.now
		switch {
		case g.code == 0:
			return e, shown, nil
		case g.code == 8:
			e.layer = g.name()
		case g.code == 67 || g.code == 60:
			v, err := g.whole()
			if err != nil {
				return e, shown, err
			}
			shown = shown && v == 0
		case !read:
		case g.code == 2 && e.kind == "INSERT":
			e.block = g.name()
		default:
			if err := p.numbers(&e, g); err != nil {
				return e, shown, err
			}
		}
	}
}

// numbers takes in one of an entity.
func (p *parser) numbers(e *entity, g group) error {
	switch {
	case !wanted[g.code]:
		return nil
	case g.code == 70 || g.code == 71:
		v, err := g.whole()
		e.value[g.code] = float64(v)
		return err
	}
	v, err := g.number()
	if err != nil {
		return err
	}
	spots := e.kind == "LWPOLYLINE" || e.kind == "SPLINE"
	last := len(e.vertices) - 1
	switch {
	case spots && g.code == 10:
		e.vertices = append(e.vertices, vertex{spot: spot{x: v}})
		return p.file.keep(1)
	case spots && g.code == 20 && last >= 0:
		e.vertices[last].y = v
	case e.kind == "LWPOLYLINE" && g.code == 42 && last >= 0:
		e.vertices[last].bulge = v
	case e.kind == "SPLINE" && g.code == 11:
		e.fit = append(e.fit, spot{x: v})
		return p.file.keep(1)
	case e.kind == "SPLINE" && g.code == 21 && len(e.fit) > 0:
		e.fit[len(e.fit)-1].y = v
	case e.kind == "SPLINE" && g.code == 40:
		e.knots = append(e.knots, v)
		return p.file.keep(1)
	case e.kind == "SPLINE" && g.code == 41:
		e.weights = append(e.weights, v)
		return p.file.keep(1)
	case spots && g.code == 30:
		if v != 0 {
			e.value[30] = v
		}
	default:
		e.value[g.code] = v
	}
	return nil
}

// or is a number of the entity, or what it is where it does not say.
func (e *entity) or(code int, otherwise float64) float64 {
	if v, said := e.value[code]; said {
		return v
	}
	return otherwise
}

func (e *entity) flag(bit int) bool { return int(e.value[70])&bit != 0 }

// add counts what was ignored, as often as its block is drawn.
func add(to, from map[sort]int) {
	for s, n := range from {
		to[s] += n
	}
}
