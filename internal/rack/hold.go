package rack

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"slices"
)

// Reserve sets pieces aside for a plan and gives back those that the same job had
// reserved before; their numbers are returned. All of it happens or none: also
// none when then, which is called last and may be nil, fails. A piece that is gone
// or was reserved for another job meanwhile is an error, a *Taken.
func (r *Rack) Reserve(ctx context.Context, h Hold, ids []int64, then func() error) (back []int64, err error) {
	err = r.write(ctx, func(tx *sql.Tx) error {
		before, err := release(ctx, tx, "job = ?", h.Job)
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
	ID int64
	By *Hold // nil where it is not on the rack any more
}

func (e *Taken) Error() string {
	if e.By == nil {
		return fmt.Sprintf("no. %d is not on the rack any more; plan the job again", e.ID)
	}
	return fmt.Sprintf("no. %d is reserved for %q by plan no. %s meanwhile; plan the job again", e.ID, e.By.Job, e.By.Plan)
}

func hold(ctx context.Context, tx *sql.Tx, h Hold, ids []int64) error {
	for _, id := range ids {
		list, err := read(tx.QueryContext(ctx, "SELECT "+columns+" WHERE id = ?", id))
		switch {
		case err != nil:
			return err
		case len(list) == 0:
			return &Taken{ID: id}
		case list[0].Held != nil && list[0].Held.Job != h.Job:
			return &Taken{id, list[0].Held}
		}
		if _, err := tx.ExecContext(ctx, "INSERT OR REPLACE INTO hold (offcut, job, plan, date) VALUES (?, ?, ?, ?)", id, h.Job, h.Plan, h.Date); err != nil {
			return err
		}
	}
	return nil
}

// release gives back what meets a condition.
func release(ctx context.Context, tx *sql.Tx, condition string, argument any) (ids []int64, err error) {
	rows, err := tx.QueryContext(ctx, "DELETE FROM hold WHERE "+condition+" RETURNING offcut", argument)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	for rows.Next() {
		var id int64
		if err := rows.Scan(&id); err != nil {
			return nil, err
		}
		ids = append(ids, id)
	}
	slices.Sort(ids)
	return ids, rows.Err()
}

// Release gives back all that is reserved for a job, and tells the numbers.
func (r *Rack) Release(ctx context.Context, job string) (ids []int64, err error) {
	err = r.write(ctx, func(tx *sql.Tx) (err error) {
		ids, err = release(ctx, tx, "job = ?", job)
		return err
	})
	return ids, err
}

// ReleasePieces gives back pieces, all or none, whatever they are reserved for.
func (r *Rack) ReleasePieces(ctx context.Context, ids ...int64) error {
	return r.write(ctx, func(tx *sql.Tx) error {
		for _, id := range ids {
			if _, err := one(ctx, tx, id); err != nil {
				return err
			}
			back, err := release(ctx, tx, "offcut = ?", id)
			if err != nil {
				return err
			}
			if len(back) == 0 {
				return fmt.Errorf("no. %d is not reserved; 'sawbill rack list' tells what is", id)
			}
		}
		return nil
	})
}

// Booking is what a plan that has been cut did to the rack.
type Booking struct {
	Job    string // its name
	Plan   string // no. of the plan
	Digest string // of the plan, by which it is known
	Date   string
	Used   []int64  // what was cut from
	Left   []Offcut // what goes in
}

// Booked is the error when a plan has been booked before.
type Booked struct{ Plan, Date string }

func (e *Booked) Error() string {
	return fmt.Sprintf("plan no. %s was booked on %s; the rack stays as it is", e.Plan, e.Date)
}

// Book takes out what was used, puts in what is left, gives back what else was
// reserved for the job, and remembers the plan: all or none. It returns the numbers
// of what went in and of what was used and was not there any more. A piece used that
// is reserved for another job is an error, and so is a plan booked before (*Booked).
func (r *Rack) Book(ctx context.Context, b Booking) (in, missing []int64, err error) {
	err = r.write(ctx, func(tx *sql.Tx) error {
		in, missing = nil, nil
		var date string
		switch err := tx.QueryRowContext(ctx, "SELECT date FROM booked WHERE plan = ?", b.Digest).Scan(&date); {
		case err == nil:
			return &Booked{b.Plan, date}
		case !errors.Is(err, sql.ErrNoRows):
			return err
		}
		if _, err := tx.ExecContext(ctx, "INSERT INTO booked (plan, job, date) VALUES (?, ?, ?)", b.Digest, b.Job, b.Date); err != nil {
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
			case list[0].Held != nil && list[0].Held.Job != b.Job:
				return list[0].heldFor()
			}
			if _, err := tx.ExecContext(ctx, "DELETE FROM offcut WHERE id = ?", id); err != nil {
				return err
			}
		}
		if _, err := release(ctx, tx, "job = ?", b.Job); err != nil {
			return err
		}
		var err error
		in, err = put(ctx, tx, b.Left)
		return err
	})
	return in, missing, err
}
