package job

import (
	"fmt"
	"strings"

	"sawbill/internal/length"
	"sawbill/internal/section"
)

// Which side of a bar a mitre is laid on: told in words, or by the size that the
// mitre runs across.

// faceWords name the sides of the shapes that have different ones.
var faceWords = map[section.Shape][2]string{
	section.RectTube: flatWords,
	section.Timber:   flatWords,
	section.Flat: {
		section.Narrow: flatWords[section.Narrow] + ",thickness,thick,dicke,starke,epaisseur,grosor,espesor",
		section.Wide:   flatWords[section.Wide] + ",width,breite,largeur,ancho,anchura",
	},
	section.Angle: {
		section.Narrow: "lying leg,lying,flat leg,foot,liegender schenkel,liegend,aile couchee,couchee,ala tumbada,ala horizontal",
		section.Wide:   "standing leg,standing,upright leg,upright,stehender schenkel,stehend,aile debout,debout,ala de pie,ala vertical",
	},
	section.Channel: {
		section.Narrow: "flange,flanges,across the flanges,flansch,gurt,aile,ailes,ala,alas",
		section.Wide:   "web,across the web,steg,ame,alma",
	},
}

// flatWords name the sides of a rectangle.
var flatWords = [2]string{
	section.Narrow: "narrow,narrow side,narrow face,short side,small side,edge,on edge,on the edge,schmal,schmalseite,schmale seite,hochkant,kante," +
		"etroit,etroite,petit cote,sur chant,chant,estrecho,estrecha,lado estrecho,cara estrecha,canto,de canto",
	section.Wide: "wide,wide side,wide face,long side,broad,broad side,flat,on the flat,breit,breitseite,breite seite,flach,flachseite," +
		"large,grand cote,a plat,plat,ancho,ancha,lado ancho,cara ancha,plano,de plano",
}

// legWords name the legs of an angle with unequal ones.
var legWords = [2]string{
	section.Narrow: "short leg,short,kurzer schenkel,kurz,petite aile,aile courte,ala corta,corta",
	section.Wide:   "long leg,long,langer schenkel,lang,grande aile,aile longue,ala larga,larga",
}

// faceNamed finds the side of a section that a word names.
func faceNamed(s section.Section, text string) (section.Face, bool) {
	word := fold(text)
	lists := [][2]string{faceWords[s.Shape]}
	if s.Shape == section.Angle && s.Width != s.Height {
		lists = append(lists, legWords)
	}
	for _, f := range section.Faces {
		for _, names := range lists {
			for _, n := range strings.Split(names[f], ",") {
				if n != "" && (n == word || n == withoutUmlaut.Replace(word)) {
					return f, true
				}
			}
		}
	}
	return 0, false
}

// faceSized finds the side of a section that has a size.
func faceSized(s section.Section, text string, reading length.Reading) (section.Face, bool) {
	narrow, wide := s.Across(section.Narrow), s.Across(section.Wide)
	for _, unit := range []length.Unit{reading.Unit, s.Unit} {
		reading.Unit = unit
		l, err := length.Parse(text, reading)
		if err != nil || narrow == wide {
			return 0, false
		}
		switch l {
		case narrow:
			return section.Narrow, true
		case wide:
			return section.Wide, true
		}
	}
	return 0, false
}

// faces reads which side each mitred end is laid on: what the row says of the one
// end, else what it says of both, else the narrow side.
func (c record) faces(p *Piece) bool {
	both, left, right := c.cell("face"), c.cell("left-face"), c.cell("right-face")
	if both.text == "" && left.text == "" && right.text == "" {
		return true
	}
	fine := true
	if both.text != "" && p.Left == 0 && p.Right == 0 {
		c.t.r.fault(both.at, "face %s says on which side a mitre is laid, and both ends are square; leave it empty", quote(both.text))
		fine = false
	}
	end := func(name string, own cell, angle int64, to *section.Face) {
		switch {
		case angle == 0 && own.text != "":
			c.t.r.fault(own.at, "%s %s says on which side a mitre is laid, and that end is square; leave it empty, or write its angle", name, quote(own.text))
			fine = false
		case angle != 0 && own.text != "":
			fine = c.face(name, own, p, to) && fine
		case angle != 0 && both.text != "":
			fine = c.face("face", both, p, to) && fine
		}
	}
	end("left-face", left, p.Left, &p.LeftFace)
	if fine {
		end("right-face", right, p.Right, &p.RightFace)
	}
	return fine
}

func (c record) face(name string, v cell, p *Piece, to *section.Face) bool {
	s := c.t.r.job.Materials[p.Material].Section
	if s.EqualFaces() {
		c.t.r.fault(v.at, "%s %s names a side, and those of %s are all the same; leave it empty", name, quote(v.text), s)
		return false
	}
	f, known := faceNamed(s, v.text)
	if !known {
		f, known = faceSized(s, v.text, c.reading(name))
	}
	if !known {
		c.t.r.fault(v.at, "%s %s is no side of %s; write %s or %s", name, quote(v.text), s, c.t.r.spellFace(s, section.Narrow), c.t.r.spellFace(s, section.Wide))
		return false
	}
	*to = f
	return true
}

// spellFace is a side as a table may name it, with its size.
func (r *reader) spellFace(s section.Section, f section.Face) string {
	return fmt.Sprintf("%s (%s)", s.FaceName(f), r.print(s.Across(f)))
}

// WithFaces is the piece as it is cut from a section: where all sides are the same
// it is laid on none in particular.
func (p Piece) WithFaces(s section.Section) Piece {
	if s.EqualFaces() {
		p.LeftFace, p.RightFace = section.Narrow, section.Narrow
	}
	return p
}

// Mitred says that an end of the piece, or both, are not square.
func (p Piece) Mitred() bool { return p.Left != 0 || p.Right != 0 }
