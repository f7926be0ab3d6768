package report

import (
	"fmt"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"sawbill/internal/job"
	"sawbill/internal/plan"
)

// suppliers names who is bought from, in the job's order, then as the plan
// first names them.
func suppliers(p *plan.Plan, j *job.Job) []string {
	bought := map[string]bool{}
	var met []string
	meet := func(name string) {
		if !bought[name] {
			bought[name] = true
			met = append(met, name)
		}
	}
	for _, o := range p.Orders {
		meet(o.Supplier)
	}
	for _, m := range p.Materials {
		if m.ByMark != "" {
			meet(m.ByMark)
		}
		for _, l := range m.Buy {
			meet(l.Supplier)
		}
	}
	var names []string
	for _, s := range j.Suppliers {
		if bought[s.Name] {
			bought[s.Name] = false
			names = append(names, s.Name)
		}
	}
	for _, n := range met {
		if bought[n] {
			names = append(names, n)
		}
	}
	return names
}

// ordered names who gets an order: all who are bought from but our own stock.
func ordered(p *plan.Plan, j *job.Job) []string {
	var names []string
	for _, b := range bills(p, j) {
		if !b.onHand {
			names = append(names, b.supplier)
		}
	}
	return names
}

// folders gives every supplier a folder of its own, safe on every common file
// system.
func folders(names []string) map[string]string {
	taken := map[string]bool{"workshop": true, "summary.pdf": true, "readme.txt": true, "plan.json": true,
		"enquiry.pdf": true, "enquiry.csv": true, "contents.txt": true, "bill.pdf": true, "bill.csv": true}
	out := map[string]string{}
	for _, name := range names {
		out[name] = uniqueName(safeName(name, "supplier"), taken)
	}
	return out
}

// uniqueName numbers a name that is taken, and takes it.
func uniqueName(base string, taken map[string]bool) string {
	name := base
	for n := 2; taken[fold(name)]; n++ {
		name = fmt.Sprintf("%s-%d", base, n)
	}
	taken[fold(name)] = true
	return name
}

// fold maps names that a case-insensitive file system takes for one.
func fold(name string) string { return strings.ToLower(norm.NFKC.String(name)) }

// reserved reports whether the folded name is a device on Windows, where no file
// may have it (Microsoft, Naming Files, Paths, and Namespaces).
func reserved(name string) bool {
	switch name {
	case "con", "prn", "aux", "nul":
		return true
	}
	port := strings.HasPrefix(name, "com") || strings.HasPrefix(name, "lpt")
	return port && len(name) == 4 && name[3] >= '0' && name[3] <= '9'
}

// longestName is in bytes, well under the 255 of common file systems.
const longestName = 60

// safeName keeps letters, digits and single joining signs.
func safeName(name, otherwise string) string {
	var b strings.Builder
	gap := false
	for _, r := range norm.NFC.String(name) {
		if !unicode.IsLetter(r) && !unicode.IsDigit(r) {
			gap = b.Len() > 0
			continue
		}
		joint := ""
		if gap {
			joint = "-"
		}
		if b.Len()+len(joint)+len(string(r)) > longestName {
			break
		}
		b.WriteString(joint + string(r))
		gap = false
	}
	safe := b.String()
	if safe == "" {
		return otherwise
	}
	if reserved(fold(safe)) {
		return safe + "-1"
	}
	return safe
}
