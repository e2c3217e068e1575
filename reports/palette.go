package reports

import (
	"github.com/wcharczuk/go-chart/v2/drawing"
)

// The palette. In SVG each color is only a name: its class takes the value of
// the page's variable of the same name. The values below are what PNG shows on
// white paper.
var (
	inkColor    = drawing.Color{R: 0x1c, G: 0x1f, B: 0x26, A: 255} // text and marks
	paperColor  = drawing.Color{R: 0xff, G: 0xff, B: 0xff, A: 255} // the ground
	lineColor   = drawing.Color{R: 0xc6, G: 0xc2, B: 0xb9, A: 255} // axes and rules
	waterColor  = drawing.Color{R: 0x4b, G: 0x3f, B: 0xa8, A: 255} // moisture
	metalColor  = drawing.Color{R: 0x96, G: 0x58, B: 0x12, A: 255} // metal and rust
	sealColor   = drawing.Color{R: 0x4d, G: 0x5c, B: 0x6c, A: 255} // the vapor seal
	actionColor = drawing.Color{R: 0x0d, G: 0x2c, B: 0x54, A: 255} // what must be done
	softColor   = drawing.Color{R: 0xf1, G: 0xee, B: 0xe8, A: 255} // quiet areas

	noColor    = drawing.ColorTransparent
	mutedColor = inkColor.WithAlpha(184) // second-rank text, still over 4.5:1 on paper
)

// token returns the CSS name of a palette color whatever its opacity, or ""
// for a color that is not of the palette.
func token(c drawing.Color) string {
	switch c.WithAlpha(255) {
	case inkColor:
		return "ink"
	case paperColor:
		return "paper"
	case lineColor:
		return "line"
	case waterColor:
		return "water"
	case metalColor:
		return "metal"
	case sealColor:
		return "seal"
	case actionColor:
		return "action"
	case softColor:
		return "soft"
	}
	return ""
}
