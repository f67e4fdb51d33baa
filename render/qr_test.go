package render

import (
	"image"
	"image/color"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/qrcode"
)

// TestQRReadsBack draws the path of a symbol as pixels, from the text of the
// SVG alone, and has another library read it.
func TestQRReadsBack(t *testing.T) {
	for _, code := range []string{"22222-22222", "ZZZZZ-ZZZZZ", "7KD2P-X3M9R", "AB2CD-EF3GH"} {
		svg := string(appendQR(nil, code, "QR symbol of the form code "+code))
		if got := readQR(t, svg); got != code {
			t.Errorf("the symbol of %s says %q", code, got)
		}
		if !strings.Contains(svg, `aria-label="QR symbol of the form code `+code+`"`) {
			t.Errorf("%s: no text in its place: %s", code, svg)
		}
	}
}

var (
	viewBox = regexp.MustCompile(`viewBox="0 0 (\d+) (\d+)"`)
	run     = regexp.MustCompile(`M(\d+) (\d+)h(\d+)v1h-(\d+)z`)
)

func readQR(t *testing.T, svg string) string {
	t.Helper()
	const scale = 6
	box := viewBox.FindStringSubmatch(svg)
	if box == nil {
		t.Fatalf("no view box in %s", svg)
	}
	side, _ := strconv.Atoi(box[1])
	img := image.NewGray(image.Rect(0, 0, side*scale, side*scale))
	for i := range img.Pix {
		img.Pix[i] = 255
	}
	for _, m := range run.FindAllStringSubmatch(svg, -1) {
		x, _ := strconv.Atoi(m[1])
		y, _ := strconv.Atoi(m[2])
		n, _ := strconv.Atoi(m[3])
		if m[3] != m[4] {
			t.Errorf("a run of %s modules goes back %s", m[3], m[4])
		}
		for px := x * scale; px < (x+n)*scale; px++ {
			for py := y * scale; py < (y+1)*scale; py++ {
				img.SetGray(px, py, color.Gray{})
			}
		}
	}
	bitmap, err := gozxing.NewBinaryBitmapFromImage(img)
	if err != nil {
		t.Fatal(err)
	}
	result, err := qrcode.NewQRCodeReader().Decode(bitmap, nil)
	if err != nil {
		t.Fatal(err)
	}
	return result.GetText()
}
