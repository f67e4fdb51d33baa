package loopdrill_test

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// The arrows: which of our folders each folder may import, besides itself.
//
//	scenarios <- exercises <- generator
//	             exercises <- render <- site
//	cmd -> all
var arrows = map[string][]string{
	"scenarios": {},
	"exercises": {"scenarios"},
	"generator": {"scenarios", "exercises"},
	"render":    {"scenarios", "exercises"},
	"site":      {"scenarios", "exercises", "render"},
	"cmd":       {"scenarios", "exercises", "generator", "render", "site"},
}

// leaves are packages below scenarios that everybody downstream may import and
// that import of ours only what is listed.
var leaves = map[string][]string{
	"scenarios/formula": {},
	"scenarios/prose":   {},
	"scenarios/diag":    {},
	"scenarios/unit":    {"scenarios/formula", "scenarios/diag"},
}

// modules says where each module from outside may be imported by the program
// itself: in these folders and the folders below them. A module that is not
// here may be imported nowhere.
var modules = map[string][]string{
	"github.com/yuin/goldmark":              {"scenarios", "render"},
	"gopkg.in/yaml.v3":                      {"scenarios"},
	"github.com/go-echarts/go-echarts":      {"render"},
	"github.com/piglig/go-qr":               {"render"},
	"gonum.org/v1/gonum/stat":               {"exercises/classfigures"},
	"github.com/spf13/pflag":                {"cmd"},
	"github.com/fsnotify/fsnotify":          {"cmd"},
	"github.com/rogpeppe/go-internal":       {}, // tests only, as all below
	"github.com/chromedp/chromedp":          {},
	"github.com/chromedp/cdproto":           {},
	"github.com/santhosh-tekuri/jsonschema": {},
	"pgregory.net/rapid":                    {},
	"github.com/makiuchi-d/gozxing":         {},
}

// testModules are the modules that a test in any folder may import.
var testModules = []string{
	"github.com/rogpeppe/go-internal", "github.com/chromedp/chromedp", "github.com/chromedp/cdproto",
	"github.com/santhosh-tekuri/jsonschema", "pgregory.net/rapid", "github.com/makiuchi-d/gozxing",
}

// pure are the folders without file, network or clock access of their own.
var pure = []string{"scenarios", "exercises", "generator", "render"}

// impure are the packages of the standard library that would give such access,
// or output that changes from run to run. "time" is among them although it
// also holds time.Duration: nothing in these folders lasts.
var impure = []string{
	"os", "net", "time", "syscall", "unsafe", "C", "plugin", "log", "io/ioutil",
	"path/filepath", // walks the disk; path and io/fs do for slash paths
	"crypto/rand",   // randomness comes from the seed alone
}

// htmlPackages are seen from render downstream only.
var htmlPackages = []string{"html", "golang.org/x/net/html"}

// breaches reads the imports of one file and lists what is against the arrows.
// name is its path from the module root, with slashes.
//
// A test file is held to the arrows between our own folders as the program is,
// but may use the whole standard library but math/rand of old, and the modules
// of testModules. Tests of cmd may import everything, as cmd may.
func breaches(name string, source []byte) ([]string, error) {
	fset := token.NewFileSet()
	file, err := parser.ParseFile(fset, name, source, parser.SkipObjectResolution)
	if err != nil {
		return nil, err
	}
	dir := path.Dir(name)
	top, _, _ := strings.Cut(dir, "/")
	test := strings.HasSuffix(name, "_test.go")
	var out []string
	report := func(at token.Pos, format string, args ...any) {
		out = append(out, fmt.Sprintf("%s: %s", fset.Position(at), fmt.Sprintf(format, args...)))
	}

	if _, known := arrows[top]; !known && !(dir == "." && test) {
		report(file.Package, "folder %q is not in the design", top)
		return out, nil
	}
	for _, vague := range []string{"util", "utils", "common", "helpers", "models"} {
		if path.Base(dir) == vague || file.Name.Name == vague {
			report(file.Package, "a package called %s says nothing", vague)
		}
	}

	for _, spec := range file.Imports {
		imp, err := strconv.Unquote(spec.Path.Value)
		if err != nil {
			return nil, err
		}
		first, _, _ := strings.Cut(imp, "/")
		switch {
		case first == "loopdrill":
			ours := strings.TrimPrefix(strings.TrimPrefix(imp, "loopdrill"), "/")
			if why := arrowBreach(dir, ours); why != "" {
				report(spec.Pos(), "%s", why)
			}
		case strings.Contains(first, "."):
			if why := moduleBreach(dir, imp, test); why != "" {
				report(spec.Pos(), "%s", why)
			}
		default:
			if why := standardBreach(top, imp, test); why != "" {
				report(spec.Pos(), "%s", why)
			}
		}
	}
	if slices.Contains(pure, top) && !test {
		hiddenAccess(file, report)
	}
	return out, nil
}

// arrowBreach judges an import of our package ours (its path below the module
// root) by a file in dir.
func arrowBreach(dir, ours string) string {
	top, _, _ := strings.Cut(dir, "/")
	target, _, _ := strings.Cut(ours, "/")
	if allowed, leaf := leaves[dir]; leaf {
		if !slices.Contains(allowed, ours) && ours != dir { // ours == dir: its own external test
			return fmt.Sprintf("the leaf %s imports %s", dir, ours)
		}
		return ""
	}
	if target != top && !slices.Contains(arrows[top], target) {
		return fmt.Sprintf("%s imports %s, against the arrows", dir, ours)
	}
	return ""
}

// moduleBreach judges the import of a package from outside.
func moduleBreach(dir, imp string, test bool) string {
	for _, module := range testModules {
		if under(imp, module) {
			if !test {
				return fmt.Sprintf("%s imports %s, which is for tests only", dir, imp)
			}
			return ""
		}
	}
	for module, folders := range modules {
		if !under(imp, module) {
			continue
		}
		for _, folder := range folders {
			if _, leaf := leaves[dir]; leaf && dir != "scenarios/prose" {
				continue
			}
			if dir == "scenarios/prose" && module != "github.com/yuin/goldmark" {
				continue
			}
			if under(dir, folder) {
				return ""
			}
		}
		return fmt.Sprintf("%s imports %s, whose place is %s", dir, imp, strings.Join(folders, ", "))
	}
	return fmt.Sprintf("%s imports %s, a module that the design does not have", dir, imp)
}

// standardBreach judges the import of a package of the standard library.
func standardBreach(top, imp string, test bool) string {
	if imp == "math/rand" {
		return "math/rand is the old generator; math/rand/v2 is ours"
	}
	if test {
		return ""
	}
	if slices.Contains(pure, top) && slices.ContainsFunc(impure, func(p string) bool { return under(imp, p) }) {
		return fmt.Sprintf("%s imports %s; files, network and clock come in as arguments", top, imp)
	}
	if top == "site" && (under(imp, "net") || imp == "os/exec") {
		return fmt.Sprintf("site imports %s; it only writes a folder", imp)
	}
	if top != "render" && top != "site" && top != "cmd" && slices.ContainsFunc(htmlPackages, func(p string) bool { return under(imp, p) }) {
		return fmt.Sprintf("%s imports %s; HTML begins in render", top, imp)
	}
	return ""
}

// hiddenAccess finds what needs no forbidden import: printing to the
// terminal, and the generator that all of a process shares.
func hiddenAccess(file *ast.File, report func(token.Pos, string, ...any)) {
	local := map[string]string{} // name in the file -> path, for the two packages looked at
	for _, spec := range file.Imports {
		imp, _ := strconv.Unquote(spec.Path.Value)
		name := map[string]string{"fmt": "fmt", "math/rand/v2": "rand"}[imp]
		if name == "" {
			continue
		}
		if spec.Name != nil {
			name = spec.Name.Name
		}
		if name == "." {
			report(spec.Pos(), "%s is imported without a name, which hides what is called", imp)
		}
		local[name] = imp
	}
	own := []string{"Rand", "New", "Source", "ChaCha8", "NewChaCha8", "PCG", "NewPCG", "Zipf", "NewZipf"}
	ast.Inspect(file, func(n ast.Node) bool {
		sel, ok := n.(*ast.SelectorExpr)
		if !ok {
			return true
		}
		pkg, ok := sel.X.(*ast.Ident)
		if !ok {
			return true
		}
		switch name := sel.Sel.Name; local[pkg.Name] {
		case "fmt":
			if strings.HasPrefix(name, "Print") || strings.HasPrefix(name, "Scan") {
				report(sel.Pos(), "fmt.%s uses the terminal; take an io.Writer", name)
			}
		case "math/rand/v2":
			if !slices.Contains(own, name) {
				report(sel.Pos(), "rand.%s draws from the generator that the process shares", name)
			}
		}
		return true
	})
}

// under reports whether p is the path prefix or lies below it.
func under(p, prefix string) bool { return p == prefix || strings.HasPrefix(p, prefix+"/") }

// goFiles lists every Go file of the module, also those that build constraints
// leave out; testdata and folders that begin with a dot or underscore are not
// part of it.
func goFiles(t *testing.T) []string {
	t.Helper()
	var files []string
	err := fs.WalkDir(os.DirFS("."), ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		base := path.Base(name)
		if d.IsDir() {
			if name != "." && (base == "testdata" || base == "vendor" || base[0] == '.' || base[0] == '_') {
				return fs.SkipDir
			}
			return nil
		}
		if strings.HasSuffix(base, ".go") {
			files = append(files, name)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return files
}

func TestArrows(t *testing.T) {
	seen := map[string]int{}
	for _, name := range goFiles(t) {
		source, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		found, err := breaches(name, source)
		if err != nil {
			t.Fatal(err)
		}
		for _, b := range found {
			t.Error(b)
		}
		top, _, _ := strings.Cut(name, "/")
		seen[top]++
	}
	// A walk that finds nothing holds nothing.
	for top := range arrows {
		if seen[top] == 0 {
			t.Errorf("no Go file was read below %s", top)
		}
	}
}

// TestArrowsCanFail runs made-up files through the check that TestArrows uses.
func TestArrowsCanFail(t *testing.T) {
	for _, row := range []struct {
		name   string
		file   string
		body   string // what follows the package clause, or the whole file
		breach string // part of the one breach expected; empty: none
	}{
		{"exercises may see scenarios", "exercises/scale/scale.go", `import _ "loopdrill/scenarios/signal"`, ""},
		{"render may skip a level", "render/page.go", `import _ "loopdrill/scenarios"`, ""},
		{"cmd sees all", "cmd/loopdrill/build.go", `import ("os"; "time"; _ "loopdrill/generator"; _ "loopdrill/site"; _ "github.com/spf13/pflag")`, ""},
		{"scenarios against exercises", "scenarios/read.go", `import _ "loopdrill/exercises"`, "against the arrows"},
		{"exercises against generator", "exercises/item.go", `import _ "loopdrill/generator"`, "against the arrows"},
		{"render against generator", "render/page.go", `import _ "loopdrill/generator/form"`, "against the arrows"},
		{"generator against render", "generator/form.go", `import _ "loopdrill/render"`, "against the arrows"},
		{"generator against site", "generator/form.go", `import _ "loopdrill/site"`, "against the arrows"},
		{"site against generator", "site/site.go", `import _ "loopdrill/generator"`, "against the arrows"},
		{"site against cmd", "site/site.go", `import _ "loopdrill/cmd/loopdrill"`, "against the arrows"},
		{"a test is held too", "render/page_test.go", `import _ "loopdrill/generator"`, "against the arrows"},
		{"a name does not hide it", "render/page.go", `import scenarios "loopdrill/generator"`, "against the arrows"},
		{"a build constraint does not hide it", "render/page.go", "//go:build ignore\n\npackage render\nimport _ \"loopdrill/generator\"", "against the arrows"},
		{"formula is a leaf", "scenarios/formula/expr.go", `import _ "loopdrill/scenarios/unit"`, "the leaf"},
		{"prose is a leaf", "scenarios/prose/prose.go", `import _ "loopdrill/scenarios/formula"`, "the leaf"},
		{"unit may see formula", "scenarios/unit/unit.go", `import _ "loopdrill/scenarios/formula"`, ""},
		{"unit sees nothing else", "scenarios/unit/unit.go", `import _ "loopdrill/scenarios/signal"`, "the leaf"},
		{"scenarios opens files", "scenarios/read.go", `import "os"`, "come in as arguments"},
		{"scenarios walks the disk", "scenarios/read.go", `import "path/filepath"`, "come in as arguments"},
		{"io/fs is the way", "scenarios/read.go", `import "io/fs"`, ""},
		{"exercises runs programs", "exercises/item.go", `import "os/exec"`, "come in as arguments"},
		{"generator asks the network", "generator/form.go", `import "net/http"`, "come in as arguments"},
		{"render knows the time", "render/page.go", `import "time"`, "come in as arguments"},
		{"generator rolls its own dice", "generator/form.go", `import "crypto/rand"`, "come in as arguments"},
		{"generator derives", "generator/form.go", `import ("crypto/hkdf"; "math/rand/v2"); var _ = rand.NewChaCha8`, ""},
		{"generator uses shared dice", "generator/form.go", `import "math/rand/v2"; var _ = rand.IntN`, "the process shares"},
		{"shared dice under another name", "generator/form.go", `import dice "math/rand/v2"; var _ = dice.Shuffle`, "the process shares"},
		{"old dice", "cmd/loopdrill/build.go", `import "math/rand"`, "old generator"},
		{"old dice in a test", "exercises/item_test.go", `import "math/rand"`, "old generator"},
		{"a test reads its data", "exercises/item_test.go", `import ("os"; "time")`, ""},
		{"render prints", "render/page.go", `import "fmt"; func f() { fmt.Println() }`, "uses the terminal"},
		{"render writes to a writer", "render/page.go", `import "fmt"; func f() { fmt.Fprintln(nil) }`, ""},
		{"site writes files", "site/site.go", `import "os"`, ""},
		{"site serves", "site/site.go", `import "net/http"`, "only writes a folder"},
		{"generator writes HTML", "generator/form.go", `import "html/template"`, "begins in render"},
		{"render writes HTML", "render/page.go", `import "html/template"`, ""},
		{"yaml in its place", "scenarios/read.go", `import "gopkg.in/yaml.v3"`, ""},
		{"yaml in render", "render/page.go", `import "gopkg.in/yaml.v3"`, "whose place is"},
		{"yaml in a leaf", "scenarios/formula/expr.go", `import "gopkg.in/yaml.v3"`, "whose place is"},
		{"goldmark in prose", "scenarios/prose/prose.go", `import "github.com/yuin/goldmark/ast"`, ""},
		{"statistics in their place", "exercises/classfigures/counts.go", `import "gonum.org/v1/gonum/stat/distuv"`, ""},
		{"statistics in marking", "exercises/marking/judge.go", `import "gonum.org/v1/gonum/stat"`, "whose place is"},
		{"goldmark in exercises", "exercises/item.go", `import "github.com/yuin/goldmark"`, "whose place is"},
		{"charts in their place", "render/chart.go", `import "github.com/go-echarts/go-echarts/v2/charts"`, ""},
		{"charts in generator", "generator/form.go", `import "github.com/go-echarts/go-echarts/v2/charts"`, "whose place is"},
		{"flags below cmd", "site/site.go", `import "github.com/spf13/pflag"`, "whose place is"},
		{"browser in a test", "cmd/loopdrill/browser_test.go", `import "github.com/chromedp/chromedp"`, ""},
		{"browser in the program", "cmd/loopdrill/build.go", `import "github.com/chromedp/chromedp"`, "for tests only"},
		{"a module nobody chose", "render/page.go", `import "github.com/example/charts"`, "does not have"},
		{"a module nobody chose, in a test", "render/page_test.go", `import "github.com/example/charts"`, "does not have"},
		{"a neighbour of a chosen module", "scenarios/read.go", `import "gopkg.in/yaml.v3x"`, "does not have"},
		{"a folder nobody chose", "tools/gen.go", "", "not in the design"},
		{"the root holds tests only", "main.go", "", "not in the design"},
		{"a name that says nothing", "exercises/util/round.go", "", "says nothing"},
	} {
		t.Run(row.name, func(t *testing.T) {
			source := row.body
			if !strings.Contains(source, "package ") {
				source = "package " + strings.Trim(path.Base(path.Dir("x/"+row.file)), ".") + "\n" + source
			}
			found, err := breaches(row.file, []byte(source))
			if err != nil {
				t.Fatal(err)
			}
			switch {
			case row.breach == "" && len(found) > 0:
				t.Errorf("nothing is wrong here, but: %s", found)
			case row.breach != "" && (len(found) != 1 || !strings.Contains(found[0], row.breach)):
				t.Errorf("want one breach with %q, got %q", row.breach, found)
			}
		})
	}
}
