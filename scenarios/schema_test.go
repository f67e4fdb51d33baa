package scenarios_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io/fs"
	"os"
	"path"
	"slices"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"gopkg.in/yaml.v3"

	"loopdrill/scenarios"
	"loopdrill/scenarios/shipped"
)

func compiled(t *testing.T, vocab scenarios.Vocabulary) *jsonschema.Schema {
	t.Helper()
	b, err := scenarios.Schema(vocab)
	if err != nil {
		t.Fatal(err)
	}
	return compile(t, b)
}

func compile(t *testing.T, b []byte) *jsonschema.Schema {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(b))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	c.DefaultDraft(jsonschema.Draft2020)
	if err := c.AddResource("loopdrill.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("loopdrill.json") // holds it against the meta-schema
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// asJSON turns YAML into what a validator sees in an editor.
func asJSON(b []byte) (v any, err error) {
	defer func() { // the map decoder of the module panics on some keys
		if p := recover(); p != nil {
			err = fmt.Errorf("%v", p)
		}
	}()
	var n yaml.Node
	if err := yaml.Unmarshal(b, &n); err != nil {
		return nil, err
	}
	datesAreText(&n)
	if err := n.Decode(&v); err != nil {
		return nil, err
	}
	j, err := json.Marshal(v)
	if err != nil {
		return nil, err
	}
	return jsonschema.UnmarshalJSON(bytes.NewReader(j))
}

// datesAreText leaves dates as they are written, as the core schema of YAML 1.2
// and editors do.
func datesAreText(n *yaml.Node) {
	if n.Tag == "!!timestamp" {
		n.Tag = "!!str"
	}
	for _, c := range n.Content {
		datesAreText(c)
	}
}

func TestSchemaTakesSoundFiles(t *testing.T) {
	plain := compiled(t, vocabulary())
	check := func(name string, s *jsonschema.Schema, fsys fs.FS) {
		files, _ := fs.Glob(fsys, "plants/*.yaml")
		for _, f := range append(files, "course.yaml") {
			b, err := fs.ReadFile(fsys, f)
			if err != nil {
				t.Fatal(err)
			}
			v, err := asJSON(bytes.TrimPrefix(b, []byte("\ufeff")))
			if err != nil {
				t.Fatal(err)
			}
			if err := s.Validate(v); err != nil {
				t.Errorf("%s, %s: %v", name, f, err)
			}
		}
	}
	check("base", plain, base(t))
	for _, c := range cases(t, "testdata/ok/*.txt") {
		check(c.name, plain, c.fsys)
	}
	for _, name := range shipped.Names() {
		fsys, err := shipped.Course(name)
		if err != nil {
			t.Fatal(err)
		}
		check(name, compiled(t, vocabularyOf(t, fsys)), fsys)
	}
	check("what loopdrill new writes", plain, os.DirFS("../cmd/loopdrill/starter"))
	// Without families the schema stands as well.
	compiled(t, scenarios.Vocabulary{})
}

// TestModelines follows the first line of every shipped YAML file, and of what
// "loopdrill new" writes, to its schema, and validates the file against it. The
// schema beside the shipped courses knows the real families; exercises/families
// holds it fresh, and cmd/loopdrill that a new course gets one.
func TestModelines(t *testing.T) {
	const file = "loopdrill.json"
	b, err := os.ReadFile("shipped/" + file)
	if err != nil {
		t.Fatal(err)
	}
	s := compile(t, b)
	for root, patterns := range map[string][]string{
		"shipped":                  {"*/course.yaml", "*/plants/*.yaml"},
		"../cmd/loopdrill/starter": {"course.yaml", "plants/*.yaml"},
	} {
		fsys := os.DirFS(root)
		for _, pattern := range patterns {
			names, err := fs.Glob(fsys, pattern)
			if err != nil || len(names) == 0 {
				t.Fatal(root, pattern, err)
			}
			for _, name := range names {
				body, err := fs.ReadFile(fsys, name)
				if err != nil {
					t.Fatal(err)
				}
				first, _, _ := strings.Cut(string(body), "\n")
				to, ok := strings.CutPrefix(first, "# yaml-language-server: $schema=")
				if got := path.Join(path.Dir(name), to); !ok || got != file {
					t.Errorf("%s in %s begins with %q, which leads to %q", name, root, first, got)
				}
				v, err := asJSON(body)
				if err != nil {
					t.Fatal(err)
				}
				if err := s.Validate(v); err != nil {
					t.Errorf("%s in %s: %v", name, root, err)
				}
			}
		}
	}
}

// structural are the rules whose mistakes lie in one value or key, so that the
// schema must see them, too.
var structural = []string{
	scenarios.RuleUnknownKey, scenarios.RuleMissingKey, scenarios.RuleNull, scenarios.RuleType, scenarios.RuleEmptyList, scenarios.RuleNotFinite,
	scenarios.RuleOctal, scenarios.RuleValue, scenarios.RuleUnknownName, scenarios.RuleQuantity, scenarios.RuleUnit, scenarios.RuleRange,
	scenarios.RulePath, scenarios.RuleFamilyFaults, scenarios.RuleFamilyKeys, scenarios.RuleTogether, scenarios.RuleDate,
}

// blind are the cases that a schema cannot refuse, and why.
var blind = map[string]string{
	"number-octal-whole": "YAML hands 010 on as the number 8",
	"pass-mark-fraction": "the schema does not tell which quantities are whole",
	"range-two-units":    "a pattern does not compare the units of both ends",
	"syntax-escape":      "the schema cannot see a character that does not show",
}

func TestSchemaRefusesStructuralMistakes(t *testing.T) {
	s := compiled(t, vocabulary())
	tried := 0
	for _, c := range cases(t, "testdata/err/*.txt") {
		_, ds := scenarios.ReadCourse(c.fsys, vocabulary())
		for _, d := range ds {
			if !slices.Contains(structural, d.Rule) || path.Ext(d.At.File) != ".yaml" {
				continue
			}
			b, err := fs.ReadFile(c.fsys, d.At.File)
			if err != nil {
				t.Fatal(err)
			}
			v, err := asJSON(b)
			if err != nil {
				continue // refused before any schema
			}
			tried++
			refused := s.Validate(v) != nil
			if _, known := blind[c.name]; refused == known {
				t.Errorf("%s [%s]: refused by the schema: %v", c.name, d.Rule, refused)
			}
		}
	}
	if tried < 40 {
		t.Errorf("only %d mistakes were tried", tried)
	}
}
