// Package rack keeps the offcuts, spare bars and spare sheets of a workshop in
// one SQLite file.
//
// Several processes may use a file at once, and one may be killed at any
// moment: every change is one transaction, begun as a writer so that it waits
// for others instead of failing half-way, and has reached the disk when the
// call returns (write-ahead log, synchronous = FULL;
// https://www.sqlite.org/wal.html). The log needs shared memory, so the file
// may not lie on a network share.
package rack

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"
	"unicode"

	"modernc.org/sqlite" // and the driver "sqlite"
	sqlite3 "modernc.org/sqlite/lib"

	"sawbill/internal/length"
)

// Offcut is one piece on the rack: a bar when Width is 0, otherwise a sheet.
type Offcut struct {
	// ID is given by Add, and never given again once dropped.
	ID int64
	// Material is a designation as Material spells it.
	Material string
	Length   length.Length
	Width    length.Length
	Place    string
	// Date on which it was put in, as 2006-01-02.
	Date string
	Note string
	// Job is the name of the job that it is left of; empty where that is not known.
	Job string
	// Held says for what it is reserved; nil where it is free.
	Held *Hold
}

// Hold is a reservation for a plan of a job.
type Hold struct {
	Owner
	Plan string // no. of the plan
	Date string // of the reservation, as 2006-01-02
}

// Rack is an open file. It is safe for concurrent use.
type Rack struct{ db *sql.DB }

// steps make the tables, each from what the one before left; how many were taken
// is kept as SQLite's user_version. A step that has been published is not changed.
var steps = []string{`
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
`, `
ALTER TABLE offcut ADD COLUMN job TEXT NOT NULL DEFAULT '';
CREATE TABLE hold (
	offcut INTEGER PRIMARY KEY REFERENCES offcut (id) ON DELETE CASCADE,
	job    TEXT NOT NULL CHECK (job <> ''),
	plan   TEXT NOT NULL,
	date   TEXT NOT NULL
) STRICT;
CREATE INDEX hold_of_job ON hold (job);
CREATE TABLE booked (
	plan TEXT PRIMARY KEY,
	job  TEXT NOT NULL,
	date TEXT NOT NULL
) STRICT, WITHOUT ROWID;
CREATE TABLE keep (
	one          INTEGER PRIMARY KEY CHECK (one = 1),
	bar          INTEGER NOT NULL CHECK (bar >= 0),
	sheet_length INTEGER NOT NULL CHECK (sheet_length >= 0),
	sheet_width  INTEGER NOT NULL CHECK (sheet_width >= 0),
	days         INTEGER NOT NULL CHECK (days >= 0)
) STRICT;
INSERT INTO keep VALUES (1, 0, 0, 0, 0);
`, `
ALTER TABLE hold ADD COLUMN folder TEXT NOT NULL DEFAULT '';
CREATE TABLE booked_by_folder (
	plan   TEXT NOT NULL,
	job    TEXT NOT NULL,
	folder TEXT NOT NULL,
	date   TEXT NOT NULL,
	PRIMARY KEY (plan, folder)
) STRICT, WITHOUT ROWID;
INSERT INTO booked_by_folder SELECT plan, job, '', date FROM booked;
DROP TABLE booked;
ALTER TABLE booked_by_folder RENAME TO booked;
`}

// Open opens the file, making it where there is none.
func Open(ctx context.Context, path string) (*Rack, error) {
	if info, err := os.Stat(path); err == nil && info.IsDir() {
		return nil, fmt.Errorf("%q is a folder; name a file for the rack", path)
	}
	full, err := filepath.Abs(path)
	if err != nil {
		return nil, fmt.Errorf("the rack %q cannot be found: %w", path, err)
	}
	name := filepath.ToSlash(full)
	if name[0] != '/' { // a drive letter
		name = "/" + name
	}
	dsn := url.URL{Scheme: "file", Path: name, RawQuery: "_pragma=busy_timeout(10000)&_pragma=journal_mode(WAL)&_pragma=synchronous(FULL)&_pragma=foreign_keys(1)&_txlock=immediate"}
	db, err := sql.Open("sqlite", dsn.String())
	if err != nil {
		return nil, fmt.Errorf("the rack %q cannot be opened: %w", path, err)
	}
	r := &Rack{db}
	err = r.prepare(ctx)
	for begun := time.Now(); busy(err) && ctx.Err() == nil && time.Since(begun) < patience; err = r.prepare(ctx) {
		time.Sleep(patience / 1000)
	}
	if err != nil {
		return nil, errors.Join(fmt.Errorf("the rack %q cannot be used: %w", path, err), db.Close())
	}
	return r, nil
}

// patience is how long a file that others are opening is waited for. The busy
// timeout does not cover the change to a write-ahead log, which a new file needs
// once (https://www.sqlite.org/wal.html).
const patience = 10 * time.Second

// busy says that another process had the file.
func busy(err error) bool {
	var e *sqlite.Error
	return errors.As(err, &e) && e.Code()&0xff == sqlite3.SQLITE_BUSY
}

// prepare makes the tables of an empty file and refuses those of a later program.
func (r *Rack) prepare(ctx context.Context) error {
	return r.write(ctx, func(tx *sql.Tx) error {
		var v int
		if err := tx.QueryRowContext(ctx, "PRAGMA user_version").Scan(&v); err != nil {
			return err
		}
		switch {
		case v == len(steps):
			return nil
		case v < 0 || v > len(steps):
			return fmt.Errorf("its tables are of version %d and this program knows version %d; use the program that wrote it", v, len(steps))
		}
		for _, step := range steps[v:] {
			if _, err := tx.ExecContext(ctx, step); err != nil {
				return err
			}
		}
		_, err := tx.ExecContext(ctx, fmt.Sprintf("PRAGMA user_version = %d", len(steps)))
		return err
	})
}

// Close closes the file.
func (r *Rack) Close() error { return r.db.Close() }

// write does the work in one transaction: all of it or none.
func (r *Rack) write(ctx context.Context, work func(*sql.Tx) error) error {
	tx, err := r.db.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	if err := work(tx); err != nil {
		// What failed is worth telling; the rollback only follows from it.
		_ = tx.Rollback()
		return err
	}
	return tx.Commit()
}

// Add puts pieces in, all or none, and returns their numbers in order.
func (r *Rack) Add(ctx context.Context, pieces ...Offcut) ([]int64, error) {
	var ids []int64
	err := r.write(ctx, func(tx *sql.Tx) error {
		var err error
		fresh := slices.Clone(pieces)
		for i := range fresh {
			fresh[i].ID = 0
		}
		ids, err = put(ctx, tx, fresh)
		return err
	})
	if err != nil {
		return nil, err
	}
	return ids, nil
}

// put inserts pieces, those of the number 0 under a new one.
func put(ctx context.Context, tx *sql.Tx, pieces []Offcut) (ids []int64, err error) {
	for _, o := range pieces {
		done, err := tx.ExecContext(ctx, "INSERT INTO offcut (id, material, length, width, place, date, note, job) VALUES (nullif(?, 0), ?, ?, ?, ?, ?, ?, ?)",
			o.ID, o.Material, int64(o.Length), int64(o.Width), oneLine(o.Place), oneLine(o.Date), oneLine(o.Note), oneLine(o.Job))
		if err != nil {
			return nil, err
		}
		id, err := done.LastInsertId()
		if err != nil {
			return nil, err
		}
		ids = append(ids, id)
	}
	return ids, nil
}

// oneLine puts blanks in the place of line ends and other control characters, so
// that what is written of a piece stands on one line, on paper and in a table.
func oneLine(text string) string {
	return strings.Map(func(c rune) rune {
		if unicode.IsControl(c) {
			return ' '
		}
		return c
	}, strings.ToValidUTF8(text, "\ufffd"))
}

const columns = "id, material, length, width, place, offcut.date, note, offcut.job, hold.job, hold.folder, hold.plan, hold.date FROM offcut LEFT JOIN hold ON hold.offcut = offcut.id"

// List tells every piece by material, length, width and number.
func (r *Rack) List(ctx context.Context) ([]Offcut, error) {
	return read(r.db.QueryContext(ctx, "SELECT "+columns+" ORDER BY material, length, width, id"))
}

// read takes pieces from rows of columns.
func read(rows *sql.Rows, err error) (all []Offcut, _ error) {
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	for rows.Next() {
		var o Offcut
		var job, folder, plan, date sql.NullString
		if err := rows.Scan(&o.ID, &o.Material, &o.Length, &o.Width, &o.Place, &o.Date, &o.Note, &o.Job, &job, &folder, &plan, &date); err != nil {
			return nil, err
		}
		if job.Valid {
			o.Held = &Hold{Owner{job.String, folder.String}, plan.String, date.String}
		}
		all = append(all, o)
	}
	return all, rows.Err()
}

// one is the piece of a number.
func one(ctx context.Context, tx *sql.Tx, id int64) (Offcut, error) {
	list, err := read(tx.QueryContext(ctx, "SELECT "+columns+" WHERE id = ?", id))
	switch {
	case err != nil:
		return Offcut{}, err
	case len(list) == 0:
		return Offcut{}, fmt.Errorf("no piece on the rack has the number %d; 'sawbill rack list' tells those there are", id)
	}
	return list[0], nil
}

// heldFor refuses to touch what is reserved.
func (o Offcut) heldFor() error {
	if o.Held == nil {
		return nil
	}
	return fmt.Errorf("no. %d is reserved for %q by plan no. %s; release it first with 'sawbill rack release'", o.ID, o.Held.Job, o.Held.Plan)
}

// Drop takes pieces out, all or none, and none that is reserved.
func (r *Rack) Drop(ctx context.Context, ids ...int64) error {
	return r.write(ctx, func(tx *sql.Tx) error {
		for _, id := range ids {
			o, err := one(ctx, tx, id)
			if err != nil {
				return err
			}
			if err := o.heldFor(); err != nil {
				return err
			}
			if _, err := tx.ExecContext(ctx, "DELETE FROM offcut WHERE id = ?", id); err != nil {
				return err
			}
		}
		return nil
	})
}

// Edit has change alter a piece, but for its number and what it is reserved for,
// and what a plan relies on of one that is reserved.
func (r *Rack) Edit(ctx context.Context, id int64, change func(*Offcut) error) (Offcut, error) {
	var after Offcut
	err := r.write(ctx, func(tx *sql.Tx) error {
		before, err := one(ctx, tx, id)
		if err != nil {
			return err
		}
		after = before
		if err := change(&after); err != nil {
			return err
		}
		after.ID, after.Held = before.ID, before.Held
		if after.Material != before.Material || after.Length != before.Length || after.Width != before.Width {
			if err := before.heldFor(); err != nil {
				return err
			}
		}
		_, err = tx.ExecContext(ctx, "UPDATE offcut SET material = ?, length = ?, width = ?, place = ?, date = ?, note = ?, job = ? WHERE id = ?",
			after.Material, int64(after.Length), int64(after.Width), oneLine(after.Place), oneLine(after.Date), oneLine(after.Note), oneLine(after.Job), id)
		return err
	})
	return after, err
}
