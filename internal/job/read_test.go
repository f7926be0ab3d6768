package job

import (
	"testing"
)

func TestReadSample(t *testing.T) {
	j, err := Read("../../testdata/jobs/screen/job.toml")
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("%+v", j)
}
