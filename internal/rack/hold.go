package rack

import (
	"context"
	"database/sql"
	"fmt"
	"slices"
	"strings"

	"sawbill/internal/length"
)

// Reserve sets pieces aside for a plan and gives back those that the same job had
// reserved before; their numbers are returned. All of it happens or none: also
// none when then, which is called last and may be nil, fails. A piece that is gone
// or was reserved for another job meanwhile is an error, a *Taken.
func (r *Rack) Reserve(ctx context.Context, h Hold, ids []int64, then func() error) (back []int64, err error) {
	err = r.write(ctx, func(tx *sql.Tx) error {
		before, err := releaseJob(ctx, tx, h.Owner)
		if err != nil {
			return err
		}
		if err := hold(ctx, tx, h, ids); err != nil {
			return err
		}
		back = slices.DeleteFunc(before, func(id int64) bool { return slices.Contains(ids, id) })
		if then == nil {
			return nil
		}
		return then()
	})
	return back, err
}

// Extend sets further pieces aside for a job, which keeps those that it has; the
// rest is as with Reserve.
func (r *Rack) Extend(ctx context.Context, h Hold, ids []int64, then func() error) error {
	return r.write(ctx, func(tx *sql.Tx) error {
		if err := hold(ctx, tx, h, ids); err != nil || then == nil {
			return err
		}
		return then()
	})
}

// Taken is the error when a piece cannot be reserved.
type Taken struct {
	ID  int64
	By  *Hold // nil where it is not on the rack any more
	For Owner // who wanted it
}

func (e *Taken) Error() string {
	if e.By == nil {
		return fmt.Sprintf("no. %d is not on the rack any more; plan the job again", e.ID)
	}
	return fmt.Sprintf("no. %d is reserved for %s by plan no. %s meanwhile; plan the job again", e.ID, e.By.beside(e.For), e.By.Plan)
}

func hold(ctx context.Context, tx *sql.Tx, h Hold, ids []int64) error {
	for _, id := range ids {
		list, err := read(tx.QueryContext(ctx, "SELECT "+columns+" WHERE id = ?", id))
		switch {
		case err != nil:
			return err
		case len(list) == 0:
			return &Taken{ID: id, For: h.Owner}
		case list[0].Held != nil && !list[0].Held.Is(h.Owner):
			return &Taken{id, list[0].Held, h.Owner}
		}
		if _, err := tx.ExecContext(ctx, "INSERT OR REPLACE INTO hold (offcut, job, folder, plan, date) VALUES (?, ?, ?, ?, ?)", id, h.Job, h.Folder, h.Plan, h.Date); err != nil {
			return err
		}
	}
	return nil
}

// releaseJob gives back what is reserved for a job.
func releaseJob(ctx context.Context, tx *sql.Tx, o Owner) (ids []int64, err error) {
	list, err := read(tx.QueryContext(ctx, "SELECT "+columns+" WHERE hold.job = ? ORDER BY id", o.Job))
	if err != nil {
		return nil, err
	}
	for _, p := range list {
		if !p.Held.Is(o) {
			continue
		}
		if err := free(ctx, tx, p.ID); err != nil {
			return nil, err
		}
		ids = append(ids, p.ID)
	}
	return ids, nil
}

// free gives back one piece.
func free(ctx context.Context, tx *sql.Tx, id int64) error {
	_, err := tx.ExecContext(ctx, "DELETE FROM hold WHERE offcut = ?", id)
	return err
}

// Found is what a piece that was reserved really is: its size, and what more is to
// be noted of it.
type Found struct {
	ID            int64
	Length, Width length.Length
	Note          string
}

// Release gives back all that is reserved for a job, and tells the numbers. What was
// found of pieces that are among these is kept.
func (r *Rack) Release(ctx context.Context, job Owner, found ...Found) (ids []int64, err error) {
	err = r.write(ctx, func(tx *sql.Tx) (err error) {
		if ids, err = releaseJob(ctx, tx, job); err != nil {
			return err
		}
		return correct(ctx, tx, ids, found)
	})
	return ids, err
}

// correct changes those of some pieces that were found to be different.
func correct(ctx context.Context, tx *sql.Tx, ids []int64, found []Found) error {
	for _, f := range found {
		if !slices.Contains(ids, f.ID) {
			continue
		}
		o, err := one(ctx, tx, f.ID)
		if err != nil {
			return err
		}
		if o.Note == "" || f.Note == "" {
			o.Note += f.Note
		} else if !strings.Contains(o.Note, f.Note) {
			o.Note += "; " + f.Note
		}
		if _, err := tx.ExecContext(ctx, "UPDATE offcut SET length = ?, width = ?, note = ? WHERE id = ?", int64(f.Length), int64(f.Width), oneLine(o.Note), f.ID); err != nil {
			return err
		}
	}
	return nil
}

// ReleasePieces gives back pieces, all or none, whatever they are reserved for.
func (r *Rack) ReleasePieces(ctx context.Context, ids ...int64) error {
	return r.write(ctx, func(tx *sql.Tx) error {
		for _, id := range ids {
			o, err := one(ctx, tx, id)
			if err != nil {
				return err
			}
			if err := free(ctx, tx, id); err != nil {
				return err
			}
			if o.Held == nil {
				return fmt.Errorf("no. %d is not reserved; 'sawbill rack list' tells what is", id)
			}
		}
		return nil
	})
}

// Booking is what a plan that has been cut did to the rack.
type Booking struct {
	Owner
	Plan   string // no. of the plan
	Digest string // of the plan, by which it is known
	Date   string
	Used   []int64  // what was cut from
	Found  []Found  // what was not, and is not as it was
	Left   []Offcut // what goes in
}

// Booked is the error when a plan has been booked before.
type Booked struct{ Plan, Date string }

func (e *Booked) Error() string {
	return fmt.Sprintf("plan no. %s was booked on %s; the rack stays as it is", e.Plan, e.Date)
}

// Book takes out what was used, puts in what is left, gives back what else was
// reserved for the job, at the size it was found to have, and remembers the plan: all or none. It returns the numbers
// of what went in and of what was used and was not there any more. A piece used that
// is reserved for another job is an error, and so is a plan booked before (*Booked).
func (r *Rack) Book(ctx context.Context, b Booking) (in, missing []int64, err error) {
	err = r.write(ctx, func(tx *sql.Tx) error {
		in, missing = nil, nil
		if err := notBooked(ctx, tx, b); err != nil {
			return err
		}
		if _, err := tx.ExecContext(ctx, "INSERT INTO booked (plan, job, folder, date) VALUES (?, ?, ?, ?)", b.Digest, b.Job, b.Folder, b.Date); err != nil {
			return err
		}
		for _, id := range b.Used {
			list, err := read(tx.QueryContext(ctx, "SELECT "+columns+" WHERE id = ?", id))
			switch {
			case err != nil:
				return err
			case len(list) == 0:
				missing = append(missing, id)
				continue
			case list[0].Held != nil && !list[0].Held.Is(b.Owner):
				return list[0].heldFor()
			}
			if _, err := tx.ExecContext(ctx, "DELETE FROM offcut WHERE id = ?", id); err != nil {
				return err
			}
		}
		back, err := releaseJob(ctx, tx, b.Owner)
		if err != nil {
			return err
		}
		if err := correct(ctx, tx, back, b.Found); err != nil {
			return err
		}
		in, err = put(ctx, tx, b.Left)
		return err
	})
	return in, missing, err
}

// notBooked refuses a plan of a job that has been booked. The same plan of another
// job is another.
func notBooked(ctx context.Context, tx *sql.Tx, b Booking) error {
	rows, err := tx.QueryContext(ctx, "SELECT job, folder, date FROM booked WHERE plan = ?", b.Digest)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		var o Owner
		var date string
		if err := rows.Scan(&o.Job, &o.Folder, &date); err != nil {
			return err
		}
		if o.Is(b.Owner) {
			return &Booked{b.Plan, date}
		}
	}
	return rows.Err()
}
