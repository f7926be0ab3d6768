package job

// The tables that say what holds a structure together and what else is bought
// for it. Of them only brackets cut from stock bear on the plan.

const (
	nameHeads   = "name,item,description,article,what,designation,product,bezeichnung,benennung,artikel,nom,descripcion,articulo,nombre"
	sellerHeads = "supplier,vendor,seller,merchant,shop,lieferant,handler,anbieter,fournisseur,vendeur,proveedor"
	costHeads   = "price,unit price,cost,price each,price per pack,price per box,pack price,box price,preis,stuckpreis,einzelpreis,kosten,prix,prix unitaire,cout,precio,precio unitario,coste"
	massHeads   = "mass,weight,mass each,weight each,unit weight,mass g,mass kg,mass lb,mass oz,weight g,weight kg,weight lb,weight oz,gewicht,masse,stuckgewicht,poids,peso,masa"
	packHeads   = "pack,pack of,box,box of,pack size,box size,packung,packungseinheit,ve,boite,paquet,caja,paquete"
	spareHeads  = "spare,spares,spare percent,allowance,extra,zuschlag,reserve,supplement,reserva"
)

var billTables = []tableKind{
	{"brackets", []field{
		{name: "kind", required: true, heads: "kind,bracket,bracket kind,mark,name,type,part,cleat,gusset,winkel,lasche,equerre,gousset,escuadra,cartela"},
		{name: "material", heads: "material,materials,section,profile,stock,profil,werkstoff,halbzeug,materiau,matiere,perfil"},
		{name: "length", unit: true, heads: lengthHeads},
		{name: "width", unit: true, heads: "width,wid,w,breite,largeur,ancho"},
		{name: "supplier", heads: sellerHeads},
		{name: "price", heads: costHeads},
		{name: "pack", heads: packHeads},
		{name: "spare", heads: spareHeads},
		{name: "mass", heads: massHeads},
		{name: "note", heads: noteHeads},
	}},
	{"rivets", []field{
		{name: "name", heads: nameHeads + ",type,kind,rivet,niet,remache"},
		{name: "diameter", required: true, unit: true, heads: "diameter,dia,d,rivet diameter,durchmesser,diametre,diametro"},
		{name: "length", required: true, unit: true, heads: lengthHeads + ",body length,shank length"},
		{name: "grip-from", required: true, unit: true, heads: "grip from,grip min,min grip,least grip,smallest grip,klemmbereich von,klemmlange min,serrage min,agarre min"},
		{name: "grip-to", required: true, unit: true, heads: "grip to,grip max,max grip,most grip,largest grip,klemmbereich bis,klemmlange max,serrage max,agarre max"},
		{name: "supplier", heads: sellerHeads},
		{name: "price", required: true, heads: costHeads},
		{name: "pack", heads: packHeads},
		{name: "spare", heads: spareHeads},
		{name: "mass", heads: massHeads},
		{name: "note", heads: noteHeads},
	}},
	{"joints", []field{
		{name: "mark", required: true, heads: "mark,joint,joint no,name,no,id,label,knoten,verbindung,position,assemblage,noeud,repere,union,nudo,marca"},
		{name: "bracket", heads: "bracket,bracket kind,kind,cleat,gusset,winkel,lasche,equerre,gousset,escuadra,cartela"},
		{name: "brackets", heads: "brackets,brackets each,bracket count,no of brackets,anzahl winkel,equerres,escuadras"},
		{name: "rivets", heads: "rivets,rivets each,rivet count,no of rivets,nieten,anzahl nieten,nombre de rivets,remaches"},
		{name: "diameter", unit: true, heads: "diameter,dia,d,rivet diameter,rivet,durchmesser,diametre,diametro"},
		{name: "grip", unit: true, heads: "grip,grip length,thickness,klemmlange,klemmdicke,serrage,epaisseur,agarre"},
		{name: "quantity", heads: quantityHeads + ",joints"},
		{name: "group", heads: groupHeads},
		{name: "note", heads: noteHeads},
	}},
	{"items", []field{
		{name: "name", required: true, heads: nameHeads},
		{name: "supplier", heads: sellerHeads},
		{name: "price", required: true, heads: costHeads},
		{name: "pack", heads: packHeads},
		{name: "mass", heads: massHeads},
		{name: "quantity", heads: "quantity,qty,count,pcs,pieces,no off,off,number,number off,stuck,stk,stuckzahl,anzahl,menge,quantite,qte,nb,nbre,cantidad,cant,unidades,uds"},
		{name: "group", heads: groupHeads},
		{name: "note", heads: noteHeads},
	}},
}

var usedTables = []tableKind{
	{"consumables", []field{
		{name: "name", required: true, heads: nameHeads + ",consumable,verbrauchsmaterial,consommable,consumible"},
		{name: "supplier", heads: sellerHeads},
		{name: "by", required: true, heads: "by,rule,measured by,nach,selon,segun"},
		{name: "of", required: true, heads: "of,for,on,over,measure,fur,auf,pour,sur,de,para"},
		{name: "bead", heads: "bead,bead section,bead size,raupe,cordon"},
		{name: "coats", heads: "coats,layers,sides,runs,lagen,anstriche,schichten,couches,capas,manos"},
		{name: "coverage", heads: "coverage,covers,spreading rate,yield,ergiebigkeit,reichweite,rendement,pouvoir couvrant,rendimiento"},
		{name: "waste", heads: "waste,waste percent,loss,verschnitt,verlust,perte,pertes,merma,perdida"},
		{name: "content", required: true, heads: "content,contents,pack,pack size,volume,inhalt,gebinde,contenance,contenu,contenido,envase"},
		{name: "price", required: true, heads: costHeads},
		{name: "mass", heads: massHeads},
		{name: "note", heads: noteHeads},
	}},
}

// billMeasures are the fields of these tables whose figures may have decimals.
var billMeasures = []string{"diameter", "grip", "grip-from", "grip-to", "mass", "spare", "waste", "bead", "coverage", "content", "of"}
