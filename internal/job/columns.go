package job

import (
	"regexp"
	"slices"
	"strings"

	"sawbill/internal/length"
)

// Which column is which: heads in English, German, French and Spanish, told
// without regard to case, accents or punctuation, with a unit behind if any.

// field is one column a table may have.
type field struct {
	name     string
	required bool
	// unit tells whether a unit in the head holds for bare numbers.
	unit bool
	// heads are what the column may be called, folded.
	heads string
}

// tableKind is one of the tables.
type tableKind struct {
	name   string
	fields []field
}

const (
	markHeads     = "mark,marks,part,part no,part number,part mark,part id,item,item no,pos,position,no,nr,id,label,tag,name,part name,piece,piece no,teil,teilenr,teil nr,bauteil,bezeichnung,kennung,positionsnummer,repere,rep,marque,designation piece,marca,pieza,ref,reference,referencia,referenz,nombre pieza"
	materialHeads = "material,materials,section,profile,stock,stock section,shape,type,mat,profil,werkstoff,halbzeug,querschnitt,materiau,matiere,profile section,perfil,seccion,designation,tube,size and wall"
	lengthHeads   = "length,len,l,cut length,overall length,lange,zuschnitt,zuschnittlange,longueur,long,lg,largo,longitud"
	widthHeads    = "width,wid,w,b,height,h,breite,hohe,largeur,larg,hauteur,haut,ancho,anchura,alto,altura"
	quantityHeads = "quantity,qty,count,pcs,pieces,no off,off,number,number off,quan,stuck,stk,stuckzahl,anzahl,menge,quantite,qte,nombre,nb,nbre,cantidad,cant,unidades,uds"
	groupHeads    = "group,assembly,frame,subassembly,gruppe,baugruppe,groupe,ensemble,sous ensemble,grupo,conjunto"
	noteHeads     = "note,notes,remark,remarks,comment,comments,bemerkung,bemerkungen,notiz,anmerkung,remarque,remarques,commentaire,observation,nota,notas,observaciones,comentario"
	supplierHeads = "supplier,vendor,seller,yard,merchant,lieferant,handler,anbieter,fournisseur,vendeur,proveedor"
	priceHeads    = "price,unit price,cost,rate,price each,preis,stuckpreis,einzelpreis,kosten,prix,prix unitaire,cout,precio,precio unitario,coste"
	sizeHeads     = "size,dimensions,dimension,dims,stock size,stock length,sheet size,format,abmessung,abmessungen,masse,mass,grosse,lieferlange,taille,medidas,medida,tamano,dimensiones,formato"
)

var tableKinds = slices.Concat([]tableKind{
	{"offers", []field{
		{name: "supplier", heads: supplierHeads},
		{name: "material", heads: materialHeads},
		{name: "size", unit: true, heads: sizeHeads},
		{name: "length", unit: true, heads: lengthHeads},
		{name: "width", unit: true, heads: widthHeads},
		{name: "price", required: true, heads: priceHeads},
		{name: "stock", heads: "stock,on hand,in stock,supply,available,availability,quantity,qty,max,bestand,lagerbestand,verfugbar,vorrat,disponible,dispo,en stock,existencias,disponibles"},
		{name: "from", heads: "from,from qty,from quantity,quantity from,qty from,break,price break,min qty,minimum quantity,ab,ab menge,ab stuck,ab stuckzahl,staffel,mindestmenge,a partir de,des,quantite minimum,quantite mini,desde,cantidad minima"},
		{name: "pack", heads: "pack,pack of,pack size,pack qty,pack quantity,pieces per pack,pcs per pack,bundle,bundle of,packung,packungsgrosse,verpackungseinheit,vpe,gebinde,bund,stuck pro packung,paquet,paquet de,lot de,conditionnement,pieces par paquet,paquete,paquete de,lote de,piezas por paquete,unidades por paquete"},
	}},
	{"pieces", []field{
		{name: "mark", required: true, heads: markHeads},
		{name: "material", heads: materialHeads},
		{name: "length", required: true, unit: true, heads: lengthHeads},
		{name: "left", heads: "left,left angle,angle left,angle 1,angle a,angle l,mitre left,left mitre,miter left,left miter,left end,end 1,end a,cut a,cut 1,cut left,left cut,bevel left,left bevel,winkel links,links,winkel 1,winkel a,gehrung links,angle gauche,gauche,coupe gauche,angulo izquierdo,izquierdo,angulo 1,angulo a,corte izquierdo"},
		{name: "right", heads: "right,right angle,angle right,angle 2,angle b,angle r,mitre right,right mitre,miter right,right miter,right end,end 2,end b,cut b,cut 2,cut right,right cut,bevel right,right bevel,winkel rechts,rechts,winkel 2,winkel b,gehrung rechts,angle droit,angle droite,droite,droit,coupe droite,angulo derecho,derecho,angulo 2,angulo b,corte derecho"},
		{name: "face", heads: "face,mitre face,miter face,mitre side,miter side,mitre on,miter on,mitres on,miters on,mitre across,miter across,laid on,gehrung auf,gehrungsseite,gehrungsflache,onglet sur,coupe sur,face onglet,face de coupe,inglete sobre,corte sobre,cara,cara inglete"},
		{name: "left-face", heads: "left face,face left,left mitre face,left miter face,left mitre on,left miter on,left side,face 1,face a,mitre face 1,gehrung links auf,seite links,flache links,linke seite,face gauche,onglet gauche sur,cara izquierda,lado izquierdo,inglete izquierdo sobre"},
		{name: "right-face", heads: "right face,face right,right mitre face,right miter face,right mitre on,right miter on,right side,face 2,face b,mitre face 2,gehrung rechts auf,seite rechts,flache rechts,rechte seite,face droite,onglet droit sur,cara derecha,lado derecho,inglete derecho sobre"},
		{name: "quantity", heads: quantityHeads},
		{name: "fit", heads: "fit,fitting,trim to fit,anpassung,anpassen,ajustage,ajustement,ajuste"},
		{name: "group", heads: groupHeads},
		{name: "note", heads: noteHeads},
	}},
	{"panels", []field{
		{name: "mark", required: true, heads: markHeads + ",panel,panel no,tafel,panneau,tablero"},
		{name: "material", heads: materialHeads + ",sheet,blech,tole,chapa"},
		{name: "size", unit: true, heads: sizeHeads},
		{name: "length", unit: true, heads: lengthHeads},
		{name: "width", unit: true, heads: widthHeads},
		{name: "thickness", unit: true, heads: "thickness,thick,thk,t,th,dicke,starke,materialstarke,epaisseur,ep,epais,grosor,espesor"},
		{name: "turn", heads: "turn,may turn,rotate,rotation,can turn,grain,drehen,drehbar,faserrichtung,maserung,tourner,rotation permise,fil,sens du fil,girar,giro,veta"},
		{name: "quantity", heads: quantityHeads},
		{name: "group", heads: groupHeads},
		{name: "note", heads: noteHeads},
	}},
}, billTables, formTables, usedTables, adjustTables, []tableKind{
	{"quotes", []field{
		{name: "supplier", heads: supplierHeads},
		{name: "mark", required: true, heads: markHeads},
		{name: "price", required: true, heads: priceHeads},
	}},
})

// lists tells of the tables of what is cut.
func (k tableKind) lists() bool { return k.name == "pieces" || k.name == "panels" }

// aliases maps a folded head to a field, by table. Where a head could be two
// fields of a table the first in the list has it.
var aliases = func() map[string]map[string]string {
	all := map[string]map[string]string{}
	for _, k := range append(slices.Clone(tableKinds), enquiryKind) {
		m := map[string]string{}
		for _, f := range k.fields {
			m[f.name] = f.name
		}
		for _, f := range k.fields {
			for _, h := range strings.Split(f.heads, ",") {
				if _, taken := m[h]; !taken {
					m[h] = f.name
				}
			}
		}
		all[k.name] = m
	}
	return all
}()

func kindNamed(name string) tableKind {
	for _, k := range tableKinds {
		if k.name == name {
			return k
		}
	}
	return tableKind{}
}

// sized reports whether every row of the table has a size.
func (k tableKind) sized() bool { return k.name == "offers" || k.name == "panels" }

func (k tableKind) field(name string) (field, bool) {
	for _, f := range k.fields {
		if f.name == name {
			return f, true
		}
	}
	return field{}, false
}

func (k tableKind) names() []string {
	var all []string
	for _, f := range k.fields {
		all = append(all, f.name)
	}
	return all
}

// known is what a head says.
type known struct {
	field string
	unit  *length.Unit // in a head such as Length (mm)
	per   string       // in a head such as Price per m
}

var inBrackets = regexp.MustCompile(`^(.*?)\s*[(\[{]\s*([^)\]}]*)[)\]}]\s*$`)
var headPer = regexp.MustCompile(`(?i)^(.*?)(?:\s*/\s*|\s+(?:per|pro|par|por|je)\s+)(.+)$`)

// recognise tells which field a head names, or none.
func (k tableKind) recognise(head string) (known, bool) {
	clean := length.Clean(head)
	if f, ok := k.named(fold(clean)); ok {
		return known{field: f}, true
	}
	if b := inBrackets.FindStringSubmatch(clean); b != nil {
		if f, ok := k.named(fold(b[1])); ok {
			return k.withUnit(f, b[2]), true
		}
		if p, ok := k.recognise(b[1]); ok {
			return p, true
		}
	}
	if b := headPer.FindStringSubmatch(clean); b != nil {
		f, _ := k.named(fold(b[1]))
		if _, ok := saleUnit(b[2]); ok && f == "price" {
			return known{field: "price", per: b[2]}, true
		}
	}
	// Length mm, length_mm, Length in mm.
	words := strings.Fields(fold(clean))
	for n := len(words) - 1; n > 0 && n >= len(words)-2; n-- {
		unit := words[len(words)-1]
		if _, err := length.ParseUnit(unit); err != nil && !currencyCode.MatchString(strings.ToUpper(unit)) {
			break
		}
		if n == len(words)-2 && words[n] != "in" && words[n] != "en" {
			break
		}
		if f, ok := k.named(strings.Join(words[:n], " ")); ok {
			return k.withUnit(f, unit), true
		}
	}
	return known{}, false
}

// withoutUmlaut undoes the spelling of ä, ö and ü in two letters.
var withoutUmlaut = strings.NewReplacer("ae", "a", "oe", "o", "ue", "u")

// named finds the field a folded head names.
func (k tableKind) named(folded string) (string, bool) {
	m := aliases[k.name]
	f, ok := m[folded]
	if !ok {
		f, ok = m[withoutUmlaut.Replace(folded)]
	}
	return f, ok
}

// withUnit adds what stands behind the name of a column: a unit of length, or
// for a price a unit of sale.
func (k tableKind) withUnit(name, text string) known {
	got := known{field: name}
	f, _ := k.field(name)
	if u, err := length.ParseUnit(text); err == nil && f.unit {
		got.unit = &u
	}
	if name == "price" {
		t := text
		if b := headPer.FindStringSubmatch(" " + text); b != nil {
			t = b[2]
		}
		if _, ok := saleUnit(t); ok {
			got.per = t
		}
	}
	return got
}
