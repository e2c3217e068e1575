package store

import (
	"context"
	"strconv"
	"strings"

	"drylag/models"
)

// These read indexes only: openings_trend for what is counted and
// openings_version for whether it is current.
const (
	wetByQuarter = `SELECT quarter, COUNT(*) AS opened, COUNT(*) FILTER (WHERE wet) AS wet FROM openings_now
		WHERE building_id = ? AND answered GROUP BY quarter ORDER BY quarter`
	gradesByYear = `SELECT substr(quarter, 1, 4) AS year, ri, COUNT(*) AS n FROM openings_now
		WHERE building_id = ? AND bared GROUP BY substr(quarter, 1, 4), ri ORDER BY 1`
)

// WetByQuarter counts, for each quarter with an opening that answered wet or
// dry, how many there were and how many were wet, oldest first. Openings are
// counted in the building where they were made. Share is left to the caller.
func (r Reader) WetByQuarter(ctx context.Context, building models.ID) ([]models.WetQuarter, error) {
	var rows []struct {
		Quarter     string
		Opened, Wet int
	}
	err := r.on(ctx).Raw(wetByQuarter, building).Scan(&rows).Error
	out := make([]models.WetQuarter, len(rows))
	for i, row := range rows {
		out[i] = models.WetQuarter{Quarter: row.Quarter, Opened: row.Opened, Wet: row.Wet}
	}
	return out, storeError("opening", err)
}

// GradesByYear counts the openings of each year by the rust grade found,
// oldest first.
func (r Reader) GradesByYear(ctx context.Context, building models.ID) ([]models.GradeYear, error) {
	var rows []struct {
		Year string
		Ri   *int
		N    int
	}
	err := r.on(ctx).Raw(gradesByYear, building).Scan(&rows).Error
	if err != nil {
		return nil, storeError("opening", err)
	}
	var out []models.GradeYear
	for _, row := range rows {
		year, err := strconv.Atoi(row.Year)
		if err != nil {
			return nil, storeError("opening", err)
		}
		if len(out) == 0 || out[len(out)-1].Year != year {
			out = append(out, models.GradeYear{Year: year})
		}
		if last := &out[len(out)-1]; row.Ri == nil {
			last.NotGraded += row.N
		} else {
			last.Ri[*row.Ri] += row.N
		}
	}
	return out, nil
}

// PlaceCounts counts how often each place of the seal was looked at in
// openings and how often it was found broken, in the order of the work, all
// penetrations together.
func (r Reader) PlaceCounts(ctx context.Context, building models.ID) ([]models.PlaceCount, error) {
	var rows []struct {
		Place        models.Place
		Seen, Broken int
	}
	err := r.on(ctx).Raw(`SELECT p.place, COUNT(*) AS seen,
			COUNT(*) FILTER (WHERE p.as_found IN ('lifting', 'open', 'missing')) AS broken
		FROM openings_now o JOIN opening_places p ON p.opening_id = o.id
		WHERE o.building_id = ? AND p.as_found NOT IN ('', 'na') GROUP BY p.place`, building).Scan(&rows).Error
	if err != nil {
		return nil, storeError("opening", err)
	}
	counts := map[string]*models.PlaceCount{}
	for _, row := range rows {
		name := placeGroup(row.Place)
		if counts[name] == nil {
			counts[name] = &models.PlaceCount{Place: name}
		}
		counts[name].Seen += row.Seen
		counts[name].Broken += row.Broken
	}
	var out []models.PlaceCount
	for _, p := range []models.Place{models.LongSeam, models.NearEnd, models.FarEnd, models.Penetration(1), models.EdgesCorners, models.FacingPlace} {
		if c := counts[placeGroup(p)]; c != nil {
			out = append(out, *c)
		}
	}
	return out, nil
}

func placeGroup(p models.Place) string {
	if strings.HasPrefix(string(p), "penetration_") {
		return "penetration"
	}
	return p.Say()
}

// live are the covers that count: on a component, or meant to be.
const live = "c.state IN ('in_place', 'off')"

// numbersOf is what Numbers selects, all of it in the index covers_numbers.
const numbersOf = `c.building_id, COUNT(*) AS covers,
		COUNT(*) FILTER (WHERE c.state = 'off') AS off,
		COUNT(*) FILTER (WHERE c.condition = 'never_seen') AS never_seen,
		COUNT(*) FILTER (WHERE c.overdue) AS overdue,
		COUNT(*) FILTER (WHERE c.due_on <> '' AND c.due_on <= ?) AS due,
		SUM(CASE WHEN c.due_on <> '' AND c.due_on <= ? THEN COALESCE(c.minutes, 0) ELSE 0.0 END) AS minutes`

// Numbers counts the covers of each building in scope, by name. dueBy is
// the end of the round span. Of Clear, covers and handling hours are filled;
// tape and money are the caller's.
func (r Reader) Numbers(ctx context.Context, scope *[]models.ID, dueBy models.Date) ([]models.BuildingNumbers, error) {
	buildings, err := r.Buildings(ctx, scope)
	if err != nil {
		return nil, err
	}
	var rows []struct {
		BuildingID                                    models.ID
		Covers, Off, WetOpen, NeverSeen, Overdue, Due int
		Minutes                                       float64
	}
	q := r.on(ctx).Table("covers c").Select(numbersOf, dueBy, dueBy).Where(live).Group("c.building_id")
	if err := inScope(q, "c.building_id", scope).Scan(&rows).Error; err != nil {
		return nil, storeError("cover", err)
	}
	wet, err := r.wetOpen(ctx, scope)
	if err != nil {
		return nil, err
	}
	at := map[models.ID]models.BuildingNumbers{}
	for _, n := range rows {
		at[n.BuildingID] = models.BuildingNumbers{Covers: n.Covers, Off: n.Off, NeverSeen: n.NeverSeen, Overdue: n.Overdue,
			Due: n.Due, WetOpen: wet[n.BuildingID], Clear: models.Clearance{Covers: n.Due, Hours: n.Minutes / 60}}
	}
	return convert(buildings, func(b models.Building) models.BuildingNumbers {
		n := at[b.ID]
		n.Building = b
		return n
	}), nil
}

// wetOpen counts, by building, the covers found wet whose follow-up to dry
// them is still open.
func (r Reader) wetOpen(ctx context.Context, scope *[]models.ID) (map[models.ID]int, error) {
	var rows []struct {
		BuildingID models.ID
		N          int
	}
	q := r.on(ctx).Table("follow_ups f").Select("c.building_id, COUNT(DISTINCT c.id) AS n").
		Joins("JOIN covers c ON c.id = f.cover_id").
		Where("f.closed_at IS NULL AND f.kind = 'dry' AND c.last_wet AND " + live).Group("c.building_id")
	err := inScope(q, "c.building_id", scope).Scan(&rows).Error
	out := map[models.ID]int{}
	for _, row := range rows {
		out[row.BuildingID] = row.N
	}
	return out, storeError("cover", err)
}

// RoomRows gives a building's rooms in walking order with the counts of their
// covers and what their air is known from.
func (r Reader) RoomRows(ctx context.Context, building models.ID, dueBy models.Date) ([]models.RoomRow, error) {
	b, err := r.Building(ctx, building)
	if err != nil {
		return nil, err
	}
	rooms, err := r.Rooms(ctx, building)
	if err != nil {
		return nil, err
	}
	var rows []struct {
		RoomID                      models.ID
		Covers, Off, Due, NeverSeen int
	}
	err = r.on(ctx).Table("covers c").Select(`c.room_id, COUNT(*) AS covers, COUNT(*) FILTER (WHERE c.state = 'off') AS off,
		COUNT(*) FILTER (WHERE c.due_on <> '' AND c.due_on <= ?) AS due, COUNT(*) FILTER (WHERE c.condition = 'never_seen') AS never_seen`, dueBy).
		Where("c.building_id = ? AND "+live, building).Group("c.room_id").Scan(&rows).Error
	if err != nil {
		return nil, storeError("room", err)
	}
	sources, err := r.airSources(ctx, building)
	if err != nil {
		return nil, err
	}
	at := map[models.ID]models.RoomRow{}
	for _, n := range rows {
		at[n.RoomID] = models.RoomRow{Covers: n.Covers, Off: n.Off, Due: n.Due, NeverSeen: n.NeverSeen}
	}
	return convert(rooms, func(room models.Room) models.RoomRow {
		row := at[room.ID]
		row.Room, row.BuildingName, row.AirSource = room, b.Name, sources[room.ID]
		if row.AirSource == "" {
			row.AirSource = sources[models.None]
		}
		return row
	}), nil
}

// airSources names, by room, the newest logger; under None the newest weather.
func (r Reader) airSources(ctx context.Context, building models.ID) (map[models.ID]string, error) {
	climates, err := r.Climates(ctx, building, models.None)
	if err != nil {
		return nil, err
	}
	out := map[models.ID]string{}
	for _, c := range climates { // newest first
		if out[c.Room] == "" {
			out[c.Room] = c.Name
		}
	}
	return out, nil
}
