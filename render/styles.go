package render

import _ "embed" // style and script travel inside the program

//go:embed face.css
var faceCSS string

//go:embed math.css
var mathCSS string

//go:embed chart.css
var chartCSS string

//go:embed drawing.css
var drawingCSS string

//go:embed report.css
var reportCSS string

// FaceCSS is the style of everything that this package draws: meter faces,
// formulas, charts, grids and line drawings. It takes its colours from the custom properties
// --ink, --paper, --accent, --faint and --liquid of the page and has its own values
// where the page sets none.
var FaceCSS = faceCSS + mathCSS + chartCSS + drawingCSS + reportCSS

// ChartJS is the script that hands the charts of a page to the chart library.
// It belongs at the end of the body, after the library.
//
//go:embed chart.js
var ChartJS string
