package plan

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
)

// LengthUnit is what Plan.Unit says.
const LengthUnit = "25 nm"

// Encode writes the plan as indented JSON; the same plan gives the same bytes.
func (p *Plan) Encode() ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", " ")
	err := e.Encode(p)
	return b.Bytes(), err
}

// Decode reads what Encode writes and refuses unknown keys, other versions
// and anything behind the plan. It does not prove anything; see plan/check.
func Decode(data []byte) (*Plan, error) {
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	p := new(Plan)
	if err := d.Decode(p); err != nil {
		return nil, fmt.Errorf("not a plan: %w", err)
	}
	if _, err := d.Token(); err != io.EOF {
		return nil, fmt.Errorf("not a plan: something follows the plan's last brace")
	}
	if p.Version != Version {
		return nil, fmt.Errorf("the plan is of version %d, this program reads version %d; plan the job again", p.Version, Version)
	}
	if p.Unit != LengthUnit {
		return nil, fmt.Errorf("the plan's lengths are in %q, this program reads %q", p.Unit, LengthUnit)
	}
	return p, nil
}

// Seal sets Digest and Number from all other content.
func (p *Plan) Seal() error {
	d, err := p.ContentDigest()
	p.Digest = d
	if err == nil {
		p.Number = d[:8]
	}
	return err
}

// ContentDigest is the SHA-256 (hex) over the plan without Digest and Number.
func (p *Plan) ContentDigest() (string, error) {
	bare := *p
	bare.Digest, bare.Number = "", ""
	b, err := bare.Encode()
	if err != nil {
		return "", err
	}
	sum := sha256.Sum256(b)
	return hex.EncodeToString(sum[:]), nil
}
