package ui

import (
	"fmt"
	"strings"

	"rsc.io/qr"
)

// QRDrawing is a QR code as one path of squares, each one unit wide.
type QRDrawing struct {
	Size int // squares on a side
	Path string
}

// NewQR draws a text as a QR code.
func NewQR(text string) (QRDrawing, error) {
	code, err := qr.Encode(text, qr.M)
	if err != nil {
		return QRDrawing{}, fmt.Errorf("draw a code of %d characters: %w", len(text), err)
	}
	var path strings.Builder
	for y := range code.Size {
		for x := range code.Size {
			if code.Black(x, y) {
				fmt.Fprintf(&path, "M%d %dh1v1h-1z", x, y)
			}
		}
	}
	return QRDrawing{Size: code.Size, Path: path.String()}, nil
}

// quiet is the empty border of a code, in squares.
// ISO/IEC 18004 (2015), section 6.3.8: four modules on every side.
const quiet = 4

func (q QRDrawing) viewBox() string {
	return fmt.Sprintf("%d %d %d %d", -quiet, -quiet, q.Size+2*quiet, q.Size+2*quiet)
}

func (q QRDrawing) ground() string {
	side := q.Size + 2*quiet
	return fmt.Sprintf("M%d %dh%dv%dh%dz", -quiet, -quiet, side, side, -side)
}
