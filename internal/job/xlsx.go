package job

import (
	"archive/zip"
	"bytes"
	"fmt"
	"strings"

	"github.com/xuri/excelize/v2"
)

// sheetGrid is one worksheet as a grid.
type sheetGrid struct {
	name string
	grid grid
}

// readWorkbook reads the visible worksheets of an XLSX file: the values last
// calculated, as stored and not as displayed. Sizes are limited against files
// that unpack to more than they should.
func readWorkbook(path string, data []byte) (all []sheetGrid, err error) {
	// The parser is not ours; should a broken file upset it, that is a fault of
	// the file and no end of the program.
	defer func() {
		if recover() != nil {
			all, err = nil, fmt.Errorf("%s is not a workbook that can be read; save it again as XLSX, or as CSV (UTF-8)", quote(path))
		}
	}()
	if size := unpacked(data); size > largestUnpacked {
		return nil, fmt.Errorf("%s unpacks to more than %d MB; a cut list is far smaller, so save its rows alone in a new workbook, or as CSV (UTF-8)", quote(path), largestUnpacked>>20)
	}
	f, err := excelize.OpenReader(bytes.NewReader(data), excelize.Options{
		RawCellValue:      true,
		UnzipSizeLimit:    largestUnpacked,
		UnzipXMLSizeLimit: largestFile,
	})
	if err != nil {
		return nil, fmt.Errorf("%s is not a workbook that can be read; save it again as XLSX, or as CSV (UTF-8)", quote(path))
	}
	defer f.Close()
	for _, name := range f.GetSheetList() {
		if shown, err := f.GetSheetVisible(name); err != nil || !shown {
			continue
		}
		g, err := readSheet(f, path, name)
		if err != nil {
			return nil, fmt.Errorf("the worksheet %s of %s cannot be read; save it again as XLSX, or as CSV (UTF-8)", quote(name), quote(path))
		}
		all = append(all, sheetGrid{name, g})
	}
	if len(all) > 1 {
		for i := range all {
			all[i].grid.rename(path + "[" + all[i].name + "]")
		}
	}
	return all, nil
}

// largestUnpacked is in bytes, of all files of a workbook together.
const largestUnpacked = 4 * largestFile

// unpacked is what the files of an archive say that they unpack to; what unpacks
// to more than it says is refused as it is read (archive/zip). 0 for what is no archive.
func unpacked(data []byte) uint64 {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return 0
	}
	sum := uint64(0)
	for _, f := range z.File {
		if sum += f.UncompressedSize64; sum > largestUnpacked {
			break
		}
	}
	return sum
}

// rename gives every place of the grid another file name.
func (g *grid) rename(file string) {
	g.file = file
	for i := range g.rows {
		g.rows[i].at.File = file
		for j := range g.rows[i].cells {
			g.rows[i].cells[j].at.File = file
		}
	}
}

func readSheet(f *excelize.File, path, name string) (grid, error) {
	g := grid{file: path}
	rows, err := f.Rows(name)
	if err != nil {
		return g, err
	}
	defer rows.Close()
	for n := 1; rows.Next() && n <= mostRows+1; n++ {
		texts, err := rows.Columns(excelize.Options{RawCellValue: true})
		if err != nil {
			return g, err
		}
		row := line{at: Pos{File: path, Line: n}}
		for i, t := range texts[:min(len(texts), mostColumns)] {
			c := cell{text: oneRow(t), at: Pos{File: path, Line: n, Column: i + 1}}
			if c.text != "" && plainDigits.MatchString(c.text) || exponent.MatchString(c.text) {
				c.number, c.text = true, unexponent(c.text)
			}
			row.cells = append(row.cells, c)
		}
		if len(row.cells) > 0 && strings.HasPrefix(row.cells[0].text, "# ") {
			continue
		}
		g.rows = append(g.rows, row)
	}
	return g, rows.Error()
}
