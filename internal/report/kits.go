package report

import (
	"fmt"
	"strings"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/report/drawing"
)

// Kits for assembly: a page for each group of the job's list, with all that goes into
// it in the order of fit, and how long bonding takes.

// kitPaper has a page for each kit, more where one does not fit.
func (s *set) kitPaper(all []kit) *document {
	d := s.document("Assembly kits", false)
	for _, k := range all {
		d.title = k.name
		if k.name == "" {
			d.title = "In no group"
		}
		d.newPage()
		d.heading(d.title, 18)
		d.kitPieces(k)
		d.kitJoints(k)
		d.kitPanels("Foam, before the panels", k.fill)
		d.kitPanels("Panels", k.panels)
		d.kitRivets(k)
		d.kitItems(k)
	}
	return d
}

func (d *document) kitPieces(k kit) {
	if len(k.pieces) == 0 {
		return
	}
	d.heading("Frame, in the order of the list", 12)
	mark := d.shareFor(marksOf(k.pieces, func(p job.Piece) string { return p.Mark }), 10, 14, 34)
	t := d.table(10, column{head: "here", share: 8, tick: true}, column{head: "mark", share: mark, bold: true, wrap: true, whole: true}, column{head: "pieces", share: 15, align: drawing.Right, bold: true},
		column{head: "length, " + d.unit.String(), share: 26, align: drawing.Right}, column{head: "ends", share: 50, wrap: true}, column{head: "material", share: 22, wrap: true}, column{head: "note", share: 66 - mark, wrap: true})
	for _, p := range k.pieces {
		ends := "square"
		if p.Mitred() {
			ends = d.ends(d.materials[d.job.Materials[p.Material].Key].Section, p)
		}
		t.row("", p.Mark, fmt.Sprint(p.Quantity), d.own(p.Length), ends, materialAt(d.job, p.Material).Key, fitted(p))
	}
	t.end()
}

func (d *document) kitJoints(k kit) {
	if len(k.joints) == 0 {
		return
	}
	d.need(30)
	d.heading("Join", 12)
	t := d.table(10, column{head: "done", share: 8, tick: true}, column{head: "joint", share: 34, bold: true, wrap: true, whole: true}, column{head: "joints", share: 13, align: drawing.Right, bold: true},
		column{head: "brackets at each", share: 40, wrap: true}, column{head: "rivets at each", share: 36}, column{head: "note", share: 56, wrap: true})
	for _, j := range k.joints {
		brackets, rivets := "", ""
		if j.Bracket >= 0 && j.Brackets > 0 {
			brackets = fmt.Sprintf("%d × %s", j.Brackets, d.job.Brackets[j.Bracket].Kind)
		}
		if j.Rivets > 0 {
			rivets = fmt.Sprintf("%d × %s", j.Rivets, d.rivetOf(rivetFor(d.job, j)))
		}
		t.row("", j.Mark, fmt.Sprint(j.Quantity), brackets, rivets, j.Note)
	}
	t.end()
}

// rivetFor is the size that is set in a joint.
func rivetFor(j *job.Job, joint job.Joint) rivetNeed {
	n := rivetNeed{diameter: joint.Diameter}
	if fit := j.FitRivets(joint); len(fit) > 0 {
		n.length = j.Rivets[fit[0]].Length
	}
	return n
}

func (s style) rivetOf(n rivetNeed) string {
	if n.length == 0 {
		return s.ownWithUnit(n.diameter) + ", length by the grip"
	}
	return s.rivetSize(n.diameter, n.length)
}

// sizedAs says what the figures of a rivet's size are.
func sizedAs(n rivetNeed) string {
	if n.length == 0 {
		return ""
	}
	return ", diameter × length"
}

// kitPanels lists panels, and of those that are bonded how long that takes.
func (d *document) kitPanels(title string, panels []job.Panel) {
	if len(panels) == 0 {
		return
	}
	d.need(30)
	d.heading(title, 12)
	mark := d.shareFor(marksOf(panels, func(p job.Panel) string { return p.Mark }), 10, 14, 26)
	t := d.table(10, column{head: "here", share: 8, tick: true}, column{head: "mark", share: mark, bold: true, wrap: true, whole: true}, column{head: "panels", share: 13, align: drawing.Right, bold: true},
		column{head: "size, " + d.unit.String(), share: 36, align: drawing.Right}, column{head: "material", share: 20, wrap: true}, column{head: "rivets each", share: 17, align: drawing.Right},
		column{head: "bead each", share: 18, align: drawing.Right}, column{head: "min each", share: 15, align: drawing.Right}, column{head: "note", share: 63 - mark, wrap: true})
	var beads length.Length
	var slow []string
	open := d.job.Assembly.OpenTime
	pace := d.pace()
	for _, p := range panels {
		bead, rivets := bonded(p)
		cells := []string{"", p.Mark, fmt.Sprint(p.Quantity), d.own(p.Length) + " × " + d.own(p.Width), materialAt(d.job, p.Material).Key, "", "", "", p.Note}
		if rivets > 0 {
			cells[5] = fmt.Sprint(rivets)
		}
		if bead > 0 {
			sec := seconds(pace, bead, rivets)
			beads += bead * length.Length(p.Quantity)
			cells[6], cells[7] = d.metresOf(int64(bead)), fmt.Sprint(minutes(sec))
			if open > 0 && sec > 60*open {
				slow = append(slow, fmt.Sprintf("%s takes %d min alone: %d people, or bond it in %d steps", p.Mark, minutes(sec), parts(sec, open), parts(sec, open)))
			}
		}
		t.row(cells...)
	}
	t.end()
	if beads == 0 {
		return
	}
	d.paragraph(fmt.Sprintf("Adhesive: %s of bead in all. Reckoned with %d rivets and %s of bead in a minute by one person, holes drilled and parts at hand%s.",
		d.metresOf(int64(beads)), pace.Rivets, d.metresOf(int64(pace.Bead)), d.ifAssumed()), 9)
	switch {
	case open == 0:
		d.paragraph("Open time of the adhesive, by its maker's data sheet: ________ min. A panel must be riveted within it, from the first of its bead on.", 9)
	case len(slow) == 0:
		d.paragraph(fmt.Sprintf("Each panel is riveted within the adhesive's open time of %d min.", open), 9)
	default:
		d.paragraph(fmt.Sprintf("LONGER THAN THE OPEN TIME of %d min: %s.", open, strings.Join(slow, "; ")), 10)
	}
}

// pace is how fast one person works.
func (s *set) pace() job.Assembly {
	a := s.job.Assembly
	if a.Rivets <= 0 {
		a.Rivets = job.DefaultAssembly.Rivets
	}
	if a.Bead <= 0 {
		a.Bead = job.DefaultAssembly.Bead
	}
	return a
}

// ifAssumed tells that the pace is what is common, not the job's own.
func (s *set) ifAssumed() string {
	if p := s.pace(); p.Rivets == job.DefaultAssembly.Rivets && p.Bead == job.DefaultAssembly.Bead {
		return "; common practice, set your own under [assembly]"
	}
	return ""
}

func minutes(seconds int64) int64 { return (seconds + 59) / 60 }

// parts is in how many parts of at most so many minutes a time goes.
func parts(seconds, open int64) int64 { return (seconds + 60*open - 1) / (60 * open) }

func (d *document) kitRivets(k kit) {
	if len(k.rivets)+len(k.brackets) == 0 {
		return
	}
	d.need(30)
	d.heading("Rivets and brackets of this kit", 12)
	t := d.table(10, column{head: "here", share: 8, tick: true}, column{head: "what", share: 120, bold: true}, column{head: "count", share: 20, align: drawing.Right, bold: true},
		column{head: "counted", share: 24, box: true})
	for _, n := range k.rivets {
		t.row("", "rivets "+d.rivetOf(n)+sizedAs(n), fmt.Sprint(n.count))
	}
	for _, b := range k.brackets {
		t.row("", "brackets "+b.kind, fmt.Sprint(b.count))
	}
	t.end()
}

func (d *document) kitItems(k kit) {
	if len(k.items) == 0 {
		return
	}
	d.need(30)
	d.heading("Bought parts", 12)
	t := d.table(10, column{head: "here", share: 8, tick: true}, column{head: "what", share: 90, bold: true, wrap: true}, column{head: "count", share: 20, align: drawing.Right, bold: true}, column{head: "note", share: 60, wrap: true})
	for _, i := range k.items {
		t.row("", i.Name, fmt.Sprint(i.Quantity), i.Note)
	}
	t.end()
}
