package render

import (
	"strconv"

	"loopdrill/exercises"
)

// FaceWords says where the needle stands, in marks alone.
func FaceWords(f exercises.Face) string {
	return "needle at small mark " + strconv.Itoa(f.Needle.Code)
}
