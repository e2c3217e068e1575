package register

import (
	"context"
	"slices"
	"strings"

	"drylag/models"
)

// DueFilter narrows the due chart. Empty fields do not narrow.
type DueFilter struct {
	Building models.ID
	Room     models.ID
	Months   int // 0: 12
}

// DueRoom is one room of the due chart.
type DueRoom struct {
	Room   models.RoomRow
	Sweat  [12]bool          // January first: months in which the metal of one of its covers sweats
	Covers []models.CoverRow // due within the months, or overdue, earliest first
}

// Due lists what is due within the months asked for or overdue, by room in
// walking order.
func (r *Register) Due(ctx context.Context, a models.Actor, f DueFilter) ([]DueRoom, error) {
	if err := a.May(models.ActRead); err != nil {
		return nil, err
	}
	if err := r.seesFilter(ctx, a, f.Building, f.Room, models.None); err != nil {
		return nil, err
	}
	if f.Months <= 0 {
		f.Months = 12
	}
	today, err := r.todayOf(ctx, a)
	if err != nil {
		return nil, err
	}
	until := today.AddYears(float64(f.Months) / 12)
	var rooms []DueRoom
	filter := models.CoverFilter{Building: f.Building, Room: f.Room, DueBy: until, Scope: scopeOf(a), Sort: "walk"}
	err = r.store.EachCover(ctx, filter, func(rows []models.CoverRow) error {
		for _, row := range rows {
			rooms = addDue(rooms, row)
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	return rooms, r.nameRooms(ctx, a, rooms)
}

// addDue puts one cover, coming in walking order, into its room.
func addDue(rooms []DueRoom, row models.CoverRow) []DueRoom {
	if row.State != models.InPlace && row.State != models.Off {
		return rooms
	}
	if len(rooms) == 0 || rooms[len(rooms)-1].Room.ID != row.Room {
		rooms = append(rooms, DueRoom{Room: models.RoomRow{Room: models.Room{ID: row.Room, Building: row.Building}}})
	}
	room := &rooms[len(rooms)-1]
	for m, sweats := range row.Sweat {
		room.Sweat[m] = room.Sweat[m] || sweats
	}
	room.Covers = append(room.Covers, row)
	return rooms
}

// nameRooms fills in the rooms' own rows and sorts their covers.
func (r *Register) nameRooms(ctx context.Context, a models.Actor, rooms []DueRoom) error {
	at := map[models.ID]models.RoomRow{}
	for i := range rooms {
		room := &rooms[i]
		if _, ok := at[room.Room.ID]; !ok {
			rows, err := r.Rooms(ctx, a, room.Room.Building)
			if err != nil {
				return err
			}
			for _, row := range rows {
				at[row.ID] = row
			}
		}
		room.Room = at[room.Room.ID]
		slices.SortStableFunc(room.Covers, func(x, y models.CoverRow) int { return strings.Compare(string(x.DueOn), string(y.DueOn)) })
	}
	return nil
}

// firstFew is how many lines of each list the first page shows.
const firstFew = 5

// recentDays is what the first page calls recent.
const recentDays = 30

// Morning is the first page's contents: what is off, reported, overdue, due.
func (r *Register) Morning(ctx context.Context, a models.Actor) (m models.Morning, err error) {
	if err := a.May(models.ActRead); err != nil {
		return m, err
	}
	today, err := r.todayOf(ctx, a)
	if err != nil {
		return m, err
	}
	end, err := r.roundEnd(ctx, a)
	if err != nil {
		return m, err
	}
	if m, err = r.store.MorningCounts(ctx, scopeOf(a), end, today.AddDays(-recentDays)); err != nil {
		return m, err
	}
	m.Today = today
	if m.Off, err = r.few(ctx, a, models.CoverFilter{State: string(models.Off), Sort: "risk"}, anyRow); err != nil {
		return m, err
	}
	if m.LookNow, err = r.few(ctx, a, models.CoverFilter{Action: string(models.LookNow), Sort: "due"}, anyRow); err != nil {
		return m, err
	}
	overdue := models.CoverFilter{Action: string(models.OpenNow), DueBy: today, Sort: "due"}
	if m.Overdue, err = r.few(ctx, a, overdue, func(row models.CoverRow) bool { return row.Overdue }); err != nil {
		return m, err
	}
	m.FollowUps, err = r.store.FollowUps(ctx, openFollowUps(a, firstFew))
	return m, err
}

func anyRow(models.CoverRow) bool { return true }

// few gives the first few covers of a list that are in place or off and wanted.
func (r *Register) few(ctx context.Context, a models.Actor, f models.CoverFilter, want func(models.CoverRow) bool) ([]models.CoverRow, error) {
	f.Scope, f.Limit = scopeOf(a), 100
	var out []models.CoverRow
	err := r.store.EachCover(ctx, f, func(rows []models.CoverRow) error {
		for _, row := range rows {
			if (row.State == models.InPlace || row.State == models.Off) && want(row) {
				out = append(out, row)
			}
			if len(out) == firstFew {
				return errEnough
			}
		}
		return nil
	})
	if err == errEnough {
		err = nil
	}
	return out, err
}

var errEnough = models.Errorf(models.Internal, "enough")
