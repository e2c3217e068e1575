package register

import (
	"context"
	"hash/fnv"
	"io"
	"strings"

	"drylag/models"
	"drylag/models/store"
)

// places are the buildings in the actor's scope with what stands in them, as
// far as a file has asked for them.
type places struct {
	loaded bool
	byName map[string]*place
	all    []*place
	keys   int              // covers held by all of them
	lines  map[uint64]int32 // covers and labels that rows of this file have taken, by hash -> line
}

// place is one building with its rooms, loops and covers by name.
type place struct {
	models.Building
	rooms  map[string]models.Room
	loops  map[string]models.Loop
	covers map[models.ID]map[string][]store.CoverKey // by room, by tag; rooms that were asked for only
	whole  bool                                      // every room's covers are held
}

// keysHeld is how many covers' keys are held at most between two lots of rows,
// so that a file of any length takes little memory.
const keysHeld = 20000

func newPlaces() *places { return &places{byName: map[string]*place{}, lines: map[uint64]int32{}} }

// taken tells on which earlier line of the file something was named, 0 for none,
// and notes this one.
func (ps *places) taken(sort, name string, line int) int {
	h := fnv.New64a()
	io.WriteString(h, sort+"\x00"+name)
	if before, ok := ps.lines[h.Sum64()]; ok {
		return int(before)
	}
	ps.lines[h.Sum64()] = int32(line)
	return 0
}

// forget lets go of covers' keys when there are too many. Call it only while
// every cover that was named is stored.
func (ps *places) forget() {
	if ps.keys < keysHeld {
		return
	}
	ps.keys = 0
	for _, p := range ps.all {
		p.covers, p.whole = map[models.ID]map[string][]store.CoverKey{}, false
	}
}

func nameKey(s string) string { return strings.ToLower(strings.Join(strings.Fields(s), " ")) }

// building finds the building of a row; a new one is begun where make is set.
// It is nil where there is none, which is noted.
func (t *tableImport) building(ctx context.Context, x *row, make bool) (*place, error) {
	if err := t.loadBuildings(ctx); err != nil {
		return nil, err
	}
	if !x.given("building") {
		for _, p := range t.places.all {
			if p.ID == t.req.Building {
				return p, nil
			}
		}
		x.fault("building", "is empty; give the building's name")
		return nil, nil
	}
	if p := t.places.byName[nameKey(x.cell("building"))]; p != nil {
		return p, nil
	}
	if !make || !t.a.All || t.a.May(models.ActBuildings) != nil {
		x.fault("building", "is none of your buildings; write its name as drylag has it")
		return nil, nil
	}
	return t.makeBuilding(x), nil
}

func (t *tableImport) loadBuildings(ctx context.Context) error {
	if t.places.loaded {
		return nil
	}
	t.places.loaded = true
	list, err := t.tx.Buildings(ctx, scopeOf(t.a))
	for _, b := range list {
		p := &place{Building: b}
		t.places.byName[nameKey(b.Name)] = p
		t.places.all = append(t.places.all, p)
	}
	return err
}

// makeBuilding begins a building that a file names for the first time. It is
// stored with the first of its covers that is taken.
func (t *tableImport) makeBuilding(x *row) *place {
	b := models.Building{ID: t.r.newID(), Name: x.cell("building"), TimeZone: t.req.TimeZone, Currency: t.req.Currency}
	if t.req.TimeZone == "" {
		x.fault("building", "is a new building; say with the import in which time zone it is, as America/New_York")
		return nil
	}
	if err := b.Validate(); err != nil {
		x.fault("building", "cannot be added: %s", err)
		return nil
	}
	p := &place{Building: b, rooms: map[string]models.Room{}, loops: map[string]models.Loop{}, covers: map[models.ID]map[string][]store.CoverKey{}}
	t.places.byName[nameKey(b.Name)] = p
	t.places.all = append(t.places.all, p)
	return p
}

// load reads what stands in a building, once.
func (t *tableImport) load(ctx context.Context, p *place) error {
	if p.rooms != nil {
		return nil
	}
	rooms, err := t.tx.Rooms(ctx, p.ID)
	if err != nil {
		return err
	}
	loops, err := t.tx.Loops(ctx, p.ID)
	if err != nil {
		return err
	}
	p.rooms, p.loops, p.covers = map[string]models.Room{}, map[string]models.Loop{}, map[models.ID]map[string][]store.CoverKey{}
	for _, rm := range rooms {
		p.rooms[nameKey(rm.Name)] = rm
	}
	for _, l := range loops {
		p.loops[nameKey(l.Name)] = l
	}
	return nil
}

// loadCovers reads the keys of a room's covers, or of the whole building's, once.
func (t *tableImport) loadCovers(ctx context.Context, p *place, room models.ID) error {
	if p.whole || (room != models.None && p.covers[room] != nil) {
		return nil
	}
	keys, err := t.tx.CoverKeys(ctx, p.ID, room)
	if err != nil {
		return err
	}
	if p.whole = room == models.None; p.whole {
		p.covers = map[models.ID]map[string][]store.CoverKey{}
	} else {
		p.covers[room] = map[string][]store.CoverKey{}
	}
	for _, k := range keys {
		t.places.add(p, k)
	}
	return nil
}

func (ps *places) add(p *place, k store.CoverKey) {
	if p.covers[k.Room] == nil {
		p.covers[k.Room] = map[string][]store.CoverKey{}
	}
	p.covers[k.Room][k.Tag] = append(p.covers[k.Room][k.Tag], k)
	ps.keys++
}

// room finds the room of a row, or begins a new one.
func (t *tableImport) room(x *row, p *place) models.Room {
	name := x.cell("room")
	if rm, ok := p.rooms[nameKey(name)]; ok {
		return rm
	}
	rm := models.Room{ID: t.r.newID(), Building: p.ID, Name: name, Order: len(p.rooms) + 1}
	x.word("room_kind", models.RoomKinds, &rm.Kind)
	x.quantity("room_temp", tempKind, "degC", &rm.TempC)
	if x.invalid(rm.Validate()); len(x.faults) == 0 {
		p.rooms[nameKey(name)] = rm
	}
	return rm
}

// loop finds the loop of a row, or begins a new one; none where the row names none.
func (t *tableImport) loop(x *row, p *place) models.Loop {
	if !x.given("loop") {
		return models.Loop{}
	}
	name := x.cell("loop")
	if l, ok := p.loops[nameKey(name)]; ok {
		return l
	}
	l := models.Loop{ID: t.r.newID(), Building: p.ID, Name: name, Kind: "chilled"}
	x.quantity("loop_supply", tempKind, "degC", &l.SupplyC)
	x.quantity("loop_return", tempKind, "degC", &l.ReturnC)
	if x.invalid(l.Validate()); len(x.faults) == 0 {
		p.loops[nameKey(name)] = l
	}
	return l
}

// savePlaces stores the building, room and loop of a row that is taken, where
// they are new.
func (t *tableImport) savePlaces(ctx context.Context, p *place, s *models.CoverSheet) (err error) {
	if p.Version == 0 {
		if p.Building, err = t.tx.PutBuilding(ctx, p.Building); err != nil {
			return err
		}
		if err := t.made(ctx, "building", p.Name, p.ID, p, p.Building); err != nil {
			return err
		}
	}
	s.Building = p.Building
	if s.Room = p.rooms[nameKey(s.Room.Name)]; s.Room.Version == 0 {
		if s.Room, err = t.tx.PutRoom(ctx, s.Room); err != nil {
			return err
		}
		p.rooms[nameKey(s.Room.Name)] = s.Room
		if err := t.made(ctx, "room", s.Room.Name, s.Room.ID, p, s.Room); err != nil {
			return err
		}
	}
	if s.Loop.ID == models.None {
		return nil
	}
	if l := p.loops[nameKey(s.Loop.Name)]; l.ID == s.Loop.ID && l.Version == 0 {
		if s.Loop, err = t.tx.PutLoop(ctx, l); err != nil {
			return err
		}
		p.loops[nameKey(s.Loop.Name)] = s.Loop
		return t.made(ctx, "loop", s.Loop.Name, s.Loop.ID, p, s.Loop)
	}
	return nil
}

// made reports and logs what the import has added beside covers.
func (t *tableImport) made(ctx context.Context, noun, name string, id models.ID, p *place, detail any) error {
	said := noun + " " + name
	if noun != "building" {
		said += " in " + p.Name
	}
	t.report.Made = append(t.report.Made, said)
	return t.tx.AppendEvent(ctx, t.r.event(t.a, noun+" added", noun, id, p.ID, detail))
}
