package exercises

// Drawing is a line drawing as data: a vessel with its legs, a manifold, a
// sketch of a loop. Places are in tenths of a millimetre on paper, from the
// top left corner. It is drawn in the ink of the page with lines of one of two
// weights; meaning is never by colour.
type Drawing struct {
	Width, Height int // tenths of a millimetre, at most 1700 wide
	Shapes        []Shape
	Labels        []Label
	// Words is the drawing told in words for those who cannot see it: what is
	// there and with which figures, and nothing that the drawing does not say.
	Words string
}

// Shape is a polyline, or with Round a circle.
type Shape struct {
	Points [][2]int // of a circle: its middle
	Radius int      // of a circle; 0: a polyline
	Closed bool     // the polyline goes back to its first point
	Fill   bool     // filled with the light tint that stands for liquid
	Heavy  bool     // the heavier of the two lines
	Dashed bool
	Arrow  bool // an arrow head at the last point
}

// Label is a text in a drawing.
type Label struct {
	At     [2]int
	Text   string
	Anchor Anchor
}

// Anchor says which point of a label's text stands at its place.
type Anchor string

// The anchors.
const (
	AnchorStart  Anchor = "start"
	AnchorMiddle Anchor = "middle"
	AnchorEnd    Anchor = "end"
)
