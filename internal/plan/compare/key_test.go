package compare

import (
	"encoding"
	"encoding/json"
	"reflect"
	"testing"

	"sawbill/internal/job"
)

// reread are fields by which a job is changed anew; no plan of it depends on them.
var reread = map[string]bool{"Form.corners": true, "Form.other": true, "Form.whole": true, "RivetRow.side": true}

// Plans are kept under keys made of the job as JSON. That tells jobs apart only if
// JSON writes every field of them: none is unexported, left out by a tag, or
// written by code of its own. An embedded struct is written field by field.
func TestJobIsWrittenWhole(t *testing.T) {
	marshaller, texts := reflect.TypeFor[json.Marshaler](), reflect.TypeFor[encoding.TextMarshaler]()
	met := map[reflect.Type]bool{}
	fields := 0
	var walk func(at string, x reflect.Type)
	walk = func(at string, x reflect.Type) {
		if met[x] {
			return
		}
		met[x] = true
		if x.Implements(marshaller) || x.Implements(texts) || reflect.PointerTo(x).Implements(marshaller) || reflect.PointerTo(x).Implements(texts) {
			t.Errorf("%s is written by code of its own", at)
		}
		switch x.Kind() {
		case reflect.Struct:
			for f := range x.NumField() {
				f := x.Field(f)
				fields++
				if reread[x.Name()+"."+f.Name] {
					continue
				}
				if !f.IsExported() || f.Tag.Get("json") != "" || f.Anonymous && f.Type.Kind() != reflect.Struct {
					t.Errorf("%s.%s may not be written", at, f.Name)
				}
				walk(at+"."+f.Name, f.Type)
			}
		case reflect.Slice, reflect.Array, reflect.Pointer:
			walk(at, x.Elem())
		case reflect.Bool, reflect.String, reflect.Float64, reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64, reflect.Uint8:
		default:
			t.Errorf("%s is a %s", at, x.Kind())
		}
	}
	walk("Job", reflect.TypeFor[job.Job]())
	if fields < 100 {
		t.Errorf("only %d fields were seen", fields)
	}
}

// Whatever a supplier charges, however goods come home and what is kept to spare
// makes another problem of the whole, and the job's name another plan.
func TestWholeKeys(t *testing.T) {
	w := &work{options: quick}
	base := read(t, shed)
	text, err := json.Marshal(base)
	if err != nil {
		t.Fatal(err)
	}
	copied := func() *job.Job {
		j := new(job.Job)
		if err := json.Unmarshal(text, j); err != nil {
			t.Fatal(err)
		}
		return j
	}
	known := w.wholeKey(base)
	if w.wholeKey(copied()) != known {
		t.Error("the same job has another key")
	}
	for name, change := range map[string]func(*job.Job){
		"name": func(j *job.Job) { j.Name += "x" }, "digest": func(j *job.Job) { j.Digest = "" },
		"load": func(j *job.Job) { j.LongestLoad++ }, "width": func(j *job.Job) { j.WidestLoad++ },
		"quote": func(j *job.Job) { j.Quotes[0].Price++ }, "spare": func(j *job.Job) { j.Materials[0].Spare++ },
		"share of spares": func(j *job.Job) { j.Materials[0].SparePercent++ }, "supplier": func(j *job.Job) { j.Processes[0].BySupplier = true },
		"fetch": func(j *job.Job) { j.Suppliers[0].Fetch++ }, "free": func(j *job.Job) { j.Suppliers[0].FreeCuts++ },
		"kerf": func(j *job.Job) { j.Suppliers[0].CutKerf++ }, "tax": func(j *job.Job) { j.Suppliers[0].Tax++ },
		"tier": func(j *job.Job) { j.Offers[0].Tiers[1].From++ }, "pack": func(j *job.Job) { j.Offers[1].Pack++ },
		"section": func(j *job.Job) { j.Materials[0].Section.Root++ },
	} {
		j := copied()
		change(j)
		if w.wholeKey(j) == known {
			t.Errorf("another %s has the same key", name)
		}
	}
	if other := (&work{options: Options{Effort: quick.Effort, Seed: 2}}); other.wholeKey(base) == known {
		t.Error("another seed has the same key")
	}
}
