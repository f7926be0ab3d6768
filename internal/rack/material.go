package rack

import (
	"fmt"
	"strings"

	"sawbill/internal/length"
	"sawbill/internal/section"
)

// Material reads a section followed by what it is made of, such as
// "SHS 25x25x2 6063-T6", and gives the one spelling under which the rack keeps
// both. Bare numbers are millimetres.
func Material(text string) (spelling string, sheet bool, err error) {
	words := strings.Fields(text)
	// The longest section wins: "sheet 1.5 mm aluminium" leaves no unit behind.
	for i := len(words) - 1; i > 0; i-- {
		s, err := section.Parse(strings.Join(words[:i], " "), length.MM)
		if err != nil {
			continue
		}
		m, err := section.LookupMaterial(strings.Join(words[i:], " "))
		if err != nil {
			continue
		}
		if err := s.Suits(m); err != nil {
			return "", false, err
		}
		return s.Canonical + ", " + m.Name, s.IsSheet(), nil
	}
	return "", false, fmt.Errorf("%q is not a section with its material; write one such as \"SHS 25x25x2 6063-T6\"", text)
}
