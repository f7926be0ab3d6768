package job

import (
	"slices"
	"strings"

	"sawbill/internal/length"
	"sawbill/internal/section"
)

// designation reads a designation that may name its alloy, and gives the two
// apart.
func designation(text string, unit length.Unit) (alloy string, s section.Section, rest string) {
	if s, err := section.Parse(text, unit); err == nil {
		return alloyIn(text), s, strings.TrimSpace(text)
	}
	words := strings.FieldsFunc(text, func(c rune) bool { return c == ' ' || c == ',' || c == ';' || c == '\t' })
	for n := 3; n >= 1; n-- {
		for i := 0; i+n <= len(words); i++ {
			name := strings.Join(words[i:i+n], " ")
			if _, err := section.LookupMaterial(name); err != nil {
				continue
			}
			others := strings.Join(append(slices.Clone(words[:i]), words[i+n:]...), " ")
			if s, err := section.Parse(others, unit); err == nil {
				return name, s, others
			}
		}
	}
	return "", section.Section{}, ""
}

// alloyIn finds an alloy among the words of a designation that reads as it is.
func alloyIn(text string) string {
	for _, w := range strings.Fields(text) {
		if _, err := section.LookupMaterial(w); err == nil && strings.ContainsAny(w, "0123456789") && len(w) >= 3 {
			return w
		}
	}
	return ""
}
