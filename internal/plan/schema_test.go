package plan_test

import (
	"bytes"
	"encoding/json"
	"maps"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"pgregory.net/rapid"

	"sawbill/internal/plan"
)

func compileSchema(t *testing.T) *jsonschema.Schema {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(plan.Schema()))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("plan.schema.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("plan.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func validate(s *jsonschema.Schema, text []byte) error {
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		return err
	}
	return s.Validate(doc)
}

// TestSchemaAcceptsPlans: what Encode writes is what the schema describes.
func TestSchemaAcceptsPlans(t *testing.T) {
	s := compileSchema(t)
	rapid.Check(t, func(t *rapid.T) {
		text, err := drawPlan(t).Encode()
		if err != nil {
			t.Fatal(err)
		}
		if err := validate(s, text); err != nil {
			t.Fatalf("%v\n%s", err, text)
		}
	})
}

// TestSchemaRefuses: a value of another shape is refused.
func TestSchemaRefuses(t *testing.T) {
	s := compileSchema(t)
	good := sample(t)
	if err := validate(s, good); err != nil {
		t.Fatal(err)
	}
	for _, change := range [][2]string{
		{`"version": 2`, `"version": 1`},
		{`"unit": "25 nm"`, `"unit": "mm"`},
		{`"total": "12.00"`, `"total": 12`},
		{`"total": "12.00"`, `"total": "12.0"`},
		{`"total": "12.00"`, `"total": "012.00"`},
		{`"pieces": "1.000000"`, `"pieces": "1.00"`},
		{`"currency": "EUR",`, ``},
		{`"currency": "EUR"`, `"curency": "EUR"`},
		{`"kind": "bar"`, `"kind": "tube"`},
		{`"at": 400`, `"at": -1`},
		{`"at": 400`, `"at": 0.5`},
		{`"copy": 1`, `"copy": 0`},
		{`"status": "proven"`, `"status": "sure"`},
		{`"way": "fetched"`, `"way": "carried"`},
		{`"what": "cutting S1"`, `"what": "cutting"`},
		{`"what": "cutting S1"`, `"what": "carving S1"`},
		{`"spare": 1`, `"spare": -1`},
	} {
		text := strings.Replace(string(good), change[0], change[1], 1)
		if text == string(good) {
			t.Fatalf("%s is not in the sample\n%s", change[0], good)
		}
		if validate(s, []byte(text)) == nil {
			t.Errorf("the schema accepts %s", change[1])
		}
	}
}

// node is as much of a schema as the comparison needs.
type node struct {
	Ref         string          `json:"$ref"`
	Type        any             `json:"type"`
	Description string          `json:"description"`
	Additional  *bool           `json:"additionalProperties"`
	Required    []string        `json:"required"`
	Properties  map[string]node `json:"properties"`
	Items       *node           `json:"items"`
	Defs        map[string]node `json:"$defs"`
}

// TestSchemaHasTheTypesKeys holds the schema against the Go types, key by key:
// the same keys, required where they are always written, each with one sentence.
func TestSchemaHasTheTypesKeys(t *testing.T) {
	var root node
	if err := json.Unmarshal(plan.Schema(), &root); err != nil {
		t.Fatal(err)
	}
	met := map[string]reflect.Type{}
	var compare func(where string, n node, of reflect.Type)
	compare = func(where string, n node, of reflect.Type) {
		for of.Kind() == reflect.Pointer || of.Kind() == reflect.Slice {
			if of.Kind() == reflect.Slice {
				if n.Items == nil {
					t.Errorf("%s: it is no list", where)
					return
				}
				n = *n.Items
			}
			of = of.Elem()
		}
		if n.Ref != "" {
			name := strings.TrimPrefix(n.Ref, "#/$defs/")
			if of.Kind() == reflect.Struct {
				if before := met[name]; before != nil {
					if before != of {
						t.Errorf("%s: %s is both %v and %v", where, name, before, of)
					}
					return
				}
				met[name] = of
			}
			n = root.Defs[name]
		}
		if of.Kind() != reflect.Struct {
			if len(n.Properties) > 0 {
				t.Errorf("%s: it is no object but %v", where, of)
			}
			return
		}
		if n.Additional == nil || *n.Additional {
			t.Errorf("%s: it allows other keys", where)
		}
		var keys, required []string
		for i := range of.NumField() {
			field := of.Field(i)
			key, option, _ := strings.Cut(field.Tag.Get("json"), ",")
			keys = append(keys, key)
			if option != "omitempty" {
				required = append(required, key)
			}
			value, known := n.Properties[key]
			if !known {
				continue // found below
			}
			if d := value.Description; !strings.HasSuffix(d, ".") {
				t.Errorf("%s.%s: its description %q is no sentence", where, key, d)
			}
			compare(where+"."+key, value, field.Type)
		}
		slices.Sort(keys)
		if got := slices.Sorted(maps.Keys(n.Properties)); !slices.Equal(got, keys) {
			t.Errorf("%s: the schema has %v, the type %v", where, got, keys)
		}
		if !slices.Equal(n.Required, required) {
			t.Errorf("%s: the schema requires %v, the type always writes %v", where, n.Required, required)
		}
	}
	compare("plan", root, reflect.TypeFor[plan.Plan]())
	for name, d := range root.Defs {
		if len(d.Properties) > 0 && met[name] == nil {
			t.Errorf("$defs.%s: no type has it", name)
		}
		if !strings.HasSuffix(d.Description, ".") {
			t.Errorf("$defs.%s: its description %q is no sentence", name, d.Description)
		}
	}
}
