package ranging

import (
	"loopdrill/exercises"
	"loopdrill/scenarios"
)

// drawPipe adds the sketch of a flow loop: pipe, plate, transmitter and receiver,
// and the sign of a root where it is taken.
func drawPipe(w *exercises.Draft, root scenarios.Root) {
	const (
		top, bottom = 40, 110
		plate       = 300
		cellY       = 200
		boxX        = 580
	)
	heavy := func(points ...[2]int) exercises.Shape { return exercises.Shape{Points: points, Heavy: true} }
	box := heavy([2]int{boxX, cellY - 34}, [2]int{boxX + 90, cellY - 34}, [2]int{boxX + 90, cellY + 34}, [2]int{boxX, cellY + 34})
	box.Closed = true
	s := &exercises.Drawing{Width: 800, Height: 280, Shapes: []exercises.Shape{
		heavy([2]int{60, top}, [2]int{540, top}),
		heavy([2]int{60, bottom}, [2]int{540, bottom}),
		heavy([2]int{plate, top}, [2]int{plate, top + 22}),
		heavy([2]int{plate, bottom - 22}, [2]int{plate, bottom}),
		{Points: [][2]int{{90, (top + bottom) / 2}, {220, (top + bottom) / 2}}, Arrow: true},
		{Points: [][2]int{{plate - 80, bottom}, {plate - 80, cellY}, {plate - radius, cellY}}},
		{Points: [][2]int{{plate + 80, bottom}, {plate + 80, cellY}, {plate + radius, cellY}}},
		{Points: [][2]int{{plate, cellY}}, Radius: radius, Heavy: true},
		{Points: [][2]int{{plate, cellY + radius}, {plate, cellY + 60}, {boxX + 45, cellY + 60}, {boxX + 45, cellY + 36}}, Dashed: true, Arrow: true},
		box,
	}, Labels: []exercises.Label{
		{At: [2]int{plate, cellY + 9}, Text: "FT", Anchor: exercises.AnchorMiddle},
		{At: [2]int{boxX + 45, cellY + 11}, Text: "FI", Anchor: exercises.AnchorMiddle},
		{At: [2]int{plate - 50, cellY - 10}, Text: "H", Anchor: exercises.AnchorMiddle},
		{At: [2]int{plate + 50, cellY - 10}, Text: "L", Anchor: exercises.AnchorMiddle},
		{At: [2]int{(plate + 80 + boxX) / 2, cellY + 48}, Text: "4–20\u00a0mA", Anchor: exercises.AnchorMiddle},
	}}
	sign, words := exercises.Label{At: [2]int{boxX + 112, cellY + 11}, Text: "√"}, "words.pipe-receiver"
	if root == scenarios.RootTransmitter {
		sign, words = exercises.Label{At: [2]int{plate - 44, cellY + 46}, Text: "√", Anchor: exercises.AnchorEnd}, "words.pipe-transmitter"
	}
	s.Labels, s.Words = append(s.Labels, sign), w.Text(words).Plain()
	w.Item.Sheet.Figures = append(w.Item.Sheet.Figures, exercises.Figure{ID: "pipe", Caption: w.Text("sketch.pipe"), Drawing: s})
}
