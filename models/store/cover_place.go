package store

import (
	"context"
	"fmt"
	"strings"

	"drylag/models"
)

// coverPlace are the copies on a cover's row of where it is, by which lists
// are ordered, narrowed and searched.
type coverPlace struct {
	BuildingID models.ID
	RoomID     models.ID
	LoopID     models.ID `gorm:"serializer:null"`
	Walk       string
	TagOrder   string
	TagKey     string
	LabelKey   string
	FindText   string
}

// unitSeparator stands between the parts of a key; it sorts before every printed character,
// so that a shorter name stands before a longer one that begins with it.
const unitSeparator = "\x1f"

func placeOf(s models.CoverSheet) coverPlace {
	c, room, b := s.Component, s.Room, s.Building
	return coverPlace{
		BuildingID: b.ID, RoomID: room.ID, LoopID: c.Loop,
		Walk: strings.Join([]string{natural(b.Name), number(room.Order), natural(room.Name),
			number(c.Order), natural(c.Tag)}, unitSeparator),
		TagOrder: natural(c.Tag),
		TagKey:   lower(c.Tag),
		LabelKey: lower(s.Cover.Label),
		FindText: lower(strings.Join([]string{c.Tag, s.Cover.Label, c.Where, room.Name, b.Name}, "\n")),
	}
}

// number writes an order so that text sorts as the numbers do.
func number(n int) string { return fmt.Sprintf("%019d", int64(n)+1<<62) }

// natural is a name as it sorts: in lower case, its whole numbers padded, so
// that V-2 stands before V-12.
func natural(s string) string {
	var out strings.Builder
	digits := ""
	flush := func() {
		if digits != "" {
			fmt.Fprintf(&out, "%012s", strings.TrimLeft(digits, "0"))
			digits = ""
		}
	}
	for _, r := range lower(s) {
		if '0' <= r && r <= '9' {
			digits += string(r)
			continue
		}
		flush()
		out.WriteRune(r)
	}
	flush()
	return out.String()
}

func lower(s string) string { return strings.ToLower(strings.TrimSpace(s)) }

// copyPlaces renews the copies of the covers that match where, a fixed
// condition on c (covers), after a name, an order or a room has changed.
func (t *Tx) copyPlaces(ctx context.Context, where string, arg models.ID) error {
	var covers []struct{ ID, Component models.ID }
	err := t.on(ctx).Raw("SELECT c.id, c.component_id AS component FROM covers c WHERE "+where, arg).Scan(&covers).Error
	if err != nil {
		return storeError("cover", err)
	}
	for start := 0; start < len(covers); start += chunk {
		part := covers[start:min(start+chunk, len(covers))]
		ids := make([]models.ID, len(part))
		for i, c := range part {
			ids[i] = c.ID
		}
		sheets, err := t.Sheets(ctx, ids)
		if err != nil {
			return err
		}
		for _, s := range sheets {
			place := placeOf(s)
			err := t.on(ctx).Table("covers").Where("id = ?", s.Cover.ID).Select("*").Updates(&place).Error
			if err != nil {
				return storeError("cover", err)
			}
		}
	}
	return nil
}
