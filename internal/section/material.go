package section

import (
	"fmt"
	"regexp"
	"strings"

	"sawbill/internal/length"
)

// Family is a group of materials that are made and sold alike.
type Family string

// The families; named so where a Shape has the plain word.
const (
	Aluminium     Family = "aluminium"
	Steel         Family = "steel"
	Stainless     Family = "stainless"
	PlywoodFamily Family = "plywood"
	FoamFamily    Family = "foam"
	TimberFamily  Family = "timber"
	Other         Family = "other"
)

// Material is what a section is made of.
type Material struct {
	// Name is the canonical name, with the temper where one was given.
	Name   string
	Family Family
	// Density in kg/m³.
	Density float64
	// Source says where the density was published, or that it is from memory.
	Source string
	// Stated is set when the density was given by the user, not looked up.
	Stated bool
}

// WithDensity returns the material with a density stated by the user, in kg/m³.
func (m Material) WithDensity(kgm3 float64) Material {
	m.Density, m.Stated, m.Source = kgm3, true, "stated in the job"
	return m
}

const (
	fromMemory = "from memory"
	toolbox    = "Wood species, densities, engineeringtoolbox.com/wood-density-d_40.html"
	amesweb    = "Density of aluminium alloys, amesweb.info/Materials/Density_of_Aluminum.aspx"
	astmC578   = "ASTM C578 minimum, as in a producer's bulletin, vdocuments.mx/foamular-extruded-polystyrene-xps-bulletin-foamular-extruded-polystyrene-xps.html"
	steelNotes = "Dimensions of sections, general notes (7850 kg/m³), tatasteelbluebook.com"
)

// materials is the table of densities, kg/m³. Names and aliases are matched
// after fold.
var materials = []struct {
	name    string
	family  Family
	density float64
	source  string
	aliases string // separated by commas
}{
	{"aluminium", Aluminium, 2700, "common practice: 2.70 for skins and frames", "aluminum,alu,aluminio,aluminium alloy,aluminum alloy"},
	{"6061", Aluminium, 2700, amesweb, ""},
	{"6063", Aluminium, 2700, amesweb, ""},
	{"6005", Aluminium, 2700, amesweb, "6005A"},
	{"5052", Aluminium, 2680, amesweb, ""},
	{"5083", Aluminium, 2660, amesweb, ""},
	{"5086", Aluminium, 2660, amesweb, ""},
	{"5005", Aluminium, 2700, amesweb, ""},
	{"3003", Aluminium, 2730, amesweb, ""},
	{"3105", Aluminium, 2720, amesweb, ""},
	{"1100", Aluminium, 2710, amesweb, ""},
	{"2024", Aluminium, 2780, amesweb, ""},
	{"7075", Aluminium, 2810, amesweb, ""},
	{"1050", Aluminium, 2710, fromMemory, "1050A"},
	{"2014", Aluminium, 2800, amesweb, ""},
	{"5251", Aluminium, 2690, fromMemory, ""},
	{"5754", Aluminium, 2670, fromMemory, ""},
	{"6060", Aluminium, 2700, fromMemory, ""},
	{"6082", Aluminium, 2700, fromMemory, ""},

	{"mild steel", Steel, 7850, steelNotes, "steel,stahl,baustahl,acier,acero,carbon steel,ms,low carbon steel,galvanised steel,galvanized steel,A36,A500,A513,A1011,A1008,1018,1020,DC01,E195,E235"},
	{"S235", Steel, 7850, steelNotes, "S235JR,S235JRH,S235J0,S235J2"},
	{"S275", Steel, 7850, steelNotes, "S275JR,S275J0H,S275J2H"},
	{"S355", Steel, 7850, steelNotes, "S355JR,S355J0,S355J2,S355J2H,S355J0H,S355MC"},

	{"304", Stainless, 7900, "1.4301 data, gneestainless.com/blog/269.html", "stainless,stainless steel,edelstahl,inox,acier inox,acier inoxydable,acero inoxidable,1.4301,304L,1.4307,SS304,AISI 304,A2"},
	{"316", Stainless, 8000, fromMemory, "1.4401,1.4404,316L,SS316,AISI 316,A4"},

	{"softwood ply", PlywoodFamily, 546, "Density of plywood (34.08 lb/ft³), reference.com/science/density-plywood-1ad7230e5c92f8d9", "softwood plywood,pine ply,pine plywood,spruce ply,spruce plywood,cdx,Fichtensperrholz"},
	{"birch ply", PlywoodFamily, 680, fromMemory, "birch plywood,baltic birch,Birkensperrholz,Birke Sperrholz,contreplaqué bouleau,contrachapado abedul"},

	{"XPS Type X", FoamFamily, 21, astmC578, ""},
	{"XPS Type IV", FoamFamily, 25, astmC578, "XPS"},
	{"XPS Type VI", FoamFamily, 29, astmC578, ""},
	{"XPS Type VII", FoamFamily, 35, astmC578, ""},
	{"XPS Type V", FoamFamily, 48, astmC578, ""},
	{"EPS Type I", FoamFamily, 15, astmC578, "EPS"},
	{"EPS Type VIII", FoamFamily, 18, astmC578, ""},
	{"EPS Type II", FoamFamily, 22, astmC578, ""},
	{"EPS Type IX", FoamFamily, 29, astmC578, ""},
	{"PIR", FoamFamily, 32, fromMemory, "polyiso"},

	{"spruce", TimberFamily, 450, toolbox, "softwood,spf,whitewood,Fichte,épicéa,abeto"},
	{"pine", TimberFamily, 510, toolbox, "scots pine,redwood,Kiefer,pino"},
	{"larch", TimberFamily, 560, toolbox, "Lärche,mélèze,alerce"},
	{"Douglas fir", TimberFamily, 530, toolbox, "fir,oregon pine,Douglasie,douglas"},
	{"western red cedar", TimberFamily, 380, toolbox, "cedar"},
	{"oak", TimberFamily, 740, toolbox, "Eiche,chêne,roble"},
	{"ash", TimberFamily, 710, toolbox, "Esche,frêne,fresno"},
	{"beech", TimberFamily, 720, fromMemory, "Buche,hêtre,haya"},

	{"MDF", Other, 750, fromMemory, ""},
	{"OSB", Other, 620, fromMemory, ""},
	{"polycarbonate", Other, 1200, fromMemory, ""},
	{"acrylic", Other, 1190, fromMemory, "PMMA"},
}

// Suits reports, as an error, a section that is not made of the material:
// plywood of steel, a tube of foam, aluminium by the steel gauge.
func (s Section) Suits(m Material) error {
	wrong := false
	switch {
	case s.Gauge != 0 && m.Family == Aluminium:
		return fmt.Errorf("%s names a steel gauge, which is another thickness in aluminium; write the thickness, such as sheet .063 in", length.Quote(s.Canonical))
	case s.Gauge != 0:
		wrong = m.Family != Steel
	case s.Shape == Plywood:
		wrong = m.Family != PlywoodFamily && m.Family != Other
	case s.Shape == Foam:
		wrong = m.Family != FoamFamily && m.Family != Other
	case s.Shape == Timber:
		wrong = m.Family != TimberFamily && m.Family != Other
	case s.Shape == Board:
		wrong = m.Family == FoamFamily
	case s.Shape == Flat, s.Shape == SquareBar, s.Shape == RoundBar:
		wrong = m.Family == PlywoodFamily || m.Family == FoamFamily
	default:
		wrong = m.Family == PlywoodFamily || m.Family == FoamFamily || m.Family == TimberFamily
	}
	if wrong {
		return fmt.Errorf("%s is not made of %s (%s); give it a material of its kind", length.Quote(s.Canonical), m.Name, m.Family)
	}
	return nil
}

// families are names that fit several materials of different density, after
// fold, and what to write in place of them.
var families = func() map[string]string {
	m := map[string]string{}
	for _, f := range []struct{ names, advice string }{
		{"ply,plywood,sperrholz,multiplex,contreplaqué,contrachapado", "birch ply or softwood ply"},
		{"foam,insulation,hartschaum,mousse,espuma", "XPS, EPS or PIR"},
		{"wood,timber,lumber,hardwood,holz,kantholz,bois,madera", "spruce, pine, larch or oak"},
		{"metal,metall,métal,alloy", "6063-T6, 5005-H14, S235 or 304"},
		{"board,panel,platte", "MDF, OSB or birch ply"},
		{"plastic,kunststoff,plastique,plástico", "polycarbonate or acrylic"},
	} {
		for _, n := range strings.Split(f.names, ",") {
			m[fold(n)] = f.advice
		}
	}
	return m
}()

// fold prepares a name for comparison: lower case, no accents, blanks, hyphens,
// dots or underscores.
func fold(name string) string {
	return strings.NewReplacer(" ", "", "-", "", ".", "", "_", "").Replace(withoutAccents(strings.ToLower(name)))
}

// wrought matches a wrought aluminium alloy after fold: EN AW-6063 T66,
// AA5005-H14, 6061.
var wrought = regexp.MustCompile(`^(?:en)?(?:aw|aa)?(\d{4}a?)(t\d{1,4}|h\d{1,3}|o|f)?$`)

// LookupMaterial finds a material by name: an aluminium alloy with or without
// EN AW- and temper, a steel grade, stainless, plywood, foam or timber. Case,
// blanks, hyphens and dots do not matter. XPS and EPS alone mean Type IV and
// Type I, the types most sold (common practice, no source). An unknown name is an error that
// gives the nearest known one.
func LookupMaterial(name string) (Material, error) {
	key := fold(length.Clean(name))
	if key == "" {
		return Material{}, fmt.Errorf("a material is missing; write an alloy or material such as 6063-T6, S235 or birch ply")
	}
	temper := ""
	if m := wrought.FindStringSubmatch(key); m != nil {
		key, temper = m[1], strings.ToUpper(m[2])
	}
	if advice, ok := families[key]; ok {
		return Material{}, fmt.Errorf("%s is not of one density; write which, such as %s, or give its density in kg/m³", length.Quote(name), advice)
	}
	nearest, best := "", len(key)+100
	for _, m := range materials {
		for _, known := range append([]string{m.name}, strings.Split(m.aliases, ",")...) {
			if known == "" {
				continue
			}
			k := fold(known)
			if k == key {
				found := Material{Name: m.name, Family: m.family, Density: m.density, Source: m.source}
				if temper != "" && m.family == Aluminium {
					found.Name += "-" + temper
				}
				return found, nil
			}
			if d := distance(key, k); d < best {
				best, nearest = d, known
			}
		}
	}
	return Material{}, fmt.Errorf("the material %s is not known; write a known one (the nearest is %s) or give its density in kg/m³", length.Quote(name), nearest)
}

// distance is the edit distance in which a swap of neighbours counts one, as
// 6036 for 6063 (optimal string alignment; Damerau, 1964), O(|a||b|).
func distance(a, b string) int {
	x, y := []rune(a), []rune(b)
	rows := make([][]int, len(x)+1)
	for i := range rows {
		rows[i] = make([]int, len(y)+1)
		rows[i][0] = i
	}
	for j := range y {
		rows[0][j+1] = j + 1
	}
	for i := range x {
		for j := range y {
			cost := rows[i][j]
			if x[i] != y[j] {
				cost++
			}
			cost = min(cost, rows[i][j+1]+1, rows[i+1][j]+1)
			if i > 0 && j > 0 && x[i] == y[j-1] && x[i-1] == y[j] {
				cost = min(cost, rows[i-1][j-1]+1)
			}
			rows[i+1][j+1] = cost
		}
	}
	return rows[len(x)][len(y)]
}
