package rack

import (
	"context"
	"database/sql"
	"time"

	"sawbill/internal/length"
)

// Rules say what is worth keeping. What is 0 sets no rule.
type Rules struct {
	Bar                     length.Length // the shortest bar
	SheetLength, SheetWidth length.Length // the smallest sheet, whichever way it lies
	Days                    int64         // the longest that a piece stays
}

// Rules reads the rules for keeping.
func (r *Rack) Rules(ctx context.Context) (k Rules, err error) {
	err = r.db.QueryRowContext(ctx, "SELECT bar, sheet_length, sheet_width, days FROM keep").Scan(&k.Bar, &k.SheetLength, &k.SheetWidth, &k.Days)
	return k, err
}

// SetRules has change alter the rules for keeping.
func (r *Rack) SetRules(ctx context.Context, change func(*Rules)) (k Rules, err error) {
	err = r.write(ctx, func(tx *sql.Tx) error {
		if err := tx.QueryRowContext(ctx, "SELECT bar, sheet_length, sheet_width, days FROM keep").Scan(&k.Bar, &k.SheetLength, &k.SheetWidth, &k.Days); err != nil {
			return err
		}
		change(&k)
		_, err := tx.ExecContext(ctx, "UPDATE keep SET bar = ?, sheet_length = ?, sheet_width = ?, days = ?", int64(k.Bar), int64(k.SheetLength), int64(k.SheetWidth), k.Days)
		return err
	})
	return k, err
}

// Large says that a piece is large enough to be kept.
func (k Rules) Large(l, w length.Length) bool {
	if w == 0 {
		return l >= k.Bar
	}
	return l >= k.SheetLength && w >= k.SheetWidth || l >= k.SheetWidth && w >= k.SheetLength
}

// Why says why a piece falls out by the rules on a day, as 2006-01-02; "" where it
// stays. What is reserved stays, and so does what has no date that can be read.
func (k Rules) Why(o Offcut, today string) string {
	switch {
	case o.Held != nil:
		return ""
	case !k.Large(o.Length, o.Width):
		return "too small"
	case k.Days > 0 && age(o.Date, today) > k.Days:
		return "too old"
	}
	return ""
}

// age is how many days lie between two dates.
func age(date, today string) int64 {
	from, err := time.Parse(time.DateOnly, date)
	if err != nil {
		return 0
	}
	to, err := time.Parse(time.DateOnly, today)
	if err != nil {
		return 0
	}
	return int64(to.Sub(from) / (24 * time.Hour))
}

// Out lists what falls out by the rules on a day.
func (r *Rack) Out(ctx context.Context, today string) (out []Offcut, err error) {
	k, err := r.Rules(ctx)
	if err != nil {
		return nil, err
	}
	all, err := r.List(ctx)
	for _, o := range all {
		if k.Why(o, today) != "" {
			out = append(out, o)
		}
	}
	return out, err
}
