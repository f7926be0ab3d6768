package job

import (
	"bytes"
	"fmt"
	"regexp"
	"strings"
	"unicode/utf8"
)

// What people write and TOML refuses, each with what to write instead.

var (
	decimalComma = regexp.MustCompile(`^[+-]?\d+,\d+$`)
	groupedMarks = regexp.MustCompile(`^\d{1,3}([ '’]\d{3})+([.,]\d+)?$`)
	withUnit     = regexp.MustCompile(`^[+-]?[\d.,/ ½¼¾-]+\s*\pL[\pL0-9²./ ]*$`)
	withMark     = regexp.MustCompile(`^[\d./ -]+['"′″’”][\d./ '"′″’”-]*$`)
	dayFirst     = regexp.MustCompile(`^\d{1,2}[./-]\d{1,2}[./-]\d{2,4}$`)
	yearFirst    = regexp.MustCompile(`^\d{4}[./-]\d{1,2}[./-]\d{1,2}$`)
	bareWord     = regexp.MustCompile(`^[\pL_][\pL\d_ .:/\\-]*$`)
	curly        = "“”„‟‘’‚‛«»"
)

// explain says what is wrong with an expression that starts at one offset and
// that the parser gave up at another, and where to read on.
func explain(text source, start, at int, message string) (Message, int) {
	line := text.lineText(start)
	line = strings.TrimLeft(line, " \t")
	say := func(offset int, format string, args ...any) (Message, int) {
		return Message{text.at(offset), fmt.Sprintf(format, args...)}, text.end(max(start, min(at, len(text.data)-1)))
	}
	// A block string that is not closed swallows the rest of the file.
	rest := text.data[start:]
	for _, mark := range []string{"'''", `"""`} {
		i := strings.Index(line, mark)
		if i < 0 || strings.Contains(line[:i], "#") {
			continue
		}
		open := start + i
		close := bytes.Index(rest[i+3:], []byte(mark))
		if close < 0 {
			m, _ := say(open, "the rows that begin with %s are never closed; write %[1]s on a line of its own behind the last row", mark)
			return m, len(text.data)
		}
		if at > open+3 && text.line(at) > text.line(open) {
			m, _ := say(at, "the rows hold %s, which TOML does not allow between %s; remove it, or put the rows into a file", strange(text, at), mark)
			return m, text.end(min(open+3+close+3, len(text.data)-1))
		}
	}

	if i := strings.IndexAny(line, curly); i >= 0 && curlyAsQuote(line, i) {
		return say(start+i, `curly quotes are not quotes to TOML; write straight ones, as in name = "Reed screen"`)
	}
	if strings.HasPrefix(line, "[") {
		return explainHeader(text, start, at, line, say)
	}
	left, right, equals := strings.Cut(line, "=")
	name := strings.TrimSpace(left)
	valueAt := start + len(left) + 1 + len(right) - len(strings.TrimLeft(right, " \t"))
	right = strings.TrimSpace(right)
	bare := strings.TrimSpace(cutComment(right))
	switch {
	case !equals && strings.Contains(line, ":"):
		k, v, _ := strings.Cut(line, ":")
		return say(start, "%s has a colon where TOML wants an equals sign; write %s = %s", quote(line), strings.TrimSpace(k), strings.TrimSpace(v))
	case !equals && strings.Count(line, ",")+strings.Count(line, ";")+strings.Count(line, "\t") >= 2:
		return say(start, "%s looks like a row of a table outside its table; put the rows between ''' marks, as in pieces = '''", quote(line))
	case !equals:
		return say(start, `%s has no equals sign; write key = value, or # in front of a comment`, quote(line))
	case name == "":
		return say(start, "%s has no key in front of the equals sign; write key = value", quote(line))
	case strings.ContainsAny(name, " \t") && !strings.ContainsAny(name, `"'`):
		return say(start, "the key %s has a blank in it; write %s", quote(name), strings.Join(strings.Fields(strings.ReplaceAll(name, "_", "-")), "-"))
	case at < valueAt && name != "" && bare != "":
		return say(start, "the key %s has a character that keys do not have; use letters a to z, digits and hyphens, as in keep-over", quote(name))
	case strings.HasPrefix(bare, "="):
		return say(valueAt-1, "%s has two equals signs; write %s = %s", quote(line), name, strings.TrimLeft(bare, "= "))
	case bare == "":
		return say(start, `%s has no value; write one behind the equals sign, or take the line out`, quote(name))
	case strings.HasPrefix(bare, `"`) && strings.Contains(message, "escape"), strings.HasPrefix(bare, `"`) && strings.Contains(message, `character after \`):
		fixed := strings.Trim(bare, `"`)
		return say(at, `a backslash in double quotes begins a special character; write %s = '%s' in single quotes, or with forward slashes`, name, fixed)
	case strings.HasPrefix(bare, `"`) && strings.Count(bare, `"`) > 2:
		return say(valueAt, `%s has a double quote inside double quotes; write %s = '''%s'''`, shown(bare), name, strings.TrimSuffix(strings.TrimPrefix(bare, `"`), `"`))
	case strings.HasPrefix(bare, `'`) && strings.Count(bare, `'`) > 2:
		return say(valueAt, `%s has a single quote inside single quotes; write %s = '''%s'''`, shown(bare), name, strings.TrimSuffix(strings.TrimPrefix(bare, `'`), `'`))
	case strings.HasPrefix(bare, `"`) && strings.Count(bare, `"`) == 1, strings.HasPrefix(bare, `'`) && strings.Count(bare, `'`) == 1:
		return say(valueAt, "the quote of %s is never closed; write %s = %s%s", shown(bare), name, bare, bare[:1])
	case strings.HasSuffix(bare, `"`) && strings.Count(bare, `"`) == 1 && !withMark.MatchString(bare):
		return say(valueAt, `the quote of %s is never opened; write %s = "%s`, shown(bare), name, bare)
	case strings.Contains(bare, " //"):
		v, _, _ := strings.Cut(bare, " //")
		return say(valueAt+len(v)+1, "// does not begin a comment; write # in its place")
	case dayFirst.MatchString(bare), yearFirst.MatchString(bare):
		return say(valueAt, "%s is not a date TOML reads; write year, month and day as in %s = 2026-11-24", shown(bare), name)
	case decimalComma.MatchString(bare):
		return say(valueAt, "%s has a decimal comma; write %s = %s", shown(bare), name, strings.Replace(bare, ",", ".", 1))
	case groupedMarks.MatchString(bare):
		return say(valueAt, "%s has a mark between thousands; write %s = %s", shown(bare), name, strings.NewReplacer(" ", "", "'", "", "’", "").Replace(bare))
	case strings.HasPrefix(bare, ".") && strings.Trim(bare[1:], "0123456789") == "":
		return say(valueAt, "%s has no digit in front of the point; write %s = 0%s", shown(bare), name, bare)
	case strings.HasSuffix(bare, ".") && strings.Trim(bare, "0123456789.") == "":
		return say(valueAt, "%s has no digit behind the point; write %s = %s", shown(bare), name, strings.TrimSuffix(bare, "."))
	case len(bare) > 1 && bare[0] == '0' && strings.Trim(bare, "0123456789.") == "":
		return say(valueAt, "%s has a zero in front; write %s = %s", shown(bare), name, strings.TrimLeft(bare, "0"))
	case strings.HasSuffix(bare, "%"):
		return say(valueAt, "%s has a percent sign; write the number alone, %s = %s", shown(bare), name, strings.TrimSpace(strings.TrimSuffix(bare, "%")))
	case strings.EqualFold(bare, "true") || strings.EqualFold(bare, "yes"):
		return say(valueAt, "%s is not a value; write %s = true", shown(bare), name)
	case strings.EqualFold(bare, "false") || strings.EqualFold(bare, "no"):
		return say(valueAt, "%s is not a value; write %s = false", shown(bare), name)
	case withMark.MatchString(bare):
		return say(valueAt, `%s has a foot or inch mark and is not in quotes; write %s = '''%s'''`, shown(bare), name, bare)
	case withUnit.MatchString(bare) || bareWord.MatchString(bare):
		return say(valueAt, `%s is not in quotes; write %s = %s`, shown(bare), name, tomlText(bare))
	case strings.ContainsAny(bare[:1], `"'0123456789+-`):
		return say(at, `%s cannot stand behind the value; put # in front of a comment, or the whole value in quotes`, quote(strings.TrimSpace(string(text.data[at:text.end(at)]))))
	}
	return say(valueAt, `%s is not a value; put it in quotes, %s = %s`, shown(bare), name, tomlText(bare))
}

func explainHeader(text source, start, at int, line string, say func(int, string, ...any) (Message, int)) (Message, int) {
	bare := strings.TrimSpace(cutComment(line))
	inside := strings.Trim(bare, "[] ")
	kind, name, dotted := strings.Cut(inside, ".")
	switch {
	case inside == "":
		return say(start, "the header %s is empty; write one such as [job]", shown(bare))
	case !strings.Contains(bare, "]"):
		return say(start, "the header %s is not closed; write [%s]", shown(bare), strings.TrimSpace(bare[1:]))
	case !strings.HasSuffix(bare, "]"):
		return say(start, "%s has something behind the header; put it on a line of its own", shown(bare))
	case dotted && !strings.HasPrefix(name, `"`):
		return say(start, `the name in %s needs quotes; write [%s.%s]`, shown(bare), kind, tomlText(strings.TrimSpace(name)))
	}
	return say(start, "%s is not a header; write one such as [job] or [material.tube]", shown(bare))
}

// curlyAsQuote tells a curly quote that opens a value from an apostrophe in a
// comment.
func curlyAsQuote(line string, i int) bool {
	if strings.Contains(line[:i], "#") {
		return false
	}
	_, v, ok := strings.Cut(line[:i], "=")
	return !ok || strings.TrimSpace(v) == ""
}

// cutComment takes a comment off, unless the # is inside quotes.
func cutComment(s string) string {
	var in rune
	for i, c := range s {
		switch {
		case in != 0 && c == in:
			in = 0
		case in == 0 && (c == '"' || c == '\''):
			in = c
		case in == 0 && c == '#':
			return s[:i]
		}
	}
	return s
}

// shown is a value as it stands in the file, in quotes unless it has them.
func shown(s string) string {
	if strings.ContainsAny(s[:min(1, len(s))], `"'`) {
		q := quote(s)
		return q[1 : len(q)-1]
	}
	return quote(s)
}

// strange names the character at an offset.
func strange(text source, at int) string {
	if at >= len(text.data) {
		return "the end of the file"
	}
	r, _ := utf8.DecodeRune(text.data[at:])
	return fmt.Sprintf("the character %U", r)
}
