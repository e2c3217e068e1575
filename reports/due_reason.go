package reports

import "fmt"

// Reason is why a cover is to be opened, or looked after. Each has its word
// and its shape; none is told by color.
type Reason int

// In order of haste: where marks fall together the first of them is shown.
const (
	PutBack   Reason = iota + 1 // the cover is off
	Reported                    // someone reported it
	Must                        // a limit says so
	FirstLook                   // its metal was never seen
	Worth                       // worth opening by what was learned
)

var reasonWords = map[Reason]string{
	PutBack: "put back", Reported: "reported", Must: "must", FirstLook: "first look", Worth: "worth opening",
}

// String returns the word shown for the reason.
func (r Reason) String() string {
	if word, ok := reasonWords[r]; ok {
		return word
	}
	return fmt.Sprintf("reason %d", int(r))
}

func (r Reason) check() error {
	if _, ok := reasonWords[r]; !ok {
		return fmt.Errorf("no such reason: %d", int(r))
	}
	return nil
}

// mark draws the shape of a reason around each place, 13 px across.
func (p pen) mark(r Reason, places ...at) {
	if len(places) == 0 {
		return
	}
	for _, a := range places {
		p.outline(r, a)
	}
	switch r {
	case PutBack:
		p.stroke(stroke{color: actionColor, width: 2.5})
	case FirstLook:
		p.both(paperColor, stroke{color: actionColor, width: 2})
	default:
		p.fill(actionColor)
	}
}

// outline lays the path of a shape.
func (p pen) outline(r Reason, a at) {
	switch r {
	case PutBack: // an open box
		p.r.MoveTo(a.x-6, a.y-6)
		p.r.LineTo(a.x-6, a.y+5)
		p.r.LineTo(a.x+6, a.y+5)
		p.r.LineTo(a.x+6, a.y-6)
	case Reported: // a triangle, as a sign of warning
		p.shape(at{a.x, a.y - 7}, at{a.x + 7, a.y + 5}, at{a.x - 7, a.y + 5})
	case Must: // a full box
		p.shape(at{a.x - 6, a.y - 6}, at{a.x + 6, a.y - 6}, at{a.x + 6, a.y + 6}, at{a.x - 6, a.y + 6})
	case FirstLook: // hollow, as in the cut section: never seen
		p.r.Circle(5.5, a.x, a.y)
	case Worth:
		p.r.Circle(6, a.x, a.y)
	}
}
