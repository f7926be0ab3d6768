package job

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"sawbill/internal/length"
)

// readText reads a job file with the given text from a folder that also has
// the given files: pairs of name and content.
func readText(t testing.TB, text string, files ...string) (*Job, error) {
	t.Helper()
	dir := t.TempDir()
	for i := 0; i+1 < len(files); i += 2 {
		path := filepath.Join(dir, filepath.FromSlash(files[i]))
		if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
			t.Fatal(err)
		}
		writeFile(t, path, files[i+1])
	}
	writeFile(t, filepath.Join(dir, "job.toml"), text)
	j, err := Read(filepath.Join(dir, "job.toml"))
	if faults, ok := err.(Faults); ok {
		for i := range faults {
			faults[i] = local(dir, faults[i])
		}
	}
	if j != nil {
		for i := range j.Remarks {
			j.Remarks[i] = local(dir, j.Remarks[i])
		}
	}
	return j, err
}

func writeFile(t testing.TB, path, content string) {
	t.Helper()
	if err := os.WriteFile(path, []byte(content), 0o600); err != nil {
		t.Fatal(err)
	}
}

// local takes the folder of the test out of a message.
func local(dir string, m Message) Message {
	prefix := dir + string(filepath.Separator)
	m.Pos.File = strings.TrimPrefix(m.Pos.File, prefix)
	m.Text = strings.ReplaceAll(m.Text, prefix, "")
	return m
}

func mm(v float64) length.Length { return length.Length(v * float64(length.Millimetre)) }

func TestReadSample(t *testing.T) {
	const file = "../../testdata/jobs/screen/job.toml"
	j, err := Read(file)
	if err != nil {
		t.Fatal(err)
	}
	if j.Name != "Reed screen" || j.Revision != "A" || j.Date != "2026-11-24" || j.Currency != "EUR" || j.Unit != length.MM || j.Paper != "A4" || j.LongestLoad != mm(3000) {
		t.Errorf("job: %+v", j)
	}
	tube, skin := j.Materials[0], j.Materials[1]
	if tube.Sheet() || tube.KeepOver != mm(400) || tube.Density != 2700 || j.Processes[tube.Process].Kind != Saw {
		t.Errorf("tube: %+v", tube)
	}
	if !skin.Sheet() || !skin.Grain || !skin.GoodSide || j.Processes[skin.Process].Kind != Beam {
		t.Errorf("skin: %+v", skin)
	}
	at := func(line, column int) Pos { return Pos{file, line, column} }
	wantProcesses := []Process{
		{Key: "saw", Kind: Saw, SharedMitres: true, Kerf: mm(2.5), TrimLeft: mm(10), TrimRight: mm(10), Pos: at(23, 1)},
		{Key: "laser", Kind: Beam, Kerf: mm(5), TrimLeft: mm(10), TrimRight: mm(10), TrimBottom: mm(10), TrimTop: mm(10), BySupplier: true, Pos: at(27, 1)},
	}
	wantSuppliers := []Supplier{
		{Name: "North", Delivers: true, Delivery: 3500, Cut: 120, Minimum: 8000, CutKerf: -1, Pos: at(31, 1)},
		{Name: "East", Fetched: true, CutKerf: -1, Pos: at(42, 1)},
	}
	wantOffers := []Offer{
		{Supplier: 0, Material: 0, Length: mm(6000), Price: 2140, PriceText: "21.40 each", Pack: 1, Tiers: []Tier{{1, 2140, "21.40 each"}}, Stock: -1, Pos: at(40, 1)},
		{Supplier: 0, Material: 0, Length: mm(5000), Price: 1850, PriceText: "3.70 per m", Pack: 1, Tiers: []Tier{{1, 1850, "3.70 per m"}}, Stock: -1, Pos: at(41, 1)},
		{Supplier: 1, Material: 1, Length: mm(2500), Width: mm(1250), Price: 5800, PriceText: "58 each", Pack: 1, Tiers: []Tier{{1, 5800, "58 each"}}, Stock: -1, Pos: at(42, 1)},
	}
	wantPieces := []Piece{
		{Mark: "P1", Length: mm(1200), Left: 45000, Right: 45000, Quantity: 4, Pos: at(46, 1)},
		{Mark: "P2", Length: mm(800), Left: 45000, Right: 45000, Quantity: 4, Pos: at(47, 1)},
		{Mark: "P3", Length: mm(1150), Quantity: 2, Pos: at(48, 1)},
	}
	const panels = "../../testdata/jobs/screen/panels.csv"
	wantPanels := []Panel{
		{Mark: "S1", Material: 1, Length: mm(1150.5), Width: mm(780), Quantity: 2, Pos: Pos{panels, 2, 1}},
		{Mark: "S2", Material: 1, Length: mm(600), Width: mm(400), Quantity: 1, Pos: Pos{panels, 3, 1}},
	}
	for _, d := range []string{
		cmp.Diff(wantProcesses, j.Processes), cmp.Diff(wantSuppliers, j.Suppliers), cmp.Diff(wantOffers, j.Offers),
		cmp.Diff(wantPieces, j.Pieces), cmp.Diff(wantPanels, j.Panels), cmp.Diff([]string{file, panels}, j.Files),
		cmp.Diff([]Message(nil), j.Remarks),
	} {
		if d != "" {
			t.Error(d)
		}
	}
	again, err := Read(file)
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(j, again); d != "" || len(j.Digest) != 64 {
		t.Errorf("read twice: %s; digest %q", d, j.Digest)
	}
}

func TestReadMissing(t *testing.T) {
	_, err := Read("nowhere/job.toml")
	const want = `nowhere/job.toml: the job file "nowhere/job.toml" does not exist; check its name`
	if err == nil || err.Error() != want {
		t.Errorf("got %v", err)
	}
}

// The second sample has inches, fractions, a job's own column and stock on hand.
func TestReadInches(t *testing.T) {
	j, err := Read("../../testdata/jobs/barrow/job.toml")
	if err != nil {
		t.Fatal(err)
	}
	inches := func(sixteenths int64) length.Length { return length.Length(sixteenths) * length.Inch / 16 }
	if j.Unit != length.In || j.Fraction != 16 || j.Paper != "Letter" || j.Revision != "2" || j.Date != "2026-11-24" {
		t.Errorf("job: %+v", j)
	}
	wantPieces := []Piece{
		{Mark: "A1", Material: 0, Length: inches(54 * 16), Left: 45000, Right: 45000, Quantity: 4},
		{Mark: "A2", Material: 0, Length: inches(27*16 + 6), Left: 45000, Right: 45000, Quantity: 4},
		{Mark: "A3", Material: 0, Length: inches(14*16 + 11), Left: 22500, Quantity: 4},
	}
	wantPanels := []Panel{
		{Mark: "K1", Material: 1, Length: inches(54 * 16), Width: inches(18*16 + 12), Turn: true, Quantity: 2},
		{Mark: "D1", Material: 2, Length: inches(53*16 + 12), Width: inches(27*16 + 2), Quantity: 1},
	}
	anywhere := cmp.Transformer("anywhere", func(Pos) string { return "" })
	if d := cmp.Diff(wantPieces, j.Pieces, anywhere) + cmp.Diff(wantPanels, j.Panels, anywhere); d != "" {
		t.Error(d)
	}
	var prices, stock []int64
	for _, o := range j.Offers {
		prices, stock = append(prices, o.Price), append(stock, o.Stock)
	}
	// 48 × 96 × 0.063 in of 5052 at 2680 kg/m³ is 12.7494 kg or 28.1076 lb; × 2.95 is 82.917.
	if d := cmp.Diff([]int64{4700, 3100, 8292, 0}, prices) + cmp.Diff([]int64{-1, 3, -1, 1}, stock); d != "" {
		t.Error(d)
	}
	saw, panelSaw := j.Processes[0], j.Processes[2]
	if saw.Kind != Saw || saw.TrimRight != inches(8) || saw.Tail != inches(32) || saw.CutError != length.Inch/32 {
		t.Errorf("saw: %+v", saw)
	}
	if panelSaw.Kind != PanelSaw || panelSaw.Stages != 2 || !panelSaw.Exact || panelSaw.TrimTop != inches(8) || panelSaw.TrimBottom != inches(4) {
		t.Errorf("panel saw: %+v", panelSaw)
	}
	const file = "../../testdata/jobs/barrow/job.toml"
	if d := cmp.Diff([]Message{{Pos{file, 54, 1}, `the column "Part" is not read`}}, j.Remarks); d != "" {
		t.Error(d)
	}
}
