package reports

import (
	"io"
	"math"

	chart "github.com/wcharczuk/go-chart/v2"
)

// rows is the narrow layout: a line per quarter, the share from left to right.
func (c ShareTrend) rows(rp chart.RendererProvider, w io.Writer) error {
	const left, top, row = 70, 50, 30
	right := c.width() - 66
	ticks := steps(0, c.top(), 3, percent)
	end := math.Min(1, ticks[len(ticks)-1].Value)
	x := func(share float64) int { return left + int(math.Round(math.Min(share, end)/end*float64(right-left))) }
	height := top + row*len(c.Quarters) + 8
	return sketch(rp, w, at{c.width(), height}, func(p pen) {
		p.text("Share wet when opened", at{0, 14}, strongText)
		p.textRight("bar = 90 % interval", at{c.width(), 14}, quietText)
		for _, t := range ticks {
			v := math.Min(t.Value, 1)
			p.line(at{x(v), top - 6}, at{x(v), height - 4}, hairline)
			p.textMid(percent(v, 0), at{x(v), top - 12}, quietText)
		}
		for i, q := range c.Quarters {
			quarterRow(p, q, at{c.width(), top + row*i + row/2}, x)
		}
	})
}

// quarterRow draws one quarter on the line at the height of end, which lies at
// the right edge.
func quarterRow(p pen, q Quarter, end at, x func(float64) int) {
	base := end.y + 5
	p.text(q.name(), at{0, base}, countText)
	if q.few() {
		p.text(q.says(), at{x(0) + 6, base}, quietText)
		return
	}
	b := chart.Box{Left: x(q.Low), Right: x(q.High), Top: end.y - 8, Bottom: end.y + 8}
	p.tip(q.name()+": "+q.says(), func() { p.box(b, waterColor.WithAlpha(72), stroke{color: noColor}) })
	p.r.Circle(4.5, x(q.share()), end.y)
	p.fill(waterColor)
	p.textRight(q.count(), at{end.x, base}, countText)
}
