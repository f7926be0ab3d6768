package rack

import (
	"context"
	"database/sql"
	"errors"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// firstTables made the files of version 1, word for word.
const firstTables = `
CREATE TABLE offcut (
	id       INTEGER PRIMARY KEY AUTOINCREMENT,
	material TEXT    NOT NULL CHECK (material <> ''),
	length   INTEGER NOT NULL CHECK (length > 0),
	width    INTEGER NOT NULL CHECK (width >= 0),
	place    TEXT    NOT NULL,
	date     TEXT    NOT NULL,
	note     TEXT    NOT NULL
) STRICT;
CREATE INDEX offcut_in_order ON offcut (material, length, width, id);
PRAGMA user_version = 1;
`

func rawFile(t *testing.T, path, statements string) {
	t.Helper()
	db, err := sql.Open("sqlite", path)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	if _, err := db.Exec(statements); err != nil {
		t.Fatal(err)
	}
}

// TestVersion1: a file of the first version is brought up to date with all it
// holds, its numbers and the number that comes next.
func TestVersion1(t *testing.T) {
	path := filepath.Join(t.TempDir(), "r.db")
	rawFile(t, path, "PRAGMA journal_mode = WAL;"+firstTables+`
		INSERT INTO offcut (material, length, width, place, date, note) VALUES
			('SHS 25x25x2 mm, 6063-T6', 96000000, 0, 'bin 3', '2025-11-02', 'a dent'),
			('sheet 1.5 mm, 5005-H14', 40000000, 20000000, '', '2025-11-03', ''),
			('SHS 25x25x2 mm, 6063-T6', 1, 0, '', '2025-11-04', '');
		DELETE FROM offcut WHERE id = 3;`)
	want := []Offcut{tube(2400), {ID: 2, Material: "sheet 1.5 mm, 5005-H14", Length: 1000 * mm, Width: 500 * mm, Date: "2025-11-03"}}
	want[0].ID, want[0].Date, want[0].Note = 1, "2025-11-02", "a dent"
	ctx := context.Background()
	for range 2 { // the second time nothing is left to do
		r := open(t, path)
		got, err := r.List(ctx)
		if diff := cmp.Diff(want, got); diff != "" || err != nil {
			t.Fatalf("%v %s", err, diff)
		}
		if k, err := r.Rules(ctx); k != (Rules{}) || err != nil {
			t.Errorf("rules %+v, %v", k, err)
		}
		r.Close()
	}
	r := open(t, path)
	if ids, err := r.Add(ctx, tube(300)); err != nil || ids[0] != 4 {
		t.Errorf("number %v after 3 was dropped, %v", ids, err)
	}
	if _, err := r.Reserve(ctx, Hold{Owner{Job: "Hide"}, "1a2b3c4d", "2026-05-02"}, []int64{1}, nil); err != nil {
		t.Error(err)
	}
}

// TestVersion2: what was reserved and booked before folders were noted goes for any
// job of the name.
func TestVersion2(t *testing.T) {
	ctx := context.Background()
	path := filepath.Join(t.TempDir(), "r.db")
	rawFile(t, path, "PRAGMA journal_mode = WAL;"+steps[0]+steps[1]+`
		PRAGMA user_version = 2;
		INSERT INTO offcut (material, length, width, place, date, note) VALUES ('SHS 25x25x2 mm, 6063-T6', 96000000, 0, '', '', '');
		INSERT INTO hold VALUES (1, 'Hide', '1a2b3c4d', '2026-05-02');
		INSERT INTO booked VALUES ('1a2b', 'Hide', '2026-05-01');`)
	r := open(t, path)
	if all, err := r.List(ctx); err != nil || len(all) != 1 || *all[0].Held != (Hold{Owner{Job: "Hide"}, "1a2b3c4d", "2026-05-02"}) {
		t.Fatalf("%+v, %v", all, err)
	}
	mine := Owner{"Hide", t.TempDir()}
	var booked *Booked
	if _, _, err := r.Book(ctx, Booking{Owner: mine, Digest: "1a2b"}); !errors.As(err, &booked) || booked.Date != "2026-05-01" {
		t.Errorf("got %v", err)
	}
	if got, err := r.Release(ctx, mine); len(got) != 1 || err != nil {
		t.Errorf("%v released, %v", got, err)
	}
}

func TestLaterVersion(t *testing.T) {
	path := filepath.Join(t.TempDir(), "r.db")
	rawFile(t, path, "PRAGMA user_version = 99")
	if _, err := Open(context.Background(), path); err == nil || !strings.Contains(err.Error(), "version 99 and this program knows version 3; use the program that wrote it") {
		t.Errorf("got %v", err)
	}
}
