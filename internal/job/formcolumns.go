package job

// The tables that make more of a panel than a rectangle. Every point in them is
// measured from the lower left corner of the panel.

const (
	xHeads      = "x,at x,x mm,abscisse"
	yHeads      = "y,at y,y mm,ordonnee"
	cornerHeads = "corner,corner radius,fillet,radius,r,eckradius,rundung,rayon,conge,radio"
	ofPanel     = "mark,panel,panel mark,tafel,teil,repere,panneau,marca,tablero"
)

var formTables = []tableKind{
	{"outlines", []field{
		{name: "mark", required: true, heads: ofPanel},
		{name: "contour", heads: "contour,edge,line,kontur,linie,contorno"},
		{name: "x", unit: true, heads: xHeads},
		{name: "y", unit: true, heads: yHeads},
		{name: "corner", unit: true, heads: cornerHeads},
		{name: "mirror", heads: "mirror,mirror of,mirrored,hand of,spiegelbild,gespiegelt,symetrique de,espejo de"},
	}},
	{"openings", []field{
		{name: "mark", required: true, heads: ofPanel},
		{name: "name", heads: "name,opening,note,ausschnitt,ouverture,abertura"},
		{name: "x", required: true, unit: true, heads: xHeads},
		{name: "y", required: true, unit: true, heads: yHeads},
		{name: "length", unit: true, heads: lengthHeads},
		{name: "width", unit: true, heads: "width,wid,w,height,h,breite,hohe,largeur,hauteur,ancho,alto"},
		{name: "corner", unit: true, heads: cornerHeads},
		{name: "diameter", unit: true, heads: "diameter,dia,d,hole,durchmesser,diametre,diametro"},
	}},
}

// formMeasures are the fields of these tables whose figures may have decimals.
var formMeasures = []string{"x", "y", "corner"}
