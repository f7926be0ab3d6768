package job

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
)

// Files that repeat one thing without end are refused, or read, in work that
// grows with their size and no faster: at a megabyte anything quadratic
// would run into the test's own limit.
func TestHostileFiles(t *testing.T) {
	const size = 1 << 20
	fill := func(s string) string { return strings.Repeat(s, size/len(s)) }
	for _, p := range []string{`"`, `""`, ",", `,"`, "\n", "\"a\n\"b", `"a,`, "x", "Total,\n", "mark,length\n", `"""x,`, "é", "é,"} {
		for _, text := range []string{"mark,length\n" + fill(p), fill(p)} {
			_, err := readText(t, withPieces("list.csv"), "list.csv", text)
			checkFaults(t, text, err)
			if err == nil {
				t.Errorf("%q again and again is read as a table", p)
			}
		}
	}
	for _, p := range []string{"a\n", "[", "[a\n", "a = '''\n", "a = \"\"\"\n'\n", "#\n", "a = 1\n", `"`, "[material.a]\n", "a=[", "a={b=", "a = [1,\n", "a.", "é"} {
		text := sound + fill(p)
		_, err := readText(t, text)
		checkFaults(t, text, err)
	}
}

// bomb is a small archive that unpacks to a gigabyte in a worksheet.
func bomb(t *testing.T) []byte {
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	add := func(name, text string, blocks int) {
		w, err := z.Create(name)
		if err == nil {
			_, err = io.WriteString(w, text)
		}
		block := bytes.Repeat([]byte("<row><c><v>1</v></c></row>"), 1<<20/26)
		for range blocks {
			if err == nil {
				_, err = w.Write(block)
			}
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	add("[Content_Types].xml", `<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Override PartName="/xl/workbook.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"/></Types>`, 0)
	add("xl/worksheets/sheet1.xml", "<worksheet><sheetData>", 1024)
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// A workbook that unpacks to far more than it is, is refused before it is unpacked;
// one that lies about it as well.
func TestZipBomb(t *testing.T) {
	data := bomb(t)
	if len(data) > 8<<20 {
		t.Fatalf("the bomb has %d MB", len(data)>>20)
	}
	memory := func() uint64 {
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		return m.TotalAlloc
	}
	// The sizes in the directory at the end and in the data descriptors: 1 GiB less
	// what does not fill a block, here as one of them is found and made small.
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	size := z.File[1].UncompressedSize64
	told := []byte{byte(size), byte(size >> 8), byte(size >> 16), byte(size >> 24)}
	if bytes.Count(data, told) < 2 {
		t.Fatal("the sizes are not found")
	}
	lying := bytes.ReplaceAll(data, told, []byte{0, 4, 0, 0})
	for name, data := range map[string][]byte{"honest": data, "lying": lying} {
		before := memory()
		_, err := readWorkbook("list.xlsx", data)
		if err == nil || name == "honest" && !strings.Contains(err.Error(), "unpacks to more than 128 MB") {
			t.Errorf("%s: %v", name, err)
		}
		if grown := memory() - before; grown > 256<<20 {
			t.Errorf("%s: %d MB were taken", name, grown>>20)
		}
	}
	path := filepath.Join(t.TempDir(), "list.xlsx")
	if err := os.WriteFile(path, data, 0o644); err != nil {
		t.Fatal(err)
	}
	if _, err := New(path); err == nil || !strings.Contains(err.Error(), "unpacks to more than 128 MB") {
		t.Error(err)
	}
}

// A million rows are refused with a sentence that says how many there may be.
func TestMillionRows(t *testing.T) {
	var b strings.Builder
	b.WriteString("mark,material,length,quantity\n")
	for i := range 1_000_000 {
		fmt.Fprintf(&b, "R%d,tube,1200,1\n", i)
	}
	_, err := readText(t, withPieces("list.csv"), "list.csv", b.String())
	if err == nil || !strings.Contains(err.Error(), "more than 200000 rows") || strings.Count(err.Error(), "\n") > 2 {
		t.Errorf("%.500v", err)
	}
}
