package site

import (
	"embed"
	"encoding/base64"
	"encoding/json"
	"io"
	"path"
	"strings"
	"sync"

	"loopdrill/exercises/marking"
	"loopdrill/render"
)

// assets are the files that pages refer to. echarts.min.js is the full build
// of Apache ECharts 5.6.0 as its npm package ships it, with its licence and
// notice.
//
//go:embed assets
var assets embed.FS

// assetNames lists the files of assets in the order of their names.
var assetNames = []string{"echarts-LICENSE.txt", "echarts-NOTICE.txt", "echarts.min.js", "math-LICENSE.txt"}

// Assets lists the shared files of pages, to stand in folder. The style sheet
// and the starter of the charts end with what package render needs for the
// pieces it draws; the script of workbooks begins with its marker.
func Assets(folder string) []File {
	var files []File
	for _, name := range assetNames {
		files = append(files, File{path.Join(folder, name), func(w io.Writer) error {
			b, err := assets.ReadFile("assets/" + name)
			if err != nil {
				return err
			}
			_, err = w.Write(b)
			return err
		}})
	}
	files = append(files,
		File{path.Join(folder, "chart.js"), func(w io.Writer) error {
			_, err := io.WriteString(w, render.ChartJS)
			return err
		}},
		File{path.Join(folder, "workbook.js"), func(w io.Writer) error {
			_, err := io.WriteString(w, WorkbookScript())
			return err
		}},
		File{path.Join(folder, "style.css"), func(w io.Writer) error {
			_, err := io.WriteString(w, Style())
			return err
		}})
	return files
}

// Style is the whole style sheet, with the font of formulas in it: as a file of
// its own some browsers would not load it from a stick.
var Style = sync.OnceValue(func() string {
	return asset("style.css") + "\n" + render.FaceCSS +
		"\n/* A subset of STIX Math under a name of its own; SIL Open Font License 1.1,\n   see math-LICENSE.txt. */\n" +
		"@font-face { font-family: \"Loopdrill Math\"; font-display: block; src: url(data:font/woff2;base64," +
		base64.StdEncoding.EncodeToString([]byte(asset("math.woff2"))) + ") format(\"woff2\") }\n"
})

// inline is what a page of one file carries along. Licences that ask to go
// with their work go with it.
var inline = sync.OnceValue(func() *render.Inline {
	comment := func(names ...string) string {
		var b strings.Builder
		for _, n := range names {
			b.WriteString("/*!\n" + strings.ReplaceAll(asset(n), "*/", "* /") + "*/\n")
		}
		return b.String()
	}
	return &render.Inline{
		Style: comment("math-LICENSE.txt") + Style(),
		Scripts: map[string]string{
			"echarts.min.js": comment("echarts-NOTICE.txt", "echarts-LICENSE.txt") + asset("echarts.min.js"),
			"chart.js":       render.ChartJS,
			"workbook.js":    WorkbookScript(),
		},
	}
})

// WorkbookScript is the script of workbooks: what judges an answer, then what
// keeps and compares them.
func WorkbookScript() string { return MarkingScript() + "\n" + asset("workbook.js") }

// MarkingScript is the marker of the pages, with the tables of units and digits
// that package marking uses. It holds nothing of any exercise.
var MarkingScript = sync.OnceValue(func() string {
	tables, err := json.Marshal(marking.TablesForPages())
	if err != nil {
		panic("site: the tables of the marker cannot be written: " + err.Error()) // texts and numbers only
	}
	return "\"use strict\";\n/* Units and digits, written from the tables of package marking. */\nconst markingTables = " +
		string(tables) + ";\n" + asset("marking.js")
})

func asset(name string) string {
	b, err := assets.ReadFile("assets/" + name)
	if err != nil {
		panic("site: " + name + " is not in the program") // embedded above
	}
	return string(b)
}
