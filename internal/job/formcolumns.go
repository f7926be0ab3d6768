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
		{name: "file", heads: "file,drawing,dxf,datei,zeichnung,fichier,dessin,archivo,dibujo"},
		{name: "unit", heads: "unit,units,drawing unit,einheit,unite,unidad"},
		{name: "mirror", heads: "mirror,mirror of,mirrored,hand of,spiegelbild,gespiegelt,symetrique de,espejo de"},
	}},
	{"openings", []field{
		{name: "mark", required: true, heads: ofPanel},
		{name: "x", required: true, unit: true, heads: xHeads},
		{name: "y", required: true, unit: true, heads: yHeads},
		{name: "length", unit: true, heads: lengthHeads},
		{name: "width", unit: true, heads: "width,wid,w,height,h,breite,hohe,largeur,hauteur,ancho,alto"},
		{name: "corner", unit: true, heads: cornerHeads},
		{name: "diameter", unit: true, heads: "diameter,dia,d,hole,durchmesser,diametre,diametro"},
	}},
	{"rows", []field{
		{name: "mark", required: true, heads: ofPanel},
		{name: "name", heads: "name,row,line,reihe,rangee,fila"},
		{name: "edge", heads: "edge,along,side,kante,rand,bord,borde,lado"},
		{name: "inset", unit: true, heads: "inset,from edge,randabstand,abstand,retrait,distancia"},
		{name: "from", heads: "from,start,begin,von,de,desde"},
		{name: "to", heads: "to,end at,until,bis,a,hasta"},
		{name: "on", heads: "on,on piece,piece,auf,auf stuck,sur,sobre"},
		{name: "face", heads: "face,flache,seite des rohrs,cara"},
		{name: "start", unit: true, heads: "starts at,row starts,along piece,from end,beginnt bei,depuis le bout,empieza en"},
		{name: "turned", heads: "turned,reversed,umgekehrt,inverse,invertida"},
		{name: "member", heads: "member,tube,onto,behind,material,rohr,trager,profil,barre,perfil,tubo"},
		{name: "offset", unit: true, heads: "offset,off centre,off center,versatz,decalage,desfase"},
		{name: "diameter", unit: true, heads: "rivet,diameter,dia,d,rivet diameter,niet,durchmesser,diametre,diametro,remache"},
		{name: "pitch", unit: true, heads: "pitch,spacing,most pitch,teilung,nietabstand,pas,paso"},
		{name: "end", unit: true, heads: "end,end distance,endabstand,pince,distancia al extremo"},
		{name: "bond", unit: true, heads: "bond,bond line,adhesive,klebefuge,klebschicht,colle,pegamento"},
		{name: "second", unit: true, heads: "second,second row,second row at,zweite reihe,deuxieme rangee,segunda fila"},
		{name: "between", heads: "between,staggered,versetzt,decale,alternado"},
	}},
	{"seams", []field{
		{name: "mark", required: true, heads: ofPanel},
		{name: "x", unit: true, heads: xHeads},
		{name: "y", unit: true, heads: yHeads},
		{name: "lap", unit: true, heads: "lap,overlap,uberlappung,recouvrement,solape"},
		{name: "over", heads: "over,on top,part over,oben liegt,dessus,encima"},
		{name: "gap", unit: true, heads: "gap,fuge,jeu,hueco"},
		{name: "note", heads: noteHeads},
	}},
	{"zones", []field{
		{name: "mark", required: true, heads: ofPanel},
		{name: "x", required: true, unit: true, heads: xHeads},
		{name: "y", required: true, unit: true, heads: yHeads},
		{name: "radius", required: true, unit: true, heads: "radius,r,clear,radius clear,rayon,radio"},
		{name: "height", unit: true, heads: "height,high,hohe,hauteur,altura"},
		{name: "note", heads: noteHeads},
	}},
}

// formMeasures are the fields of these tables whose figures may have decimals.
var formMeasures = []string{"x", "y", "corner", "inset", "offset", "pitch", "end", "bond", "second", "radius", "height"}
