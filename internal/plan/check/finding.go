package check

import (
	"fmt"
	"strings"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
)

// Finding is one thing in a plan that is not as it must be.
type Finding struct {
	Where string // "tube, bar 3, P1/2"
	Text  string
}

func (f Finding) String() string { return f.Where + ": " + f.Text }

// Unproved is the error when a plan that was made fails its proof.
type Unproved struct {
	Of       string // what was planned, as the sentence names it
	Findings []Finding
}

func (e *Unproved) Error() string {
	text := "the plan for " + e.Of + " fails its proof"
	for _, f := range e.Findings {
		text += "\n" + f.String()
	}
	return text
}

// repeats is how many findings of one kind are told before they are only counted.
const repeats = 8

// audit collects what one check finds.
type audit struct {
	job  *job.Job
	plan *plan.Plan

	pieces, panels map[string]int // mark to index in the job
	cut            map[copyKey]bool
	suppliers      map[string]int // name to index in the job
	way            map[int]string // how the order of a supplier comes home
	byMark         map[int]bool   // materials bought by the mark
	weak           bool           // part of the proof of the purchase could not be used

	findings []Finding
	notes    []string
	kinds    []string // formats used, in order of first use
	counts   map[string]int
}

// find adds a finding. Those of one format are one kind.
func (a *audit) find(where, format string, args ...any) {
	if a.counts == nil {
		a.counts = map[string]int{}
	}
	if a.counts[format] == 0 {
		a.kinds = append(a.kinds, format)
	}
	a.counts[format]++
	if a.counts[format] <= repeats {
		a.findings = append(a.findings, Finding{where, fmt.Sprintf(format, args...)})
	}
}

func (a *audit) note(format string, args ...any) {
	a.notes = append(a.notes, fmt.Sprintf(format, args...))
}

// close ends the check and tells how many findings were only counted.
func (a *audit) close() ([]Finding, []string) {
	unsaid := 0
	for _, k := range a.kinds {
		unsaid += max(0, a.counts[k]-repeats)
	}
	if unsaid > 0 {
		a.findings = append(a.findings, Finding{"plan", fmt.Sprintf("%d more of the kinds above are not listed", unsaid)})
	}
	return a.findings, a.notes
}

// len prints a length in the job's unit, exactly; what is no length on earth
// is printed as the plan has it.
func (a *audit) len(l length.Length) string {
	if l < -length.Max || l > length.Max {
		return fmt.Sprintf("%d units", int64(l))
	}
	s := length.Exact(l, a.job.Unit)
	if strings.ContainsAny(s, `'"`) {
		return s // feet and inches have their marks
	}
	return s + " " + a.job.Unit.String()
}

func (a *audit) layoutName(m *material, i int) string {
	kind := "bar"
	if m.job.Sheet() {
		kind = "sheet"
	}
	return fmt.Sprintf("%s, %s %d", m.job.Key, kind, i+1)
}

func copyName(where, mark string, copy int) string {
	return fmt.Sprintf("%s, %s/%d", where, mark, copy)
}

// onTape reports whether a length from the plan is one a tape could show; only
// on those are sums built.
func onTape(l length.Length) bool { return l >= 0 && l <= length.Max }
