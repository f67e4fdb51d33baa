package render

import (
	"strconv"

	qr "github.com/piglig/go-qr"
)

// qrQuiet is the empty border round a QR symbol, in modules (ISO/IEC 18004).
const qrQuiet = 4

// appendQR draws a text as a QR symbol: one path, dark on light whatever the
// colours of the page, since readers want it so. A form code fits the smallest
// symbol that bears a quarter of it being damaged. A text that does not fit a
// symbol draws nothing; form codes do.
func appendQR(b []byte, text, label string) []byte {
	symbol, err := qr.EncodeText(text, qr.Quartile)
	if err != nil {
		return b
	}
	n := symbol.Size()
	side := strconv.Itoa(n + 2*qrQuiet)
	b = append(b, "<svg class=\"qr\" role=\"img\" viewBox=\"0 0 "+side+" "+side+"\" aria-label=\""...)
	b = appendAttr(b, label)
	b = append(b, "\"><rect class=\"qr-light\" width=\""+side+"\" height=\""+side+"\"/><path class=\"qr-dark\" d=\""...)
	for y := range n {
		for x := 0; x < n; x++ {
			run := x
			for run < n && symbol.Module(run, y) {
				run++
			}
			if run > x {
				b = append(b, 'M')
				b = strconv.AppendInt(b, int64(x+qrQuiet), 10)
				b = append(b, ' ')
				b = strconv.AppendInt(b, int64(y+qrQuiet), 10)
				b = append(b, 'h')
				b = strconv.AppendInt(b, int64(run-x), 10)
				b = append(b, "v1h-"...)
				b = strconv.AppendInt(b, int64(run-x), 10)
				b = append(b, 'z')
				x = run
			}
		}
	}
	return append(b, "\"/></svg>\n"...)
}
