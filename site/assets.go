package site

import (
	"embed"
	"encoding/json"
	"io"
	"path"
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
var assetNames = []string{"echarts-LICENSE.txt", "echarts-NOTICE.txt", "echarts.min.js"}

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

// Style is the whole style sheet.
func Style() string { return asset("style.css") + "\n" + render.FaceCSS }

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
