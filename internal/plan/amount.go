package plan

import (
	"encoding/json"
	"fmt"
	"strconv"
	"strings"
)

// Money is an amount in hundredths of the currency, written "12.34".
type Money int64

func (m Money) String() string { return fixed(int64(m), 2) }

// MarshalJSON writes the decimal string.
func (m Money) MarshalJSON() ([]byte, error) { return json.Marshal(m.String()) }

// UnmarshalJSON reads the decimal string that MarshalJSON writes, nothing else.
func (m *Money) UnmarshalJSON(b []byte) error {
	v, err := parseFixed(b, 2)
	*m = Money(v)
	return err
}

// Mass is a mass in milligrams, written in kilograms, "12.345678".
type Mass int64

func (m Mass) String() string { return fixed(int64(m), 6) }

// Kilograms is for print and comparison, not for sums.
func (m Mass) Kilograms() float64 { return float64(m) / 1e6 }

// MarshalJSON writes the decimal string.
func (m Mass) MarshalJSON() ([]byte, error) { return json.Marshal(m.String()) }

// UnmarshalJSON reads the decimal string that MarshalJSON writes, nothing else.
func (m *Mass) UnmarshalJSON(b []byte) error {
	v, err := parseFixed(b, 6)
	*m = Mass(v)
	return err
}

func fixed(v int64, digits int) string {
	sign, u := "", uint64(v)
	if v < 0 {
		sign, u = "-", -u
	}
	s := strconv.FormatUint(u, 10)
	if len(s) <= digits {
		s = strings.Repeat("0", digits+1-len(s)) + s
	}
	return sign + s[:len(s)-digits] + "." + s[len(s)-digits:]
}

func parseFixed(b []byte, digits int) (int64, error) {
	var s string
	if err := json.Unmarshal(b, &s); err != nil {
		return 0, fmt.Errorf("an amount must be a decimal string such as %q, not %s", fixed(1234, digits), b)
	}
	whole, part, _ := strings.Cut(s, ".")
	v, err := strconv.ParseInt(whole+part, 10, 64)
	if err != nil || len(part) != digits || fixed(v, digits) != s {
		return 0, fmt.Errorf("an amount must be a decimal string such as %q, not %q", fixed(1234, digits), s)
	}
	return v, nil
}
