package job

import (
	"strings"
	"testing"
)

// Files that repeat one thing without end are refused, or read, in work that
// grows with their size and no faster: at a megabyte anything quadratic
// would run into the test's own limit.
func TestHostileFiles(t *testing.T) {
	const size = 1 << 20
	fill := func(s string) string { return strings.Repeat(s, size/len(s)) }
	for _, p := range []string{`"`, `""`, ",", `,"`, "\n", "\"a\n\"b", `"a,`, "x", "Total,\n", "mark,length\n", `"""x,`, "é", "é,"} {
		for _, text := range []string{"mark,length\n" + fill(p), fill(p)} {
			_, err := readText(t, withPieces("list.csv"), "list.csv", text)
			checkFaults(t, text, err)
			if err == nil {
				t.Errorf("%q again and again is read as a table", p)
			}
		}
	}
	for _, p := range []string{"a\n", "[", "[a\n", "a = '''\n", "a = \"\"\"\n'\n", "#\n", "a = 1\n", `"`, "[material.a]\n", "a=[", "a={b=", "a = [1,\n", "a.", "é"} {
		text := sound + fill(p)
		_, err := readText(t, text)
		checkFaults(t, text, err)
	}
}
