package reports

import (
	"fmt"
	"io"
	"math"

	chart "github.com/wcharczuk/go-chart/v2"
)

// ShareTrend shows quarter by quarter which share of the covers opened was
// wet, each with its interval and its count. A quarter with fewer than
// FewOpenings says so instead.
type ShareTrend struct {
	Frame
	Quarters []Quarter // in order of time, at most 40, none left out
}

// FewOpenings is the count from which a share is shown as a share.
const FewOpenings = 5

const maxQuarters = 40

// Quarter is the openings of one quarter of a year.
type Quarter struct {
	Year, Number int     // Number 1 to 4
	Wet, Opened  int     // covers found wet, covers opened
	Low, High    float64 // interval of the share, 0 to 1; unused when none were opened
}

func (q Quarter) few() bool      { return q.Opened < FewOpenings }
func (q Quarter) share() float64 { return float64(q.Wet) / float64(q.Opened) }
func (q Quarter) count() string  { return fmt.Sprintf("%d of %d", q.Wet, q.Opened) }
func (q Quarter) name() string   { return fmt.Sprintf("%d Q%d", q.Year, q.Number) }

// says is the quarter in words.
func (q Quarter) says() string {
	switch {
	case q.Opened == 0:
		return "none opened"
	case q.few():
		return fmt.Sprintf("too few to tell (n = %d)", q.Opened)
	}
	return fmt.Sprintf("%s wet, %.0f to %.0f %%", q.count(), q.Low*100, q.High*100)
}

func (c ShareTrend) check() error {
	if err := c.Frame.check(); err != nil {
		return err
	}
	if len(c.Quarters) > maxQuarters {
		return fmt.Errorf("share trend: %d quarters, at most %d can be read", len(c.Quarters), maxQuarters)
	}
	for _, q := range c.Quarters {
		if err := q.check(); err != nil {
			return err
		}
	}
	return nil
}

func (q Quarter) check() error {
	what := "share trend: " + q.name()
	if q.Number < 1 || q.Number > 4 || q.Wet < 0 || q.Wet > q.Opened {
		return fmt.Errorf("%s: %d wet of %d opened cannot be", what, q.Wet, q.Opened)
	}
	if q.Opened == 0 {
		return nil
	}
	if err := finite(what, q.Low, q.High); err != nil {
		return err
	}
	if s := q.share(); q.Low < 0 || q.High > 1 || q.Low > s+1e-9 || q.High < s-1e-9 {
		return fmt.Errorf("%s: share %.3f is outside its interval %.3f to %.3f", what, s, q.Low, q.High)
	}
	return nil
}

// top is the end of the share axis: the highest interval that is worth
// showing in full. A quarter with too few is cut there.
func (c ShareTrend) top() float64 {
	high := 0.1
	for _, q := range c.Quarters {
		if !q.few() {
			high = math.Max(high, q.High)
		}
	}
	return high
}

func (c ShareTrend) draw(rp chart.RendererProvider, w io.Writer) error {
	if len(c.Quarters) == 0 {
		return empty(rp, w, c.width(), "No openings yet in this period.")
	}
	if c.narrow() {
		return c.rows(rp, w)
	}
	n := len(c.Quarters)
	ticks := []chart.Tick{{Value: -0.6}}
	for i, q := range c.Quarters {
		ticks = append(ticks, chart.Tick{Value: float64(i), Label: fmt.Sprintf("Q%d", q.Number)})
	}
	shares := steps(0, c.top(), 4, percent)
	shares[len(shares)-1].Value = math.Min(shares[len(shares)-1].Value, 1)
	g := graph{
		size: at{c.width(), 300},
		pad:  chart.Box{Left: 2, Top: 34, Right: 16, Bottom: 44},
		x:    append(ticks, chart.Tick{Value: float64(n) - 0.4}),
		y:    shares,
	}
	g.layers = append(g.layers, layer(c.intervals))
	g.layers = append(g.layers, c.joins()...)
	g.layers = append(g.layers, layer(c.dots), layer(c.under))
	return g.chart().Render(rp, w)
}

// joins are lines between quarters that follow each other and can both be told.
func (c ShareTrend) joins() (lines []chart.Series) {
	for i := 1; i < len(c.Quarters); i++ {
		a, b := c.Quarters[i-1], c.Quarters[i]
		if a.few() || b.few() {
			continue
		}
		lines = append(lines, lineOf([]float64{float64(i - 1), float64(i)}, []float64{a.share(), b.share()},
			stroke{color: waterColor.WithAlpha(120), width: 1.5}))
	}
	return lines
}

func (c ShareTrend) intervals(p pen, s scale) {
	p.text("Share wet when opened", at{0, 14}, strongText)
	p.textRight("bar = 90 % interval", at{c.width(), 14}, quietText)
	half := min(11, (s.x.Translate(1)-s.x.Translate(0))*3/10)
	for i, q := range c.Quarters {
		if q.few() {
			continue
		}
		low := s.at(float64(i), q.Low)
		high := s.at(float64(i), math.Min(q.High, s.y.GetMax()))
		b := chart.Box{Left: low.x - half, Right: low.x + half, Top: high.y, Bottom: low.y}
		p.tip(q.name()+": "+q.says(), func() { p.box(b, waterColor.WithAlpha(72), stroke{color: noColor}) })
	}
}

func (c ShareTrend) dots(p pen, s scale) {
	for i, q := range c.Quarters {
		if q.few() {
			continue
		}
		a := s.at(float64(i), q.share())
		p.r.Circle(4.5, a.x, a.y)
		p.fill(waterColor)
	}
}

// under writes counts and years below the axis, as far as there is room.
func (c ShareTrend) under(p pen, s scale) {
	room := s.x.Translate(1) - s.x.Translate(0)
	for i, q := range c.Quarters {
		a := s.at(float64(i), 0)
		text := q.count()
		if q.few() {
			text = fmt.Sprintf("n = %d", q.Opened)
			q.tooFew(p, a, room)
		}
		if wide(text, countText) < room {
			p.textMid(text, at{a.x, s.box.Bottom + 36}, countText)
		}
		if i == 0 || q.Number == 1 {
			p.textMid(fmt.Sprint(q.Year), at{a.x, s.box.Bottom + 54}, quietText)
		}
	}
}

// tooFew says in two lines over the axis why there is no bar.
func (q Quarter) tooFew(p pen, a at, room int) {
	over, under := "too few", "to tell"
	if q.Opened == 0 {
		over, under = "none", "opened"
	}
	if wide(over, quietText) < room && wide(under, quietText) < room {
		p.textMid(over, at{a.x, a.y - 22}, quietText)
		p.textMid(under, at{a.x, a.y - 8}, quietText)
	}
}

// empty is a chart without anything to show.
func empty(rp chart.RendererProvider, w io.Writer, width int, says string) error {
	return sketch(rp, w, at{width, 72}, func(p pen) {
		p.line(at{0, 71}, at{width, 71}, hairline)
		p.text(fitted(says, plainText, width), at{0, 40}, letters{size: bodySize, color: mutedColor})
	})
}
