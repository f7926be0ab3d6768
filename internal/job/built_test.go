package job

import (
	"strings"
	"testing"
)

// What Built cannot take line by line it refuses, in a sentence. What it writes is
// tried in plan/compare, against what a comparison says.
func TestBuiltRefuses(t *testing.T) {
	const own = "[material.tube]\nstock = \"SHS 25x25x2\"\n"
	for text, want := range map[string]string{
		own: "has no variant",
		own + "[variant.thin.process.saw]\nkerf = 2\n":                          "no header [process.saw]",
		own + "[variant.thin.material.tube]\nnote = '''\ntwo\nlines'''\n":       "goes over several lines",
		own + "note = '''\na\nb'''\n[variant.thin.material.tube]\nnote = \"c\"": "goes over several lines",
		own + "[variant.thin.material.tube\n":                                   "has faults",
	} {
		if data, err := Built("job.toml", []byte(text), "thin"); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s\n%v\n%s", text, err, data)
		}
	}
	// The last line need not end.
	data, err := Built("job.toml", []byte(own+"[variant.thin.material.tube]\r\nstock = \"SHS 20x20x2\""), "thin")
	if want := "[material.tube]\n# stock = \"SHS 25x25x2\"\nstock = \"SHS 20x20x2\"\n# [variant.thin.material.tube]\r\n# stock = \"SHS 20x20x2\""; err != nil || string(data) != want {
		t.Errorf("%v %q", err, data)
	}
}
