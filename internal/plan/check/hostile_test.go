package check

import (
	"encoding/json"
	"math"
	"sort"
	"testing"

	"pgregory.net/rapid"

	"sawbill/internal/plan"
)

func sortedKeys(m map[string]any) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	return keys
}

// TestHostilePlans puts hostile values anywhere into a plan's JSON: nothing may
// panic or hang.
func TestHostilePlans(t *testing.T) {
	j := hide()
	encoded, err := json.Marshal(hidePlan(t))
	if err != nil {
		t.Fatal(err)
	}
	numbers := []float64{0, -1, 1, 2, math.MinInt64, math.MaxInt64 - 2048, -4e10, 4e10, 4e18, 99}
	texts := []string{"", "\x00", "P1", "-92233720368547758.08", "92233720368547758.07", "9223372036854.775807", "length", "width", "proven"}
	rapid.Check(t, func(r *rapid.T) {
		var tree any
		if err := json.Unmarshal(encoded, &tree); err != nil {
			r.Fatal(err)
		}
		var spoil func(v any) any
		odds := rapid.SampledFrom([]int{3, 20, 100}).Draw(r, "odds")
		spoil = func(v any) any {
			hit := rapid.IntRange(0, odds).Draw(r, "hit") == 0
			switch v := v.(type) {
			case map[string]any:
				for _, k := range sortedKeys(v) {
					v[k] = spoil(v[k])
				}
				if hit && len(v) > 0 && rapid.Bool().Draw(r, "drop") {
					k := sortedKeys(v)
					delete(v, k[rapid.IntRange(0, len(k)-1).Draw(r, "key")])
				}
				return v
			case []any:
				for i := range v {
					v[i] = spoil(v[i])
				}
				if hit && len(v) > 0 {
					switch rapid.IntRange(0, 3).Draw(r, "list") {
					case 0:
						return v[:len(v)-1]
					case 1:
						return append(v, v[0])
					case 2:
						return append(v, nil)
					default:
						return nil
					}
				}
				return v
			case float64:
				if hit {
					return rapid.SampledFrom(numbers).Draw(r, "number")
				}
			case string:
				if hit {
					return rapid.SampledFrom(texts).Draw(r, "text")
				}
			case bool:
				if hit {
					return !v
				}
			}
			return v
		}
		b, err := json.Marshal(spoil(tree))
		if err != nil {
			r.Fatal(err)
		}
		p := new(plan.Plan)
		if json.Unmarshal(b, p) != nil {
			return
		}
		Plan(j, p)
	})
}

// FuzzPlan reads any bytes as a plan and checks it.
func FuzzPlan(f *testing.F) {
	b, err := hidePlan(f).Encode()
	if err != nil {
		f.Fatal(err)
	}
	f.Add(b)
	f.Add([]byte(`{"version":1,"unit":"25 nm","materials":[{"key":"skin","layouts":[{"tree":{"parts":[null]}}]}]}`))
	j := hide()
	f.Fuzz(func(t *testing.T, data []byte) {
		if p, err := plan.Decode(data); err == nil {
			Plan(j, p)
		}
	})
}

func TestNothingToCheck(t *testing.T) {
	refused(t, "no job", nil, hidePlan(t))
	refused(t, "no plan", hide(), nil)
	refused(t, "an empty plan", hide(), new(plan.Plan))
}

// TestTreeInItself: a tree that holds itself cannot come from a file, but must
// not hang a caller either.
func TestTreeInItself(t *testing.T) {
	p := hidePlan(t)
	r := root(p)
	r.Parts[1] = r
	refused(t, "a tree in itself", hide(), p)
}

// TestManyFindings: what repeats is counted, not listed.
func TestManyFindings(t *testing.T) {
	p := hidePlan(t)
	m := tube(p)
	for range 500 {
		m.Layouts = append(m.Layouts, m.Layouts[0])
	}
	seal(t, p)
	findings, _ := Plan(hide(), p)
	if len(findings) == 0 || len(findings) > 60 {
		t.Errorf("%d findings listed", len(findings))
	}
}
