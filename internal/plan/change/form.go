package change

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"strings"

	"sawbill/internal/job"
)

// form tells in few words what a panel is beyond its length and width. The
// number behind them is of every point in it, so that no change goes unseen.
func form(f *job.Form) string {
	if f == nil {
		return ""
	}
	var parts []string
	count := func(n int, one, more string) {
		switch {
		case n == 1:
			parts = append(parts, "1 "+one)
		case n > 1:
			parts = append(parts, fmt.Sprint(n, " ", more))
		}
	}
	if n := len(f.Outline); n > 0 {
		parts = append(parts, fmt.Sprintf("outline of %d edges", n))
	}
	count(len(f.Openings), "opening", "openings")
	count(len(f.Shape.Holes), "hole", "holes")
	count(len(f.Rows), "row of rivets", "rows of rivets")
	text, err := json.Marshal(f)
	if err != nil {
		text = fmt.Append(nil, err) // a figure that is no number, which no job holds
	}
	sum := sha256.Sum256(text)
	return strings.Join(append(parts, "no. "+hex.EncodeToString(sum[:4])), ", ")
}
