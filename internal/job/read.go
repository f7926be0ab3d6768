package job

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"hash"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"unicode/utf8"

	"sawbill/internal/length"
)

// Limits, so that a hostile or mistaken file ends in a fault and not in an
// exhausted machine. They are far above any real job.
const (
	largestFile   = 32 << 20  // bytes
	mostRows      = 200_000   // of one table
	mostColumns   = 1_000     // of one table
	mostCopies    = 1_000_000 // of all pieces and panels together
	mostFaults    = 1_000     // kept; the rest would say the same
	mostSuppliers = 1_000
)

// Read reads the job file at path and the tables it names. When anything is
// wrong the error is Faults, with every fault of every file, and the job is
// nil.
func Read(path string) (*Job, error) {
	d := Open(path)
	if d.Job == nil {
		return nil, d.Faults
	}
	return d.Job, nil
}

// finish puts what was found in order, and seals a job without faults.
func (r *reader) finish() {
	r.faults, r.job.Remarks = once(r.faults), once(r.job.Remarks)
	if len(r.faults) > 0 {
		r.faults.Sort()
		return
	}
	r.job.Digest = hex.EncodeToString(r.digest.Sum(nil))
	for _, v := range r.job.Variants {
		v.Job.Digest, v.Job.Remarks = r.job.Digest, r.job.Remarks
	}
}

// once leaves out what has been said of the same place before, as happens with
// a list that is read for pieces and again for panels.
func once(all []Message) []Message {
	met := map[Message]bool{}
	return slices.DeleteFunc(all, func(m Message) bool {
		twice := met[m]
		met[m] = true
		return twice
	})
}

func newReader(path string) *reader {
	return &reader{
		dir:          filepath.Dir(path),
		digest:       sha256.New(),
		suppliers:    map[string]int{},
		unreadTables: map[string]bool{},
		designated:   map[string][]int{},
		makings:      map[string]*making{},
	}
}

// reader gathers the job and its faults.
type reader struct {
	job    Job
	faults Faults
	dir    string // tables are named relative to the job file
	digest hash.Hash

	doc       *document
	suppliers map[string]int // by folded name
	// unreadTables are those that are there and could not be read, so that what
	// refers to them is not missed.
	unreadTables map[string]bool
	// lostHeader tells that a header could not be told, so that a material or
	// process that seems missing may stand below it.
	lostHeader bool
	// shared tells that pieces and panels stand in one list.
	shared bool
	// offersSound tells that all is well down to the last offer, so that pieces
	// and panels can be held against what is on sale.
	offersSound bool
	loadAt      Pos    // where the longest load is said
	decimal     string // as the job says it, "" when it does not
	// designated are the materials that designations have been found to mean.
	designated map[string][]int
	copies     int64 // of all pieces and panels so far
	drafts     []*draft
	worksheets []worksheet
	sheets     []Sheet
	unsided    []unsided
	// makings are what the tables say of panels, by mark; madeMarks those marks
	// as they are first met.
	makings   map[string]*making
	madeMarks []string
	formed    int     // corners and rows so far
	holes     float64 // of rows, as estimated
}

func (r *reader) fault(at Pos, format string, args ...any) {
	if len(r.faults) < mostFaults {
		r.faults = append(r.faults, Message{at, fmt.Sprintf(format, args...)})
	}
}

func (r *reader) remark(at Pos, format string, args ...any) {
	if len(r.job.Remarks) < mostFaults {
		r.job.Remarks = append(r.job.Remarks, Message{at, fmt.Sprintf(format, args...)})
	}
}

func (r *reader) read(path string) {
	data, ok := r.file(path, Pos{File: path}, "the job file", path)
	if !ok {
		return
	}
	if rest := bytes.TrimPrefix(data, []byte("\ufeff")); len(rest) < len(data) {
		data = rest
		r.remark(Pos{path, 1, 1}, "the file begins with a byte-order mark, which was skipped; save it as UTF-8 without one")
	}
	text := newSource(path, data)
	if !r.utf8(text) {
		return
	}
	doc, faults := parseTOML(text)
	r.doc = doc
	r.faults = append(r.faults, faults...)
	r.checkKeys()
	r.readJob()
	r.readLabels()
	r.readAssembly()
	r.readRack()
	r.readProcesses()
	r.readMaterials()
	r.readSuppliers()
	r.readVariants()
	r.readTables()
	if r.offersSound {
		r.crossCheck()
		if len(r.faults) == 0 { // else the rows with the marks may be those left out
			r.finishAdjust()
		}
		r.finishVariants()
	}
}

// file reads a whole file, adds it to the digest and to the list of files. A
// fault stands where the file is named and shows its name as it is written there.
func (r *reader) file(path string, named Pos, what, shown string) ([]byte, bool) {
	f, err := os.Open(path)
	if err == nil {
		defer f.Close()
		var info fs.FileInfo
		if info, err = f.Stat(); err == nil && info.IsDir() {
			r.fault(named, "%s %s is a folder; name a file in it", what, quote(shown))
			return nil, false
		}
	}
	var data []byte
	if err == nil {
		data, err = io.ReadAll(io.LimitReader(f, largestFile+1))
	}
	switch {
	case errors.Is(err, fs.ErrNotExist):
		advice := "check its name"
		if named.Line > 0 {
			advice = "write its name as seen from the folder of the job file"
		}
		r.fault(named, "%s %s does not exist; %s", what, quote(shown), advice)
		return nil, false
	case errors.Is(err, fs.ErrPermission):
		r.fault(named, "%s %s may not be read; change its permissions", what, quote(shown))
		return nil, false
	case err != nil:
		r.fault(named, "%s %s cannot be read: %v", what, quote(shown), err)
		return nil, false
	case len(data) > largestFile:
		r.fault(named, "%s %s is larger than %d MB; a cut list is far smaller, so check the name", what, quote(shown), largestFile>>20)
		return nil, false
	}
	fmt.Fprintf(r.digest, "%s %d\n", filepath.ToSlash(filepath.Base(path)), len(data))
	r.digest.Write(data)
	if !slices.Contains(r.job.Files, path) {
		r.job.Files = append(r.job.Files, path)
	}
	return data, true
}

// utf8 refuses a text that is not UTF-8, at the first byte that is not.
func (r *reader) utf8(text source) bool {
	data := text.data
	if bytes.HasPrefix(data, []byte{0xff, 0xfe}) || bytes.HasPrefix(data, []byte{0xfe, 0xff}) || looksUTF16(data) {
		r.fault(Pos{text.file, 1, 1}, "the file is in UTF-16; save it as UTF-8 (\"CSV UTF-8\" in a spreadsheet program)")
		return false
	}
	if i := bytes.IndexByte(data, 0); i >= 0 {
		r.fault(text.at(i), "the file holds a zero byte and is no text; save it as UTF-8 text")
		return false
	}
	if utf8.Valid(data) {
		return true
	}
	for i := 0; i < len(data); {
		c, n := utf8.DecodeRune(data[i:])
		if c == utf8.RuneError && n == 1 {
			r.fault(text.at(i), "byte 0x%02x is not UTF-8; save the file as UTF-8 (\"CSV UTF-8\" in a spreadsheet program)", data[i])
			return false
		}
		i += n
	}
	return true
}

// looksUTF16 recognises UTF-16 without a byte-order mark: every other byte of
// the beginning is zero.
func looksUTF16(data []byte) bool {
	n := min(len(data), 64) &^ 1
	if n < 4 {
		return false
	}
	zeros := [2]int{}
	for i := range n {
		if data[i] == 0 {
			zeros[i&1]++
		}
	}
	return zeros[0] > n/3 || zeros[1] > n/3
}

// checkKeys explains headers and keys that are not known, stand in the wrong
// place, or stand twice.
func (r *reader) checkKeys() {
	seen := map[string]Pos{}
	for _, s := range r.doc.sections {
		known, h := r.checkHeader(s)
		if s.lost || len(s.path) > 0 && !known {
			r.lostHeader = true
		}
		if len(s.path) > 0 {
			full := strings.Join(s.path, ".")
			if first, twice := seen["["+full]; twice {
				r.fault(s.pos, "the header [%s] stands twice, first at line %d; put the keys under one", full, first.Line)
				r.lostHeader = true
			} else {
				seen["["+full] = s.pos
			}
		}
		keys := map[string]Pos{}
		for _, e := range s.entries {
			if first, twice := keys[e.key]; twice {
				r.fault(e.pos, "the key %s stands twice under this header, first at line %d; keep one", quote(e.key), first.Line)
				continue
			}
			keys[e.key] = e.pos
			if len(s.path) == 0 {
				if s.lost {
					continue
				}
				r.fault(e.pos, "the key %s stands above any header; %s", quote(e.key), belongs(e.key, header{}))
				continue
			}
			if !known || h.name == "columns" {
				continue
			}
			if _, ok := h.key(e.key); !ok {
				r.fault(e.pos, "%s is not a key of %s; %s", quote(e.key), h.spelling(), belongs(e.key, h))
			}
		}
	}
}

// checkHeader reports whether a header is known, and which it is.
func (r *reader) checkHeader(s *heading) (bool, header) {
	if len(s.path) == 0 {
		return false, header{}
	}
	if s.path[0] == "variant" {
		return r.variantHeader(s)
	}
	full := strings.Join(s.path, ".")
	h, ok := headerNamed(s.path[0])
	var known []string
	for _, k := range headers {
		known = append(known, k.spelling())
	}
	switch {
	case !ok:
		advice := "the headers are " + strings.Join(known, ", ")
		var names []string
		for _, k := range headers {
			names = append(names, k.name)
		}
		near := nearest(s.path[0], names)
		if near != "" {
			h, _ = headerNamed(near)
			advice = "the nearest is " + h.spelling()
		}
		r.fault(s.pos, "[%s] is not a header; %s", full, advice)
		if near != "" && h.named == (len(s.path) == 2) {
			s.path[0] = near // so that what refers to it is not missed
			return true, h
		}
	case h.named && len(s.path) == 1:
		r.fault(s.pos, "the header [%s] needs a name of yours behind it; write %s", full, h.spelling())
	case h.named && len(s.path) > 2:
		r.fault(s.pos, "the header [%s] has too many points; put the name in quotes, [%s.%s]", full, s.path[0], tomlText(strings.Join(s.path[1:], ".")))
		s.path = []string{s.path[0], strings.Join(s.path[1:], ".")}
		return true, h
	case !h.named && len(s.path) > 1:
		r.fault(s.pos, "the header [%s] has no names below it; write [%s]", full, s.path[0])
	case h.named && strings.TrimSpace(s.path[1]) == "":
		r.fault(s.pos, "the name in the header [%s] is empty; write %s", full, h.spelling())
	default:
		return true, h
	}
	return false, h
}

// belongs says where an unknown key should stand or what it should be.
func belongs(name string, under header) string {
	name = strings.ReplaceAll(name, "_", "-")
	if under.name != "" {
		if near := nearest(name, under.names()); near != "" {
			return "the nearest key is " + near
		}
	}
	for _, h := range headers {
		if _, ok := h.key(name); ok {
			return "it belongs under " + h.spelling()
		}
	}
	best, where := "", header{}
	for _, h := range headers {
		if near := nearest(name, h.names()); near != "" && best == "" {
			best, where = near, h
		}
	}
	switch {
	case best != "":
		return fmt.Sprintf("the nearest key is %s, which belongs under %s", best, where.spelling())
	case under.name == "":
		return "put it under a header such as [job]"
	}
	return "the keys are " + strings.Join(under.names(), ", ")
}

// reading is how lengths of the job file itself are read.
func (r *reader) reading() length.Reading {
	return length.Reading{Unit: r.job.Unit, DecimalComma: r.job.DecimalComma}
}
