package site

import (
	"embed"
	"io"
	"path"

	"loopdrill/render"
)

// assets are the files that pages refer to. echarts.min.js is the full build
// of Apache ECharts 5.6.0 as its npm package ships it, with its licence and
// notice.
//
//go:embed assets
var assets embed.FS

// assetNames lists the files of assets in the order of their names.
var assetNames = []string{"echarts-LICENSE.txt", "echarts-NOTICE.txt", "echarts.min.js", "workbook.js"}

// Assets lists the shared files of pages, to stand in folder. The style sheet
// and the starter of the charts end with what package render needs for the
// pieces it draws.
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
		File{path.Join(folder, "style.css"), func(w io.Writer) error {
			_, err := io.WriteString(w, Style())
			return err
		}})
	return files
}

// Style is the whole style sheet.
func Style() string {
	b, err := assets.ReadFile("assets/style.css")
	if err != nil {
		panic("site: style.css is not in the program") // embedded above
	}
	return string(b) + "\n" + render.FaceCSS
}
