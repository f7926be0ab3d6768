package report

import (
	"sawbill/internal/job"
	"sawbill/internal/plan/option"
)

// Comparison makes the papers of a comparison. The messages name the
// substitutes made for characters that the type cannot print. The error would
// be a fault of the program.
func Comparison(t *option.Table, j *job.Job) ([]File, []job.Message, error) {
	s, err := newSet(compareRef(t), j)
	if err != nil {
		return nil, nil, err
	}
	s.comparePaper(t)
	s.compareDrawing(t)
	s.add("compare.csv", compareTable(t))
	return s.files, s.messages, s.err
}
