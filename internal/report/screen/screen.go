// Package screen is what papers say, for whoever reads them on a screen: the
// same words and figures in the same order, without places on a page. It is
// values only.
package screen

// Paper is what one paper says.
type Paper struct {
	Name   string // of its file, "summary.pdf"
	Title  string
	Blocks []Block
}

// Kind of a block.
type Kind string

// The kinds of blocks.
const (
	Heading Kind = "heading"
	Text    Kind = "text"
	Figure  Kind = "figure" // one name and one figure
	Table   Kind = "table"
)

// Block is one thing below the other.
type Block struct {
	Kind Kind
	// Text of a heading or a paragraph; the name of a figure.
	Text string
	// Figure of a figure; Bold when it is a sum.
	Figure string
	Bold   bool
	// Columns and Rows of a table.
	Columns []Column
	Rows    []Row
}

// Column of a table.
type Column struct {
	Head  string
	Right bool // aligned right
	Bold  bool
}

// Row of a table: its cells, or one Group line across all columns.
type Row struct {
	Group string
	Cells []Cell
	Sum   bool
}

// Cell is a text, and a small one below it.
type Cell struct{ Text, More string }

// Drawing is one way of cutting, as a drawing in the pack.
type Drawing struct {
	Material string // its key
	Pattern  int
	Title    string
	Path     string // in the pack, with slashes
}
