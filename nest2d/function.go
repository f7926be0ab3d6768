package nest2d

import "fmt"

// A Function is dual feasible: it gives lengths new values so that whatever
// fits side by side into a length C still fits after every length, C
// included, has been replaced by its value,
//
//	Σ xᵢ ≤ C  ⇒  Σ f(xᵢ) ≤ f(C)  for all lengths 0 ≤ xᵢ ≤ C.
//
// Where f exaggerates, an area bound on the values is stronger than one on
// the lengths. All values are integers.
type Function struct {
	Family    Family
	Parameter int64
}

// Family is a family of dual feasible functions.
type Family int

const (
	// Identity is f(x) = x. It has no parameter.
	Identity Family = iota
	// Threshold, with 1 ≤ p ≤ C/2, drops what is shorter than p and lets what
	// leaves less than p take all:
	//
	//	f(x) = 0 if x < p;  C if x > C−p;  x otherwise.
	//
	// (U⁽ᵋ⁾ of Fekete & Schepers 2001; f₀ of Carlier, Clautiaux & Moukrim 2007.)
	Threshold
	// Rounding, with 1 ≤ p ≤ 100, rounds down to multiples of C/(p+1), and
	// gives what is no such multiple the value of p parts instead of p+1:
	//
	//	f(x) = p·x if (p+1)·x is a multiple of C;  C·⌊(p+1)·x / C⌋ otherwise.
	//
	// So f(C) = p·C. (u⁽ᵏ⁾ of Fekete & Schepers 2001, after Lueker 1983.)
	Rounding
	// Steps, with 1 ≤ p ≤ C/2, counts how many times p goes into a short
	// length, and what a long one takes away from that count:
	//
	//	f(x) = 2·⌊x/p⌋ if 2x < C;  ⌊C/p⌋ if 2x = C;  2·(⌊C/p⌋ − ⌊(C−x)/p⌋) if 2x > C.
	//
	// So f(C) = 2·⌊C/p⌋. (f₂ of Carlier, Clautiaux & Moukrim 2007.)
	Steps
)

const maxRounding = 100

// Valid tells whether the parameter is one that the family has on [0, c].
func (f Function) Valid(c int64) bool {
	switch f.Family {
	case Identity:
		return true
	case Threshold, Steps:
		return f.Parameter >= 1 && f.Parameter <= c/2
	case Rounding:
		return f.Parameter >= 1 && f.Parameter <= maxRounding
	}
	return false
}

// At is the value of length x where the whole is c. The function is valid
// on [0, c] and 0 ≤ x ≤ c ≤ 2³¹.
func (f Function) At(x, c int64) int64 {
	p := f.Parameter
	switch f.Family {
	case Threshold:
		if x < p {
			return 0
		}
		if x > c-p {
			return c
		}
	case Rounding:
		if (p+1)*x%c == 0 {
			return p * x
		}
		return (p + 1) * x / c * c
	case Steps:
		if 2*x < c {
			return 2 * (x / p)
		}
		if 2*x == c {
			return c / p
		}
		return 2 * (c/p - (c-x)/p)
	}
	return x
}

// String names the function, for diagnosis.
func (f Function) String() string {
	name := [...]string{"identity", "threshold", "rounding", "steps"}
	if f.Family < Identity || int(f.Family) >= len(name) {
		return fmt.Sprintf("family %d", f.Family)
	}
	return fmt.Sprintf("%s %d", name[f.Family], f.Parameter)
}
