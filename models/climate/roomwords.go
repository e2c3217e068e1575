package climate

import "fmt"

var tempWords = map[TempFrom]string{
	TempLogger: "from the logger", TempEntered: "as entered", TempAssumed: "assumed",
}

// words says in one line what the year rests on.
func (r *roomWork) words(building *Hourly) string {
	name := joinWords(building.Name, building.Source)
	if r.Logged == 0 {
		return fmt.Sprintf("no room logger: %s%s, room temperature %s", name, r.offsetWords(), tempWords[r.TempFrom])
	}
	text := fmt.Sprintf("room logger %d h, interpolated %d h", r.Logged, r.Interpolated)
	if r.Estimated > 0 {
		text += fmt.Sprintf(", other %d h: %s%s, room temperature %s", r.Estimated, name, r.offsetWords(), tempWords[r.TempFrom])
	}
	return text
}

func (r *roomWork) offsetWords() string {
	logged, hand := 0, 0
	for _, o := range r.Offsets {
		switch o.From {
		case OffsetLogger:
			logged++
		case OffsetHand:
			hand++
		}
	}
	switch {
	case logged > 0 && hand > 0:
		return fmt.Sprintf(" shifted by the logger in %d months and by hand readings in %d", logged, hand)
	case logged > 0:
		return fmt.Sprintf(" shifted by the logger in %d months", logged)
	case hand > 0:
		return " shifted by hand readings"
	}
	return ""
}
