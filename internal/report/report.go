// Package report prints a plan: the pack of papers for the buyer, the workshop
// and each supplier, and the summary for the terminal. Everything comes from
// the plan and the job it answers, and the same two give the same bytes.
//
// The papers are in the manner of engineering drawings, because yards read
// drawings: a title block with the fields of ISO 7200, running dimensions from
// one datum after ISO 129-1, line widths instead of colours, hatching for scrap
// and an open end for an offcut that is kept. One model of lines and letters
// (package drawing) serves the PDF and the SVG writer.
//
// A supplier's folder holds what that supplier needs and nothing that another
// supplier asks or what the plan proves.
package report

import (
	"fmt"
	"path"
	"strings"
	"time"

	"sawbill/internal/job"
	"sawbill/internal/plan"
	"sawbill/internal/report/drawing"
	"sawbill/internal/report/screen"
	"sawbill/internal/report/typeface"
)

// File is one file of the pack; its path has slashes and is relative to the
// pack's folder.
type File struct {
	Path string
	Data []byte
}

// Pack makes every file of the pack except plan.json. The messages name the
// substitutes made for characters that the type cannot print. The error would be a
// fault of the program.
func Pack(p *plan.Plan, j *job.Job) ([]File, []job.Message, error) {
	s, err := newSet(p, j)
	if err != nil {
		return nil, nil, err
	}
	return s.pack(nil)
}

// pack makes the files, with those of more, named with what they are for, at the
// head of the folder.
func (s *set) pack(more [][2]string) ([]File, []job.Message, error) {
	p, j := s.plan, s.job
	names := ordered(p, j)
	where := folders(names)
	s.buyer()
	s.massAndMoney()
	s.enquiry()
	s.workshop(names, where)
	for _, name := range names {
		s.supplier(name, where[name])
	}
	s.add("README.txt", s.packReadme(more, names, where))
	if s.err != nil {
		return nil, nil, s.err
	}
	return s.files, s.messages, nil
}

// set is the set of papers being made.
type set struct {
	style
	lists
	plan     *plan.Plan
	job      *job.Job
	face     *typeface.Face
	paper    string
	wide     float64 // the long side of the paper, mm
	high     float64 // the short side
	files    []File
	messages []job.Message
	met      map[rune]bool // runes reported already
	err      error         // the first
	// rests say of layouts, by material and number, what they are cut from that was at hand.
	rests map[string]string
	// onScreen keeps what papers say, in told, in place of the papers.
	onScreen bool
	told     []screen.Paper
}

func newSet(p *plan.Plan, j *job.Job) (*set, error) {
	face, err := typeface.New()
	if err != nil {
		return nil, err
	}
	s := &set{style: styleOf(p, j), lists: listsOf(j), plan: p, job: j, face: face, met: map[rune]bool{}}
	s.paperSize()
	return s, nil
}

// Paper sizes in millimetres: ISO 216 A4, and ANSI/ASME Y14.1 A (Letter).
func (s *set) paperSize() {
	s.paper, s.wide, s.high = "A4", 297, 210
	if strings.EqualFold(s.job.Paper, "Letter") {
		s.paper, s.wide, s.high = "Letter", 279.4, 215.9
	}
}

func (s *set) add(name string, data []byte) {
	s.files = append(s.files, File{Path: name, Data: data})
}

// clean makes a text printable and reports what it had to replace.
func (s *set) clean(text string) string {
	clean, lost := s.face.Clean(text)
	for _, r := range lost {
		if s.met[r] {
			continue
		}
		s.met[r] = true
		s.messages = append(s.messages, job.Message{Text: fmt.Sprintf(
			"the type of the papers has no character U+%04X (in %q); it is printed as ‹U+%04X›", r, clip(text, 40), r)})
	}
	return clean
}

func clip(text string, runes int) string {
	if r := []rune(text); len(r) > runes {
		return string(r[:runes]) + "…"
	}
	return text
}

// date is the job's, for the files' own dates; a fixed one when it has none.
func (s *set) date() time.Time {
	if d, err := time.Parse(time.DateOnly, s.plan.Job.Date); err == nil {
		return d
	}
	return time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)
}

// under joins a folder and a file's name.
func under(folder, name string) string { return path.Join(folder, name) }

var (
	hair   = drawing.Pen{Width: drawing.Hair}
	thin   = drawing.Pen{Width: drawing.Thin}
	medium = drawing.Pen{Width: drawing.Medium}
	thick  = drawing.Pen{Width: drawing.Thick}
	// heavy is for what is cut at the yard: 1 mm, two steps of ISO 128-2 above thick.
	heavy = drawing.Pen{Width: 2 * drawing.Thick}
)
