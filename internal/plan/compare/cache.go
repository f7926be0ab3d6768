package compare

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"slices"
)

// kept is what a comparison keeps for the next: the plan of every problem and of
// every whole option, under their keys. The plans are proved again whenever they are
// used; the digest guards what cannot be proved, that there is no plan.
type kept struct {
	Program string               `json:"program"`
	Digest  string               `json:"digest"`
	Parts   map[string]part      `json:"parts"`
	Wholes  map[string]keptWhole `json:"wholes"`
}

// keptWhole is the plan of an option as plan.Plan encodes it, or why there is none.
type keptWhole struct {
	Plan json.RawMessage `json:"plan,omitempty"`
	None string          `json:"none,omitempty"`
}

func (k kept) digest() string {
	k.Digest = ""
	// Plans and their keys can always be written; maps are written in order.
	text, _ := json.Marshal(k)
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:])
}

// readCache returns the plans kept by the same program, if they are as it left
// them; otherwise none.
func readCache(data []byte, program string) kept {
	var k kept
	if err := json.Unmarshal(data, &k); err != nil || k.Program != program || k.Digest != k.digest() {
		return kept{}
	}
	return k
}

// keep writes the plans this comparison used, but for those the clock or a
// person cut short.
func (w *work) keep() ([]byte, error) {
	k := kept{Program: w.options.Program, Parts: map[string]part{}, Wholes: map[string]keptWhole{}}
	for key, p := range w.parts {
		if slices.Contains(w.used, key) && p.struck() == "" {
			k.Parts[key] = p
		}
	}
	for key, h := range w.wholes {
		if h.struck() != "" {
			continue
		}
		one := keptWhole{Plan: h.text, None: h.none}
		if h.plan != nil && h.text == nil {
			text, err := h.plan.Encode()
			if err != nil {
				return nil, err
			}
			one.Plan = text
		}
		k.Wholes[key] = one
	}
	k.Digest = k.digest()
	text, err := json.Marshal(k)
	return append(text, '\n'), err
}
