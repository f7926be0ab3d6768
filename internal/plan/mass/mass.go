// Package mass weighs what a job asks for and what is bought for it, by nominal
// sizes and densities. Every mass is rounded half up to the milligram, once.
package mass

import (
	"math"
	"math/big"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/section"
)

// metre and squareMetre turn base units into the units masses are stated in.
const (
	metre       = float64(length.Metre)
	squareMetre = metre * metre
)

func milligrams(kg float64) plan.Mass { return plan.Mass(math.Floor(kg*1e6 + 0.5)) }

// Of is what a material is made of, with the density the job goes by.
func Of(m job.Material) section.Material {
	if m.Density > 0 && m.Density != m.Alloy.Density {
		return m.Alloy.WithDensity(m.Density)
	}
	return m.Alloy
}

// Bar weighs a length of bar, sawn square.
func Bar(m job.Material, long length.Length) plan.Mass { return bar(m, float64(long)) }

func bar(m job.Material, long float64) plan.Mass {
	return milligrams(section.MassPerMetre(m.Section, Of(m)) * (long / metre))
}

// Piece weighs one piece by its centre line, since a mitre takes off half of
// what it slants over, across the side that it is laid on.
func Piece(m job.Material, p job.Piece) plan.Mass {
	slant := func(angle int64, f section.Face) float64 {
		return float64(float64(m.Section.Across(f)) * math.Tan(float64(max(angle, -angle))/1000*math.Pi/180))
	}
	return bar(m, float64(p.Length)-(slant(p.Left, p.LeftFace)+slant(p.Right, p.RightFace))/2)
}

// Sheet weighs a rectangle of sheet.
func Sheet(m job.Material, long, wide length.Length) plan.Mass {
	return sheet(m, float64(long)*float64(wide))
}

func sheet(m job.Material, area float64) plan.Mass {
	return milligrams(m.Section.MassPerArea(Of(m)) * (area / squareMetre))
}

// Panel weighs one panel by its outline, openings and holes.
func Panel(m job.Material, p job.Panel) plan.Mass {
	area, _ := new(big.Float).SetInt(p.Area()).Float64()
	return sheet(m, area)
}
