package job

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"strings"

	"sawbill/internal/length"
	"sawbill/internal/section"
)

// Asked is one row of an enquiry: a size of stock, or a piece or panel cut and
// ready, that suppliers are asked to price.
type Asked struct {
	// ID is the same for the same thing in every enquiry, and another once the
	// thing is changed, so that an answer cannot be taken for something else.
	ID       string
	Material int // index into Job.Materials
	// Mark is that of the piece or panel; "" for a size of stock.
	Mark string
	// Length and Width are those of the stock, the piece or the panel.
	Length, Width length.Length
	// Left and Right are a piece's end angles, Quantity how many are needed; 0 for
	// stock, whose number is the plan's.
	Left, Right, Quantity int64
	// LeftFace and RightFace are the sides that a piece's ends are laid on.
	LeftFace, RightFace section.Face
}

// Piece is what is asked for, as a piece of bar.
func (a Asked) Piece() Piece {
	return Piece{Mark: a.Mark, Material: a.Material, Length: a.Length, Left: a.Left, Right: a.Right, LeftFace: a.LeftFace, RightFace: a.RightFace, Quantity: a.Quantity}
}

// Enquiry lists what to ask suppliers for: every size of stock that is offered, but
// for our own, and then every piece and panel. Materials stand in the job's order.
func (j *Job) Enquiry() []Asked {
	var out []Asked
	met := map[string]bool{}
	for mi := range j.Materials {
		for _, o := range j.Offers {
			if o.Material != mi || j.Suppliers[o.Supplier].OnHand {
				continue
			}
			a := Asked{Material: mi, Length: o.Length, Width: o.Width}
			a.ID = j.askedID(a)
			if !met[a.ID] {
				met[a.ID] = true
				out = append(out, a)
			}
		}
	}
	for mi := range j.Materials {
		for _, p := range j.Pieces {
			if p.Material == mi {
				out = append(out, Asked{Material: mi, Mark: p.Mark, Length: p.Length, Left: p.Left, Right: p.Right, LeftFace: p.LeftFace, RightFace: p.RightFace, Quantity: p.Quantity})
			}
		}
		for _, p := range j.Panels {
			if p.Material == mi {
				out = append(out, Asked{Material: mi, Mark: p.Mark, Length: p.Length, Width: p.Width, Quantity: p.Quantity})
			}
		}
	}
	for i := range out {
		out[i].ID = j.askedID(out[i])
	}
	return out
}

// askedID is S for stock or M for a mark, and the head of a digest over all that a price
// depends on.
func (j *Job) askedID(a Asked) string {
	m := j.Materials[a.Material]
	kind := "S"
	if a.Mark != "" {
		kind = "M"
	}
	text := fmt.Appendf(nil, "%q %q %q %q %d %d %d %d %d", kind, m.Section.Canonical, m.Alloy.Name, a.Mark, a.Length, a.Width, a.Left, a.Right, a.Quantity)
	if a.LeftFace != section.Narrow || a.RightFace != section.Narrow { // others have the ids that they had before sides were told
		text = fmt.Appendf(text, " %d %d", a.LeftFace, a.RightFace)
	}
	sum := sha256.Sum256(text)
	return kind + strings.ToUpper(hex.EncodeToString(sum[:4]))
}
