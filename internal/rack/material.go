package rack

import (
	"fmt"
	"strings"

	"sawbill/internal/length"
	"sawbill/internal/section"
)

// Material reads a section followed by what it is made of, such as
// "SHS 25x25x2 6063-T6", and gives the one spelling under which the rack keeps
// both. Bare numbers are millimetres, or inches where they can be nothing else.
func Material(text string) (spelling string, sheet bool, err error) {
	s, m, err := ParseMaterial(text)
	if err != nil {
		return "", false, err
	}
	return s.Canonical + ", " + m.Name, s.IsSheet(), nil
}

// ParseMaterial reads what Material does, and its spellings.
func ParseMaterial(text string) (section.Section, section.Material, error) {
	words := strings.Fields(text)
	for i := range words { // the spelling has a comma between the two
		words[i] = strings.TrimSuffix(words[i], ",")
	}
	// The longest section wins: "sheet 1.5 mm aluminium" leaves no unit behind.
	for i := len(words) - 1; i > 0; i-- {
		text := strings.Join(words[:i], " ")
		s, err := section.Parse(text, length.MM)
		if err != nil {
			s, err = section.Parse(text, length.In)
		}
		if err != nil {
			continue
		}
		m, err := section.LookupMaterial(strings.Join(words[i:], " "))
		if err != nil {
			continue
		}
		return s, m, s.Suits(m)
	}
	return section.Section{}, section.Material{}, fmt.Errorf("%q is not a section with its material; write one such as \"SHS 25x25x2 6063-T6\"", text)
}
