package job

import (
	"bytes"
	"encoding/json"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/pelletier/go-toml/v2"
	"github.com/santhosh-tekuri/jsonschema/v6"
)

func compileSchema(t *testing.T) *jsonschema.Schema {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(Schema()))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("job.schema.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("job.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// asJSON turns TOML into the values a JSON Schema speaks of, with a TOML reader
// that is not ours.
func asJSON(t *testing.T, text []byte) any {
	t.Helper()
	var v map[string]any
	if err := toml.Unmarshal(text, &v); err != nil {
		t.Fatal(err)
	}
	data, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	return doc
}

func TestSchemaAcceptsTheSamples(t *testing.T) {
	s := compileSchema(t)
	files, err := filepath.Glob("../../testdata/jobs/*/job.toml")
	if err != nil || len(files) == 0 {
		t.Fatalf("no sample jobs: %v", err)
	}
	for _, f := range files {
		text, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		if err := s.Validate(asJSON(t, text)); err != nil {
			t.Errorf("%s: %v", f, err)
		}
	}
}

// What the reader refuses by shape the schema refuses too.
func TestSchemaRefuses(t *testing.T) {
	s := compileSchema(t)
	good, err := os.ReadFile("../../testdata/jobs/screen/job.toml")
	if err != nil {
		t.Fatal(err)
	}
	for _, change := range [][2]string{
		{`kerf = 2.5`, `kurf = 2.5`},
		{`kerf = 2.5`, `kerf = -1`},
		{`unit = "mm"`, `unit = "furlong"`},
		{`unit = "mm"`, ``},
		{`good-side = "one"`, `good-side = "two"`},
		{`[supplier.North]`, `[suplier.North]`},
		{`panels = "panels.csv"`, `panels = 3`},
		{`minimum = 80`, `tax = 119`},
		{`minimum = 80`, `free-cuts = 2.5`},
		{`minimum = 80`, `lays-out = "them"`},
		{`minimum = 80`, `on-hand = "yes"`},
		{`minimum = 80`, `metre-cut = -1`},
		{`kerf = 2.5`, "kerf = 2.5\ndone-by = \"them\""},
		{`keep-over = 400 `, "spare = -1 "},
		{`keep-over = 400 `, "spare-percent = 101 "},
		{`longest-load = 3000 `, "budget = -5 "},
	} {
		text := strings.Replace(string(good), change[0], change[1], 1)
		if text == string(good) {
			t.Fatalf("%q is not in the sample", change[0])
		}
		if s.Validate(asJSON(t, []byte(text))) == nil {
			t.Errorf("the schema accepts %q", change[1])
		}
		if _, err := readText(t, text, "panels.csv", "mark;material;length;width\nS1;skin;600;400\n"); err == nil {
			t.Errorf("the reader accepts %q", change[1])
		}
	}
}

// node is as much of a schema as the comparison needs.
type node struct {
	Properties map[string]node `json:"properties"`
	Additional json.RawMessage `json:"additionalProperties"`
	Enum       []any           `json:"enum"`
	Required   []string        `json:"required"`
}

// keysBelow are the keys under a header, whether or not it is a named one.
func (n node) keysBelow(t *testing.T) node {
	if len(n.Properties) > 0 {
		return n
	}
	var inner node
	if err := json.Unmarshal(n.Additional, &inner); err != nil {
		t.Fatal(err)
	}
	return inner
}

func TestSchemaHasTheReadersKeys(t *testing.T) {
	var root node
	if err := json.Unmarshal(Schema(), &root); err != nil {
		t.Fatal(err)
	}
	if len(root.Properties) != len(headers) {
		t.Errorf("the schema has %d headers, the reader %d", len(root.Properties), len(headers))
	}
	for _, h := range headers {
		n, ok := root.Properties[h.name]
		if !ok {
			t.Errorf("the schema has no %s", h.name)
			continue
		}
		if h.name == "columns" {
			for _, k := range tableKinds {
				if got := slices.Sorted(maps.Keys(n.Properties[k.name].Properties)); !slices.Equal(got, slices.Sorted(slices.Values(k.names()))) {
					t.Errorf("columns.%s: the schema has %v", k.name, got)
				}
			}
			continue
		}
		if h.name == "variant" {
			for name, kind := range n.keysBelow(t).Properties {
				if got := slices.Sorted(maps.Keys(kind.keysBelow(t).Properties)); !slices.Equal(got, slices.Sorted(slices.Values(mustHeader(name).names()))) {
					t.Errorf("variant %s: the schema has %v", name, got)
				}
			}
			continue
		}
		n = n.keysBelow(t)
		if got := slices.Sorted(maps.Keys(n.Properties)); !slices.Equal(got, slices.Sorted(slices.Values(h.names()))) {
			t.Errorf("%s: the schema has %v, the reader %v", h.name, got, h.names())
		}
		var required []string
		for _, k := range h.keys {
			if k.required {
				required = append(required, k.name)
			}
			var enum []string
			for _, e := range n.Properties[k.name].Enum {
				if s, ok := e.(string); ok {
					enum = append(enum, s)
				}
			}
			if !slices.Equal(enum, k.choices) {
				t.Errorf("%s.%s: the schema allows %v, the reader %v", h.name, k.name, enum, k.choices)
			}
		}
		if !slices.Equal(n.Required, required) {
			t.Errorf("%s: the schema requires %v, the reader %v", h.name, n.Required, required)
		}
	}
}
