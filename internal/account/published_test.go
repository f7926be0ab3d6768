package account

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"sawbill/internal/job"
	"sawbill/internal/plan"
)

// read makes a job of a text, whose last lines are tables.
func read(t testing.TB, text string) *job.Job {
	t.Helper()
	path := filepath.Join(t.TempDir(), "job.toml")
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	j, err := job.Read(path)
	if err != nil {
		t.Fatal(err)
	}
	return j
}

const inches = `[job]
name = "Barrow"
unit = "in"
currency = "USD"
[material.frame]
stock = "sq tube 1x1x.125 wall"
alloy = "6061-T6"
process = "saw"
growth = 5
[material.sheet]
stock = "sheet .125"
density = "0.0975 lb/in3"
process = "shear"
[process.saw]
kerf = 0.1
[process.shear]
kind = "shear"
[tables]
offers = '''
material, size, price, supplier
frame, 20 ft, 40, Plover Yard
sheet, 96 x 48, 90, Plover Yard
'''
pieces = '''
mark, material, length, quantity, group
A1, frame, 4 ft, 10, sides
'''
panels = '''
mark, material, length, width, quantity, group
S1, sheet, 96, 48, 1, floor
'''
`

const metric = `[job]
name = "Hide"
unit = "mm"
currency = "EUR"
[material.angle]
stock = "L 40x40x4"
alloy = "S235"
process = "saw"
[material.skin]
stock = "sheet 2"
density = 2710
process = "shear"
[process.saw]
kerf = 2
[process.shear]
kind = "shear"
[tables]
offers = '''
material, size, price, supplier
angle, 6000, 40, Curlew Metals
skin, 2500 x 1250, 90, Avocet Sheet
'''
panels = '''
mark, material, length, width, quantity
S1, skin, 1000, 1000, 3
'''
`

func within(t *testing.T, what string, got plan.Mass, kg, tolerance float64) {
	t.Helper()
	if k := got.Kilograms(); k < kg*(1-tolerance) || k > kg*(1+tolerance) {
		t.Errorf("%s: %.4f kg, published %.4f", what, k, kg)
	}
}

const pound = 0.45359237

// Published masses, within the 1 % by which tables differ in density.
func TestPublishedMasses(t *testing.T) {
	a := Of(read(t, inches))
	// Square tube 1 x 1 x .125 in, 6061: 0.515 lb/ft (Aluminum Association type
	// section tables). Ten pieces of 4 ft.
	within(t, "tube", a.Marks[0].Mass, 0.515*40*pound, 0.01)
	// Sheet 4 x 8 ft x 1/8 in at 0.0975 lb/in³: 56.16 lb, exact (How much does
	// a 4x8 sheet of 1/8 aluminum weigh, biologyinsights.com).
	within(t, "sheet", a.Marks[1].Mass, 56.16*pound, 1e-6)
	if a.Growth() != growth(a.Marks[0].Mass, job.Material{Growth: 500}) {
		t.Errorf("growth %v", a.Growth())
	}
	b := Of(read(t, metric))
	// Aluminium sheet 2.0 mm: 5.420 kg/m² at 2710 kg/m³ (aluminium federation
	// data in artena.co.uk, Worcester Aluminium). Three panels of 1 m².
	within(t, "skin", b.Marks[0].Mass, 3*5.420, 1e-9)
}

// Brackets of L 40x40x4, 2.42 kg/m (EN 10056 tables): 24 of 60 mm are 1.44 m.
func TestBracketsAreCutAndWeighed(t *testing.T) {
	j := read(t, metric+`
brackets = '''
kind, material, length, price, mass
K1, angle, 60,,
K2, , , 1.20, 85 g
'''
joints = '''
mark, bracket, brackets, quantity, group
J1, K1, 2, 8, frame
J2, K1, 1, 8, roof
J3, K2, 3, 5, roof
'''
`)
	if len(j.Pieces) != 1 || j.Pieces[0].Mark != "K1" || j.Pieces[0].Quantity != 24 || j.Pieces[0].Group != "" {
		t.Fatalf("pieces %+v", j.Pieces)
	}
	a := Of(j)
	within(t, "K1", a.Marks[0].Mass, 1.44*2.42, 0.01)
	if len(a.Brackets) != 1 || a.Brackets[0].Packs != 15 || a.Brackets[0].Amount != 1800 || a.Brackets[0].Mass != 15*85_000 {
		t.Errorf("bought %+v", a.Brackets)
	}
	if len(a.Groups) != 3 || a.Groups[0].Name != "frame" || a.Groups[0].Cut != 16*a.Marks[0].Each || a.Groups[1].Cut != 8*a.Marks[0].Each || a.Groups[1].Fitted != 15*85_000 {
		t.Errorf("groups %+v", a.Groups)
	}
}

// ISO 15981, recommended grips of 4.8 mm aluminium blind rivets by length
// (preview of ISO 15981:2002; the heads of its columns are taken from the
// standard's diameters): 10 mm holds 4 to 6, 12 mm 6 to 8, 16 mm 8 to 12.
// US Army TM 10-5410-221-14, table 4-3, 1/8 in blind rivets: 42 grips .063 to
// .125 in, 43 .126 to .187, 44 .188 to .250.
func TestRivetsByGrip(t *testing.T) {
	j := read(t, metric+`
rivets = '''
diameter, length, grip from, grip to, pack, price, mass, spare
4.8, 16, 8, 12, 100, 11 per box, 2.4 g, 0
4.8, 10, 4, 6, 250, 9.00 per box, 1.6 g, 10
4.8, 10, 4, 6, 50, 2.50 per box, 1.6 g, 10
4.8, 12, 6, 8, 100, 0.04 each, 1.9 g, 5
1/8 in, 7 mm, .063 in, .125 in, 100, 5 per box, , 
1/8 in, 9 mm, .126 in, .187 in, 100, 6 per box, , 
1/8 in, 10.5 mm, .188 in, .250 in, 100, 7 per box, , 
'''
joints = '''
mark, rivets, diameter, grip, quantity
J1, 4, 4.8, 5, 10
J2, 6, 4.8, 6, 30
J3, 5, 4.8, 8, 40
J4, 4, 1/8 in, 0.15 in, 20
'''
`)
	a := Of(j)
	// J1 and J2 share the 10 mm rivet: 40 + 180 and a tenth are 242, one box of
	// 250 at 9.00 against five of 50 at 12.50. J3 takes the shorter of two that
	// grip 8 mm: 200 and a twentieth are 210, three boxes of 100 at 4.00.
	if a.Sizes[0] != 1 || a.Sizes[1] != 1 || a.Sizes[2] != 3 || a.Sizes[3] != 5 {
		t.Fatalf("sizes %v", a.Sizes)
	}
	for i, want := range []Line{
		{Need: 242, Content: 250, Packs: 1, Each: 900, Amount: 900, Mass: 220 * 1600},
		{Need: 210, Content: 100, Packs: 3, Each: 400, Amount: 1200, Mass: 200 * 1900},
		{Need: 80, Content: 100, Packs: 1, Each: 600, Amount: 600},
	} {
		got := a.Rivets[i]
		if got.Need != want.Need || got.Content != want.Content || got.Packs != want.Packs || got.Each != want.Each || got.Amount != want.Amount || got.Mass != want.Mass {
			t.Errorf("rivet %d: %+v", i, got)
		}
	}
	// 40 of J1 alone take the small box: 44 for 2.50. 280 of it, 308 with the
	// spare, take a large one and two small: 9.00 + 5.00 against 18.00 and 17.50.
	j.Joints = j.Joints[:1]
	if a := Of(j); len(a.Rivets) != 1 || a.Rivets[0].Content != 50 || a.Rivets[0].Amount != 250 || a.Rivets[0].Need != 44 {
		t.Errorf("few: %+v", a.Rivets)
	}
	j.Joints[0].Quantity = 70
	if a := Of(j); len(a.Rivets) != 2 || a.Rivets[0].Packs != 1 || a.Rivets[0].Need != 250 || a.Rivets[1].Packs != 2 || a.Rivets[1].Need != 58 || a.Spend() != 1400 || MassOf(a.Rivets) != 280*1600 {
		t.Errorf("many: %+v", a.Rivets)
	}
}

// Sealant yield (midwestsealantsupply.com/23823/24023.html): feet are in³ over
// in² times 12; a 10.1 oz cartridge holds 18.3 in³, a 27 oz sausage 48.7, a
// 30 oz one 54.1. So 24.4 ft of a 1/4 x 1/4 in bead from 18.3 in³, and metres
// are ml over mm²: 12.4 m of 25 mm² from 310 ml.
func TestSealantYield(t *testing.T) {
	for _, c := range []struct {
		row   string
		packs int64
	}{
		{"24.4 ft, 1/4 x 1/4 in, 18.3 in3", 1},
		{"24.41 ft, 1/4 x 1/4 in, 18.3 in3", 2},
		{"12.4 m, 5 x 5, 310 ml", 1},
		{"12.401 m, 5 x 5, 310 ml", 2},
		// The same table's 48.7 and 54.1 in³ are 27 and 30 US fluid ounces.
		{"64.9 ft, 1/4 x 1/4 in, 27 oz", 1},
		{"65 ft, 1/4 x 1/4 in, 27 oz", 2},
		{"72.1 ft, 1/4 x 1/4 in, 30 fl oz", 1},
		{"72.3 ft, 1/4 x 1/4 in, 30 fl oz", 2},
		// Round 6 mm: 28.27 mm², 310 ml gives 10.96 m. V 8 x 10: 40 mm², 7.75 m.
		{"10.96 m, 6 round, 310 ml", 1},
		{"10.97 m, 6 round, 310 ml", 2},
		{"7.75 m, 8 x 10 v, 310 ml", 1},
		{"7.76 m, 8 x 10 v, 310 ml", 2},
		// A tenth wasted: 11.27 m take what 12.4 m did, 11.28 m do not.
		{"11.27 m, 25 mm2, 310 ml, 10", 1},
		{"11.28 m, 25 mm2, 310 ml, 10", 2},
	} {
		if strings.Count(c.row, ",") == 2 {
			c.row += ", "
		}
		j := read(t, metric+"consumables = '''\nname, by, of, bead, content, waste, price, mass\nsealant, length, "+c.row+", 8.20, 500 g\n'''\n")
		a := Of(j)
		if got := a.Consumables[0]; got.Packs != c.packs || got.Amount != plan.Money(820*c.packs) {
			t.Errorf("%s: %d packs, want %d", c.row, got.Packs, c.packs)
		}
	}
}

// Areas, counts and what is cut. Three panels of 1 m²: 3 m², edges 12 m.
func TestMeasures(t *testing.T) {
	j := read(t, metric+`
rivets = '''
diameter, length, grip from, grip to, pack, price
4, 10, 1, 6, 1, 0.05
'''
joints = '''
mark, rivets, grip, quantity
J1, 7, 3, 50
'''
items = '''
name, price, pack, mass, quantity
bolt M8 x 40, 6.30 per box, 25, 22 g, 60
'''
consumables = '''
name, by, of, coats, coverage, waste, content, price, mass
primer, area, skin, 2, 9 m2 per l, 0, 0.75 l, 14, 1 kg
powder, area, 12 m2, , 8 m2 per kg, 20, 2.5 kg, 30, 2.5 kg
film, area, skin, 1, , 10, 1.65 m2, 3, 80 g
edge strip, length, edges of skin, , , 0, 5 m, 2, 0
drill 4.1, count, holes, , 100, 0, 2, 5, 0
'''
`)
	a := Of(j)
	want := []struct {
		packs int64
		mass  plan.Mass
	}{
		{1, 888_889}, // 6 m² of 6.75 m²: eight ninths of 1 kg
		{1, 1_500_000},
		{2, 145_455}, // 3.3 m² are two packs of 1.65 exactly; 3 m² stay
		{3, 0},
		{2, 0}, // 350 holes, 200 from a pack of two
	}
	for i, w := range want {
		if got := a.Consumables[i]; got.Packs != w.packs || got.Mass != w.mass {
			t.Errorf("%s: %d packs, %v kg, want %d and %v", got.Name, got.Packs, got.Mass, w.packs, w.mass)
		}
	}
	if got := a.Items[0]; got.Packs != 3 || got.Amount != 1890 || got.Mass != 60*22_000 {
		t.Errorf("bolts %+v", got)
	}
}
