package main

import (
	"encoding/json"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"loopdrill/exercises"
	"loopdrill/exercises/families"
	"loopdrill/generator"
	"loopdrill/scenarios"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/shipped"
)

var keepPile = flag.String("pile", "", "write the pile of answer files and what is marked from it below this folder, to look at them")

const pileSeed = "pile"

// pileNames are the names that the class types, some of them awkward.
var pileNames = []string{"Kari Lindqvist", "Ömer Şahin", "Aoife Ní Bhriain", "=cmd|'x'!A0", "Łucja Żak", "李小龙", "محمد", "Ole <b>Bold</b>", "Tuva", "J. P. de la Cruz-Mendoza y Villanueva de los Infantes"}

// forms of the shipped course, as build makes them from pileSeed.
func pileForms(t *testing.T, seed string, n int) []*exercises.Form {
	t.Helper()
	fsys, err := shipped.Course(shipped.Default)
	if err != nil {
		t.Fatal(err)
	}
	course, ds := scenarios.ReadCourse(fsys, families.Vocabulary())
	if course == nil {
		t.Fatal(ds)
	}
	drawer, _ := generator.Prepare(course, families.Named)
	var forms []*exercises.Form
	for i := 1; i <= n; i++ {
		f, err := drawer.Form(generator.Source{Seed: seed}, exercises.Practice, i, nil)
		if err != nil {
			t.Fatal(err)
		}
		forms = append(forms, f)
	}
	return forms
}

// apprentice fills in a form. skill is the chance that a part is right; what is
// wrong is a slip of the part, mostly pet slips, or a number of no known origin;
// errors are carried on.
type apprentice struct {
	r     *rand.Rand
	skill float64
	pets  []string // ids of slips that are made again and again
}

func (a apprentice) works(form *exercises.Form) map[string]string {
	out := map[string]string{}
	for _, d := range form.Items {
		own := map[string]formula.Value{}
		for p, k := range d.Item.Key.Parts {
			slip := a.slip(k)
			wild := slip == nil && a.r.Float64() > 0.5+a.skill/2
			for i, ans := range k.Answers {
				box := d.Item.Sheet.Parts[p].Boxes[i]
				key := fmt.Sprintf("%d.%s", d.Exercise.Number, ans.Box)
				s := exercises.SlipAnswer{Def: ans.Def, Env: ans.Env, Option: ans.Option, Stop: ans.Stop}
				if ans.Order != nil {
					s.Order = ans.Order.Steps
				}
				if slip != nil {
					for _, sa := range slip.Answers {
						if sa.Box == ans.Box {
							s = sa
						}
					}
				}
				switch {
				case box.Kind == exercises.JudgedBox:
					out[key] = "I would tell the operator first."
				case s.Stop:
					out[key+".stop"] = "stop"
				case s.Order != nil:
					out[key] = strings.Join(s.Order, ", ")
				case box.Kind == exercises.ChoiceBox:
					if wild {
						s.Option = box.Options[a.r.IntN(len(box.Options))].ID
					}
					out[key] = s.Option
				case s.Def.Expr != nil:
					env := s.Env
					for _, b := range s.Env {
						if v, ok := own[b.From]; ok {
							b.V = v
							env = env.With(b)
						}
					}
					v, err := s.Def.Eval(env).Rounded(box.Decimals)
					if err != nil {
						continue
					}
					if wild {
						v = v.Add(formula.Decimal(int64(a.r.IntN(900)+57), box.Decimals))
					}
					own[ans.Box] = v
					text := v.Text(box.Decimals)
					// Whoever makes no mistake does not write a comma that could
					// part thousands either.
					if comma := a.r.IntN(3) == 0; comma && !(a.skill == 1 && box.Decimals == 3) {
						text = strings.Replace(text, ".", ",", 1)
					}
					if box.UnitAsked || a.r.IntN(5) == 0 && box.Unit != "" {
						text += " " + box.Unit
					}
					out[key] = text
				}
			}
		}
	}
	return out
}

// slip chooses a slip of a part, or none.
func (a apprentice) slip(k exercises.PartKey) *exercises.Slip {
	for i := range k.Slips {
		for _, pet := range a.pets {
			if k.Slips[i].ID == pet && a.r.Float64() < 0.8 {
				return &k.Slips[i]
			}
		}
	}
	if len(k.Slips) > 0 && a.r.Float64() > a.skill {
		return &k.Slips[a.r.IntN(len(k.Slips))]
	}
	return nil
}

func answerJSON(t *testing.T, form *exercises.Form, name string, answers map[string]string) []byte {
	t.Helper()
	b, err := json.MarshalIndent(struct { // in the order in which the page saves
		Loopdrill string            `json:"loopdrill"`
		Version   int               `json:"version"`
		Form      string            `json:"form"`
		Course    string            `json:"course"`
		Who       map[string]string `json:"who"`
		Answers   map[string]string `json:"answers"`
	}{"answers", 1, form.Code, form.Course.ID, map[string]string{"name": name, "date": "12 May"}, answers}, "", " ")
	if err != nil {
		t.Fatal(err)
	}
	return append(b, '\n')
}

// writePile writes thirty answer files with mess in them into dir, and gives the
// codes of the forms that can be marked.
func writePile(t *testing.T, dir string) (good map[string]bool) {
	t.Helper()
	forms, foreign := pileForms(t, pileSeed, 30), pileForms(t, "another", 14)[13]
	r := rand.New(rand.NewPCG(8, 30))
	put := func(name string, b []byte) {
		if err := os.WriteFile(filepath.Join(dir, name), b, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	good = map[string]bool{}
	var paper strings.Builder
	paper.WriteString("form,person,box,asked,unit,answer\r\n")
	for i, f := range forms {
		a := apprentice{r: r, skill: 0.75 + 0.24*r.Float64()}
		switch {
		case i%3 == 0:
			a.pets = []string{"sign", "wrong-way", "direction"}
		case i%4 == 1:
			a.pets = []string{"marks-as-divisions", "rest-left-in"}
		case i%7 == 2:
			a.pets = []string{"dead-zero", "span-as-upper", "cell-not-checked"}
		}
		answers := a.works(f)
		name := pileNames[i%len(pileNames)]
		if i >= len(pileNames) {
			name = fmt.Sprintf("Apprentice %d", i+1)
		}
		file := "answers-" + f.Code + ".json"
		b := answerJSON(t, f, name, answers)
		switch i {
		case 4: // half a file
			put(file, b[:len(b)/2])
			continue
		case 7: // another version
			put(file, []byte(strings.Replace(string(b), `"version": 1`, `"version": 3`, 1)))
			continue
		case 9: // twice with different answers
			other := a.works(f)
			put(file, b)
			put("answers-"+f.Code+" (2).json", answerJSON(t, f, name, other))
			continue
		case 11: // a copy
			put(file, b)
			put("copy of "+file, b)
		case 13: // a form of another seed
			put(file, []byte(strings.Replace(string(b), f.Code, foreign.Code, 1)))
			continue
		case 15, 16, 17: // on paper
			for _, row := range paperRows(f) {
				fmt.Fprintf(&paper, "%s,%s,%s,,,\"%s\"\r\n", f.Code, name, row, strings.ReplaceAll(answers[row], `"`, `""`))
			}
			good[f.Code] = true
			continue
		case 18: // on paper, and the table is not whole
			rows := paperRows(f)
			for _, row := range rows[:len(rows)-3] {
				fmt.Fprintf(&paper, "%s,%s,%s,,,\"%s\"\r\n", f.Code, name, row, strings.ReplaceAll(answers[row], `"`, `""`))
			}
			continue
		case 20, 21: // answers that only a person can judge
			n := 0
			for _, row := range paperRows(f) {
				if n++; n%6 == 0 && answers[row] != "" {
					answers[row] = []string{"about 4", "12 or 13", "1.5?", "1,500", "=1+1", "low I think", "7\u200b"}[n/6%7]
				}
			}
			b = answerJSON(t, f, name, answers)
		case 22: // boxes of another exercise
			answers["99.a"], answers["1.zz"] = "7", "8"
			b = answerJSON(t, f, name, answers)
		}
		put(file, b)
		good[f.Code] = true
	}
	put("paper.csv", []byte(paper.String()))
	put("notes.txt", []byte("Two apprentices were ill on Tuesday.\n"))
	put("photo.jpg", []byte("\xff\xd8\xff\xe0\x00\x10JFIF\x00"))
	put("empty.json", nil)
	return good
}
