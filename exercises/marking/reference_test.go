package marking

import (
	"bytes"
	"encoding/json"
	"math/big"
	"os"
	"testing"
)

func rat(t testing.TB, s string) *big.Rat {
	t.Helper()
	x, ok := new(big.Rat).SetString(s)
	if !ok {
		t.Fatalf("%q is no number", s)
	}
	return x
}

// TestMarkingCases judges every case of the reference file and wants the same
// verdict.
func TestMarkingCases(t *testing.T) {
	data, err := os.ReadFile("testdata/marking.json")
	if err != nil {
		t.Fatal(err)
	}
	var file struct {
		Questions map[string]struct {
			Kind     string   `json:"kind"`
			Key      string   `json:"key"`
			Tol      string   `json:"tol"`
			Unit     string   `json:"unit"`
			UnitMode UnitMode `json:"unit_mode"`
			Figures  int      `json:"significant_figures"`
			Accept   []string `json:"accept"`
		} `json:"questions"`
		Cases []struct {
			Question string  `json:"question"`
			Input    string  `json:"input"`
			Verdict  Verdict `json:"verdict"`
			Rule     string  `json:"rule"`
		} `json:"cases"`
	}
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.DisallowUnknownFields()
	if err := dec.Decode(&file); err != nil {
		t.Fatal(err)
	}
	questions := map[string]Question{}
	for id, q := range file.Questions {
		switch q.Kind {
		case "numeric":
			questions[id] = Question{Number: &Number{Key: rat(t, q.Key), Tolerance: rat(t, q.Tol), Unit: q.Unit, Mode: q.UnitMode, Figures: q.Figures}}
		case "choice":
			questions[id] = Question{Choice: &Choice{Options: []Option{{ID: "right", Names: q.Accept}}, Right: "right"}}
		default:
			t.Fatalf("question %s: unknown kind %q", id, q.Kind)
		}
	}
	if len(file.Cases) == 0 {
		t.Fatal("no case was read")
	}
	for _, c := range file.Cases {
		t.Run(c.Question+"/"+c.Input, func(t *testing.T) {
			if c.Verdict.Words() == string(c.Verdict) {
				t.Fatalf("unknown verdict %q", c.Verdict)
			}
			q, ok := questions[c.Question]
			if !ok {
				t.Fatalf("no question %q", c.Question)
			}
			r, err := Judge(q, c.Input)
			if err != nil {
				t.Fatal(err)
			}
			if r.Verdict != c.Verdict || r.Text != c.Input {
				t.Errorf("%q: %s by %s, want %s (%s)", c.Input, r.Verdict, r.Rule, c.Verdict, c.Rule)
			}
			if r.Verdict == Query && r.Ask == "" {
				t.Errorf("%q: a query without a question", c.Input)
			}
		})
	}
}
