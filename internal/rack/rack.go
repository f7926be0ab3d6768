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
	"time"

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
}

// Rack is an open file. It is safe for concurrent use.
type Rack struct{ db *sql.DB }

// version of the tables, kept as SQLite's user_version.
const version = 1

const tables = `
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
`

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
	dsn := url.URL{Scheme: "file", Path: name, RawQuery: "_pragma=busy_timeout(10000)&_pragma=journal_mode(WAL)&_pragma=synchronous(FULL)&_txlock=immediate"}
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
		case v == version:
			return nil
		case v != 0:
			return fmt.Errorf("its tables are of version %d and this program knows version %d; use the program that wrote it", v, version)
		}
		if _, err := tx.ExecContext(ctx, tables); err != nil {
			return err
		}
		_, err := tx.ExecContext(ctx, fmt.Sprintf("PRAGMA user_version = %d", version))
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
		for _, o := range pieces {
			done, err := tx.ExecContext(ctx, "INSERT INTO offcut (material, length, width, place, date, note) VALUES (?, ?, ?, ?, ?, ?)",
				o.Material, int64(o.Length), int64(o.Width), o.Place, o.Date, o.Note)
			if err != nil {
				return err
			}
			id, err := done.LastInsertId()
			if err != nil {
				return err
			}
			ids = append(ids, id)
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	return ids, nil
}

// List tells every piece by material, length, width and number.
func (r *Rack) List(ctx context.Context) (all []Offcut, err error) {
	rows, err := r.db.QueryContext(ctx, "SELECT id, material, length, width, place, date, note FROM offcut ORDER BY material, length, width, id")
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	for rows.Next() {
		var o Offcut
		if err := rows.Scan(&o.ID, &o.Material, &o.Length, &o.Width, &o.Place, &o.Date, &o.Note); err != nil {
			return nil, err
		}
		all = append(all, o)
	}
	return all, rows.Err()
}

// Drop takes pieces out, all or none.
func (r *Rack) Drop(ctx context.Context, ids ...int64) error {
	return r.write(ctx, func(tx *sql.Tx) error {
		for _, id := range ids {
			done, err := tx.ExecContext(ctx, "DELETE FROM offcut WHERE id = ?", id)
			if err != nil {
				return err
			}
			if n, err := done.RowsAffected(); err != nil {
				return err
			} else if n == 0 {
				return fmt.Errorf("no piece on the rack has the number %d; 'sawbill rack list' tells those there are", id)
			}
		}
		return nil
	})
}
