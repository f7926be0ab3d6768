package section

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// shapeWords are the words for each shape, in the order words are written, in
// English, then German, French and Spanish as lists from the drawing office have
// them; without accents.
var shapeWords = [...]string{
	SquareTube: "shs|sq tube|square tube|sq tubing|square tubing|square hollow section|tube sq|tube square" +
		"|quadratrohr|tube carre|tubo cuadrado",
	RectTube: "rhs|rect tube|rectangular tube|rect tubing|rectangular tubing|rectangular hollow section|tube rect|tube rectangular" +
		"|rechteckrohr|rechteckhohlprofil|tube rectangulaire|tubo rectangular",
	RoundTube: "chs|round tube|round tubing|rd tube|circular hollow section|tube round" +
		"|rundrohr|tube rond|tubo redondo",
	Angle: "l|angle|ea|ua|angle iron|l angle" +
		"|winkel|winkelprofil|winkelstahl|l-profil|l profil|corniere|angular|perfil l",
	Channel: "channel|pfc|u channel|u" +
		"|u-profil|u profil|profile u|perfil u",
	Flat: "flat|flat bar|fb|flats|strip" +
		"|flachstahl|flachstange|flacheisen|flachprofil|plat|fer plat|pletina",
	SquareBar: "sq bar|square bar|sq rod|square rod|bar sq|bar square" +
		"|vierkantstab|vierkantstahl|quadratstab|barre carree|carre plein|barra cuadrada",
	RoundBar: "round bar|rod|round rod|rd bar|bar round|rb" +
		"|rundstab|rundstahl|rundstange|barre ronde|rond plein|barra redonda",
	Timber: "timber|lumber|wood|batten|stud" +
		"|kantholz|holz|latte|bois|tasseau|chevron|madera|liston",
	Sheet: "sheet|plate|sheet metal|sht" +
		"|blech|tole|chapa",
	Plywood: "ply|plywood" +
		"|sperrholz|contreplaque|contrachapado",
	Foam: "foam|foam board|insulation" +
		"|hartschaum|mousse|espuma",
	Board: "board|mdf|osb",
}

// tubeWords are words for tube in general; the sizes choose the shape.
const tubeWords = "tube|tubing|box|box section|box tube|hollow section" +
	"|vierkantrohr|hohlprofil|formrohr|profil creux|tubo|perfil hueco"

// kinds maps a phrase to what it asks for.
var kinds = func() map[string]kind {
	m := make(map[string]kind)
	for shape, words := range shapeWords {
		for _, w := range strings.Split(words, "|") {
			m[w] = kind{shape: Shape(shape)}
		}
	}
	for _, w := range strings.Split(tubeWords, "|") {
		m[w] = kind{shape: RectTube, any: true}
	}
	for _, g := range []string{"xps", "eps", "pir"} {
		for _, w := range []string{g, g + " foam", g + " board", "foam " + g} {
			m[w] = kind{shape: Foam, grade: strings.ToUpper(g)}
		}
	}
	return m
}()

// withoutAccents takes the accents off the letters of a word.
func withoutAccents(word string) string {
	return strings.Map(func(c rune) rune {
		if unicode.Is(unicode.Mn, c) {
			return -1
		}
		return c
	}, norm.NFD.String(word))
}
