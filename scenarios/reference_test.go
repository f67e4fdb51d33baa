package scenarios_test

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"loopdrill/scenarios"
	"loopdrill/scenarios/classlist"
	"loopdrill/scenarios/diag"
	"loopdrill/scenarios/loop"
	"loopdrill/scenarios/unit"
)

// TestReferencePage holds README.md against the descriptions that the reader
// reads by; "go test ./scenarios -update" writes it anew.
func TestReferencePage(t *testing.T) {
	want := referencePage(t)
	if *update {
		if err := os.WriteFile("README.md", []byte(want), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	got, err := os.ReadFile("README.md")
	if err != nil {
		t.Fatal(err)
	}
	if string(got) != want {
		t.Error("README.md is stale; run: go test ./scenarios -update")
	}
}

// TestBlockExamples reads every block that the page shows.
func TestBlockExamples(t *testing.T) {
	var b strings.Builder
	b.WriteString("# All blocks\n")
	for _, k := range scenarios.LessonBlocks() {
		b.WriteString("\n" + strings.ReplaceAll(k.Example, "LT-2104", "LT-101") + "\n")
	}
	for _, f := range scenarios.LessonFormulas() {
		b.WriteString("\n```formula " + f.Name + "\n```\n")
	}
	fsys := base(t)
	fsys["lessons/2-needle.md"] = &fstest.MapFile{Data: []byte(b.String())}
	c, ds := scenarios.ReadCourse(fsys, vocabulary())
	if len(ds) > 0 || c == nil {
		t.Fatalf("%+v", ds)
	}
	if n := len(c.Lessons[1].Segments); n != len(scenarios.LessonBlocks())+len(scenarios.LessonFormulas()) {
		t.Errorf("%d segments", n)
	}
}

func referencePage(t *testing.T) string {
	var b strings.Builder
	b.WriteString(strings.ReplaceAll(`<!-- made by "go test ./scenarios -update" from the descriptions that the reader reads by; do not edit -->
# Writing a course

A course is a folder of plain text files, saved as UTF-8:

    course.yaml        what is taught and asked, in which order
    plants/NAME.yaml   the fictional plants, their loops and their checker
    lessons/*.md       the lessons, in Markdown

''loopdrill check FOLDER'' reports every mistake in them, each at its place and with a hint, and ''loopdrill schema'' prints a JSON Schema for completion in an editor. An editor that knows the YAML language server then proposes keys, shows what each means and underlines what is wrong while you type. Save the schema in the course folder,

    loopdrill schema > loopdrill.json

and let the first line of course.yaml say where it is,

    # yaml-language-server: $schema=loopdrill.json

and that of a plant file, one folder deeper, the same with ../ before it:

    # yaml-language-server: $schema=../loopdrill.json

To loopdrill these lines are remarks; it reads course and plants in the same way with or without them, and nothing but course.yaml, plants/*.yaml and lessons/*.md in the folder is read.

## A small course

This is all of a course, as it stands in testdata/ok/base.

`, "''", "`"))
	sound := base(t)
	names := make([]string, 0, len(sound))
	for name := range sound {
		names = append(names, name)
	}
	slices.Sort(names)
	for _, name := range names {
		lang := map[string]string{".yaml": "yaml", ".md": "markdown"}[filepath.Ext(name)]
		fmt.Fprintf(&b, "%s:\n\n````%s\n%s````\n\n", name, lang, sound[name].Data)
	}

	b.WriteString("## Quantities and ranges\n\nA quantity is a plain decimal and a unit, `24 V` or `-7.7 kPa`; a range has two dots between its ends and the unit behind them, `0..25 kPa`. The decimal mark is a point. Capitals matter in units. A percentage of span is written `%span`, so that it is never taken for one of reading.\n\n| quantity | units |\n|---|---|\n")
	var dims []unit.Dimension
	for _, u := range unit.All() {
		if !slices.Contains(dims, u.Dimension) {
			dims = append(dims, u.Dimension)
		}
	}
	for _, d := range dims {
		var units []string
		for _, u := range unit.All() {
			if u.Dimension == d {
				units = append(units, "`"+u.Name()+"`")
			}
		}
		fmt.Fprintf(&b, "| %s | %s |\n", d, strings.Join(units, " "))
	}

	b.WriteString("\n## course.yaml\n\n")
	table(&b, scenarios.CourseFile)
	for _, rec := range []*scenarios.Record{scenarios.LessonKeys, scenarios.ExerciseKeys} {
		fmt.Fprintf(&b, "### %s\n\n", strings.ToUpper(rec.Name[:1])+rec.Name[1:])
		table(&b, rec)
	}
	b.WriteString("Which families there are, and which loops, outputs and faults each takes at which level, stands in exercises/families/README.md and in the schema; a wrong name is answered with those that are known.\n\n## plants/NAME.yaml\n\n")
	table(&b, scenarios.PlantFile)
	for _, rec := range []*scenarios.Record{scenarios.LoopKeys, scenarios.SupplyKeys, scenarios.WiringKeys, scenarios.CableKeys, scenarios.TransmitterKeys, scenarios.ReceiverKeys,
		scenarios.OutputKeys, scenarios.ControllerKeys, scenarios.ConverterKeys, scenarios.PositionerKeys,
		scenarios.FaultKeys, scenarios.StandardKeys,
		scenarios.CheckerKeys, scenarios.CellKeys, scenarios.RegulatorKeys, scenarios.MovementKeys} {
		fmt.Fprintf(&b, "### %s\n\n", strings.ToUpper(rec.Name[:1])+rec.Name[1:])
		table(&b, rec)
	}

	faultTable(&b)
	b.WriteString("## lessons/*.md\n\nA lesson begins with its title, a line `# ...` of at most 200 characters; sections begin with `## ...`. It is CommonMark with tables. HTML is left out of the pages, and links and pictures from outside are refused, because a workbook must work on paper. Between its paragraphs stand blocks of ours, each between two lines of three back quotes at the start of the line:\n\n")
	for _, k := range scenarios.LessonBlocks() {
		fmt.Fprintf(&b, "**%s**: %s.", k.Kind, k.Says)
		if k.Argument != "" {
			fmt.Fprintf(&b, " Its first line ends in %s.", k.Argument)
		}
		fmt.Fprintf(&b, "\n\n````markdown\n%s\n````\n\n", k.Example)
	}
	b.WriteString("### Keys inside blocks\n\n")
	for _, rec := range []*scenarios.Record{scenarios.FaceKeys, scenarios.FormulaKeys, scenarios.PointsKeys, scenarios.PointKeys} {
		fmt.Fprintf(&b, "%s.\n\n", rec.Says)
		keys(&b, rec)
	}
	b.WriteString("### Formulas\n\n| name | what it is |\n|---|---|\n")
	for _, f := range scenarios.LessonFormulas() {
		fmt.Fprintf(&b, "| `%s` | %s |\n", f.Name, f.Says)
	}
	fmt.Fprintf(&b, "\n### Cautions\n\nTheir words stand in cautions.md: %s.\n\n", "`"+strings.Join(scenarios.CautionIDs(), "`, `")+"`")
	classLists(t, &b)
	rules(t, &b)
	return b.String()
}

// faultTable lists the faults with their sizes, as scenarios/loop has them.
func faultTable(b *strings.Builder) {
	b.WriteString("### Faults\n\nA fault's size is drawn within what its block in the plant file gives, or else within all that is possible. Courses name faults under `faults` of an exercise; each family says which it takes.\n\n| fault | what it does | sizes that are possible |\n|---|---|---|\n")
	for _, list := range [][]loop.Fault{loop.Faults(), loop.Pairs()} {
		for _, f := range list {
			var sizes []string
			for i := range f.Sizes {
				sizes = append(sizes, f.Sizes[i].Name+" "+f.Sizes[i].String())
			}
			if len(sizes) == 0 {
				sizes = []string{"none"}
			}
			fmt.Fprintf(b, "| `%s` | %s | %s |\n", f.Name, f.Does, strings.Join(sizes, "; "))
		}
	}
	b.WriteString("\n")
}

// classLists shows a class list in both forms; package classlist has the same
// files as cases.
func classLists(t *testing.T, b *strings.Builder) {
	fmt.Fprintf(b, "## Class lists\n\n%s. It is a file of its own and no part of the course folder.\n\n", classlist.PersonKeys.Says)
	keys(b, classlist.PersonKeys)
	for _, name := range []string{"class.csv", "class.yaml"} {
		text, err := os.ReadFile(filepath.Join("classlist/testdata", name))
		if err != nil {
			t.Fatal(err)
		}
		fmt.Fprintf(b, "%s:\n\n````%s\n%s````\n\n", name, strings.TrimPrefix(filepath.Ext(name), "."), text)
	}
	b.WriteString("| rule | what is wanted |\n|---|---|\n")
	for _, r := range classlist.Rules() {
		fmt.Fprintf(b, "| `%s` | %s |\n", r.ID, r.Says)
	}
	b.WriteString("\n")
}

func table(b *strings.Builder, rec *scenarios.Record) {
	fmt.Fprintf(b, "%s.\n\n", rec.Says)
	keys(b, rec)
}

func keys(b *strings.Builder, rec *scenarios.Record) {
	b.WriteString("| key | what it is | such as | left out |\n|---|---|---|---|\n")
	for _, k := range rec.Keys {
		says := k.Says
		if len(k.Words) > 0 && len(k.Words) <= 12 {
			says += " (" + strings.Join(k.Words, ", ") + ")"
		}
		switch k.Type {
		case scenarios.TypeText:
			says += "; at most 200 characters"
		case scenarios.TypeID:
			says += "; at most 60 characters"
		}
		if k.Low != "" || k.High != "" {
			says += fmt.Sprintf("; %s to %s", k.Low, k.High)
		}
		if len(k.Instead) > 0 {
			says += "; in place of `" + strings.Join(k.Instead, "` and `") + "`"
		}
		if k.Of != nil {
			says += "; keys: see " + k.Of.Name
		}
		out := "must stand"
		for _, other := range rec.Keys {
			if slices.Contains(other.Instead, k.Name) {
				out += ", or else `" + other.Name + "`"
			}
		}
		switch {
		case k.Default != "":
			out = "`" + k.Default + "`"
		case k.Otherwise != "":
			out = k.Otherwise
		case !k.Required:
			out = "all as in its table"
		}
		example := ""
		if k.Of == nil || strings.HasPrefix(k.Example, "[") {
			example = "`" + k.Example + "`"
		}
		fmt.Fprintf(b, "| `%s` | %s | %s | %s |\n", k.Name, says, example, out)
	}
	b.WriteString("\n")
}

// rules writes the table of what is checked, each rule with the shortest
// message that a case of testdata/err has for it.
func rules(t *testing.T, b *strings.Builder) {
	b.WriteString("## What is checked\n\nThe id of a rule stands in brackets behind each message. Where it says warning, the course is built all the same.\n\n| rule | what is wanted | such as |\n|---|---|---|\n")
	shortest := map[string]diag.Diagnostic{}
	for _, c := range cases(t, "testdata/err/*.txt") {
		_, ds := scenarios.ReadCourse(c.fsys, vocabulary())
		for _, d := range ds {
			if have, ok := shortest[d.Rule]; !ok || len(d.Summary) < len(have.Summary) {
				shortest[d.Rule] = d
			}
		}
	}
	for _, r := range scenarios.Rules() {
		fmt.Fprintf(b, "| `%s` | %s | %s |\n", r.ID, r.Says, strings.NewReplacer("|", `\|`, "<", `\<`, "*", `\*`).Replace(shortest[r.ID].Summary))
	}
}
