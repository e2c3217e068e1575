package store

import (
	"testing"
	"time"

	"drylag/models"

	"github.com/stretchr/testify/require"
)

// fullSheet is a cover with an answer to every question.
func fullSheet() models.CoverSheet {
	return models.CoverSheet{
		Cover: models.Cover{ID: "cx", Component: "px", Label: "K-99", State: models.Off, Insulation: "fibrous", ThicknessMM: ptr(50.0),
			Conductivity: ptr(0.036), Facing: "foil", PermeancePerm: ptr(0.02), Closure: "tape_sealant", Penetrations: ptr(2), SeamClock: ptr(6.0),
			SightPort: true, Inhibitor: "gel", Pattern: "P-1", Fitted: "2020-05-01", Since: "2020-05-02", CoatedOn: "2019-01-01",
			CoatQuality: "high", Note: "note", OffSince: "2026-11-01"},
		Component: models.Component{ID: "px", Room: "r1", Loop: "l1", Tag: "V-99", Kind: "gate_valve", NPS: ptr(6.0), Material: "cast_iron",
			Connection: "flanged", Side: "supply", ServiceC: ptr(6.5), PressureBar: ptr(10.0), NominalWallMM: ptr(7.1), Schedule: "40",
			Class: 2, Where: "above the pump", Height: ptr(2.5), Access: "ladder", People: 2, Permit: "hot work", Flow: "seasonal", Order: 4,
			Below: "electrical", Spare: "none", Without: "floor", Pools: true, Note: "part note"},
		Room:     models.Room{ID: "r1", Building: "b1", Name: "Plant room 1", Kind: "open", Version: 1},
		Loop:     models.Loop{ID: "l1", Building: "b1", Name: "CHW north", Kind: "chilled", Version: 1},
		Building: models.Building{ID: "b1", Name: "Harbor House", TimeZone: "America/New_York", Currency: "$", Version: 1},
	}
}

func TestSheetComesBackAsItWasStored(t *testing.T) {
	st, ctx := filled(t, 0), t.Context()
	want := fullSheet()
	var saved models.CoverSheet
	write(t, st, func(tx *Tx) (err error) { saved, err = tx.PutSheet(ctx, want); return err })
	want.Cover.Version = 1
	require.Equal(t, want, saved)
	for _, label := range []string{"K-99", "k-99"} {
		got, err := st.SheetByLabel(ctx, label)
		require.NoError(t, err)
		require.Equal(t, want, got)
	}
	byTag, err := st.SheetsByTag(ctx, "b1", " v-99")
	require.NoError(t, err)
	require.Equal(t, []models.CoverSheet{want}, byTag)
	in, err := st.ComponentBuilding(ctx, "px")
	require.NoError(t, err)
	require.Equal(t, models.ID("b1"), in)

	want.Cover = models.Cover{ID: "cx", Component: "px", State: models.InPlace, Version: 1} // every answer taken back
	want.Component = models.Component{ID: "px", Room: "r1", Tag: "V-99"}
	write(t, st, func(tx *Tx) (err error) { saved, err = tx.PutSheet(ctx, want); return err })
	want.Cover.Version, want.Loop = 2, models.Loop{}
	require.Equal(t, want, saved)
	for _, label := range []string{"", "K-99"} {
		_, err = st.SheetByLabel(ctx, label)
		requireKind(t, models.Missing, err)
	}
}

func TestBuildingRoomLoopComeBackAsStored(t *testing.T) {
	st, ctx := create(t), t.Context()
	b := models.Building{ID: "b1", Name: "Harbor House", TimeZone: "UTC", Currency: "€", YearBuilt: ptr(1968), AsbestosRegister: "office",
		AltitudeM: ptr(12.0), LaborRate: ptr(80.0), TapePrice: ptr(1.5), COP: ptr(5.5), Tariff: ptr(0.2), TonHourCost: ptr(0.15),
		LimitYears: ptr(8.0), FirstLookYears: ptr(2.0), Note: "n"}
	room := models.Room{ID: "r1", Building: "b1", Name: "Room", Kind: "steam", TempC: ptr(28.0), Order: 3, Note: "n"}
	loop := models.Loop{ID: "l1", Building: "b1", Name: "Loop", Kind: "dual", SupplyC: ptr(6.0), ReturnC: ptr(12.0), HotC: ptr(45.0),
		Hot: models.Season{From: "10-15", To: "04-14"}, Stopped: models.Season{From: "05-01", To: "05-10"}}
	write(t, st, func(tx *Tx) (err error) {
		if b, err = tx.PutBuilding(ctx, b); err != nil {
			return err
		}
		if room, err = tx.PutRoom(ctx, room); err != nil {
			return err
		}
		loop, err = tx.PutLoop(ctx, loop)
		return err
	})
	require.Equal(t, []int{1, 1, 1}, []int{b.Version, room.Version, loop.Version})
	buildings, err := st.Buildings(ctx, nil)
	require.NoError(t, err)
	require.Equal(t, []models.Building{b}, buildings)
	rooms, err := st.Rooms(ctx, "b1")
	require.NoError(t, err)
	require.Equal(t, []models.Room{room}, rooms)
	loops, err := st.Loops(ctx, "b1")
	require.NoError(t, err)
	require.Equal(t, []models.Loop{loop}, loops)
}

func TestVersionsOfMutableRows(t *testing.T) {
	ctx := t.Context()
	building := models.Building{ID: "b1", Name: "Harbor House", TimeZone: "UTC"}
	room := models.Room{ID: "r1", Building: "b1", Name: "Plant room 1"}
	loop := models.Loop{ID: "l1", Building: "b1", Name: "CHW north", Kind: "chilled"}
	for name, put := range map[string]func(tx *Tx, id models.ID, version int) error{
		"building": func(tx *Tx, id models.ID, version int) error {
			b := building
			b.ID, b.Version = id, version
			_, err := tx.PutBuilding(ctx, b)
			return err
		},
		"room": func(tx *Tx, id models.ID, version int) error {
			r := room
			r.ID, r.Version = id, version
			_, err := tx.PutRoom(ctx, r)
			return err
		},
		"loop": func(tx *Tx, id models.ID, version int) error {
			l := loop
			l.ID, l.Version = id, version
			_, err := tx.PutLoop(ctx, l)
			return err
		},
		"cover": func(tx *Tx, id models.ID, version int) error {
			s := sheetOf(1)
			if s.Cover.ID, s.Cover.Version = "c"+id[1:], version; id == "none" {
				s.Cover.ID = id
			}
			_, err := tx.PutSheet(ctx, s)
			return err
		},
	} {
		t.Run(name, func(t *testing.T) {
			st := filled(t, 1)
			id := map[string]models.ID{"building": "b1", "room": "r1", "loop": "l1", "cover": "c1"}[name]
			try := func(id models.ID, version int) error {
				return st.Write(ctx, func(tx *Tx) error { return put(tx, id, version) })
			}
			requireKind(t, models.Conflict, try(id, 0))
			requireKind(t, models.Stale, try(id, 2))
			requireKind(t, models.Missing, try("none", 1))
			require.NoError(t, try(id, 1))
			requireKind(t, models.Stale, try(id, 1))
			require.NoError(t, try(id, 2))
		})
	}
}

func TestNamesAreOnlyOnce(t *testing.T) {
	st, ctx := filled(t, 1), t.Context()
	for name, fn := range map[string]func(*Tx) error{
		"building": func(tx *Tx) error {
			_, err := tx.PutBuilding(ctx, models.Building{ID: "x", Name: "HARBOR house"})
			return err
		},
		"room": func(tx *Tx) error {
			_, err := tx.PutRoom(ctx, models.Room{ID: "x", Building: "b1", Name: "plant ROOM 1"})
			return err
		},
		"loop": func(tx *Tx) error {
			_, err := tx.PutLoop(ctx, models.Loop{ID: "x", Building: "b1", Name: "chw NORTH"})
			return err
		},
		"label": func(tx *Tx) error {
			s := sheetOf(2)
			s.Cover.Label = " k001"
			_, err := tx.PutSheet(ctx, s)
			return err
		},
	} {
		err := st.Write(ctx, fn)
		require.Error(t, err, name)
		require.Equal(t, models.Conflict, models.KindOf(err), "%s: %v", name, err)
	}
}

// A component that moves takes its covers' place in lists with it; history
// stays where it was made.
func TestComponentMoves(t *testing.T) {
	st, ctx := filled(t, 2), t.Context()
	add(t, st, openingOf("o1", "c1", "2026-11-20"), Derived{})
	write(t, st, func(tx *Tx) error {
		if _, err := tx.PutBuilding(ctx, models.Building{ID: "b2", Name: "Annex", TimeZone: "UTC"}); err != nil {
			return err
		}
		if _, err := tx.PutRoom(ctx, models.Room{ID: "r2", Building: "b2", Name: "Attic"}); err != nil {
			return err
		}
		s, err := tx.Sheet(ctx, "c1")
		if err != nil {
			return err
		}
		s.Component.Room, s.Component.Loop = "r2", models.None
		_, err = tx.PutSheet(ctx, s)
		return err
	})
	page, err := st.Covers(ctx, models.CoverFilter{Building: "b2", Text: "attic"})
	require.NoError(t, err)
	require.Equal(t, 1, page.Total)
	require.Equal(t, models.ID("c1"), page.Rows[0].ID)
	page, err = st.Covers(ctx, models.CoverFilter{})
	require.NoError(t, err)
	require.Equal(t, []string{"V-1", "V-2"}, tags(page), "the annex comes before")
	o, err := st.Opening(ctx, "o1")
	require.NoError(t, err)
	require.Equal(t, models.ID("b1"), o.Building)
}

func TestStateOfACover(t *testing.T) {
	st, ctx := filled(t, 1), t.Context()
	set := func(state models.CoverState, since models.Date) models.Cover {
		write(t, st, func(tx *Tx) error { return tx.SetCoverState(ctx, "c1", state, since) })
		s, err := st.Sheet(ctx, "c1")
		require.NoError(t, err)
		return s.Cover
	}
	c := set(models.InPlace, "")
	require.Equal(t, 1, c.Version, "nothing changed")
	c = set(models.Off, "2026-11-01")
	require.Equal(t, []any{models.Off, models.Date("2026-11-01"), 2}, []any{c.State, c.OffSince, c.Version})
	c = set(models.Off, "2026-11-01")
	require.Equal(t, 2, c.Version, "nothing changed")
	c = set(models.InPlace, "2026-11-20")
	require.Equal(t, []any{models.InPlace, models.Date(""), 3}, []any{c.State, c.OffSince, c.Version})
}

func TestOtherRecordsSentAgain(t *testing.T) {
	ctx := t.Context()
	look := models.Look{ID: "x1", Cover: "c1", Building: "b1", On: "2026-11-20", By: "Crew A", InPlace: ptr(true), Drips: ptr(false), Port: "wet",
		Note: "n", Places: []models.PlaceFinding{{Place: models.FarEnd, Found: "open"}}, EnteredAt: noon, Recorder: "u1"}
	reading := models.ThicknessReading{ID: "x1", Cover: "c1", On: "2026-11-20", Point: "top", Value: 6.1, Unit: "mm", EnteredAt: noon, By: "A"}
	air := models.RoomReading{ID: "x1", Room: "r1", At: noon.Add(time.Microsecond), TempC: 24, DewPointC: ptr(18.0), By: "A", EnteredAt: noon}
	earlier := models.EarlierRecord{ID: "x1", Cover: "c1", On: "2019-01-01", Answer: "wet", Note: "n"}
	deferral := models.Deferral{ID: "x1", Cover: "c1", DueOn: "2026-12-01", Until: "2027-01-01", Reason: "shutdown", By: "u1", EnteredAt: noon}
	for name, put := range map[string]func(tx *Tx, note string) (bool, error){
		"look":           func(tx *Tx, note string) (bool, error) { l := look; l.Note = note; return tx.AddLook(ctx, l) },
		"reading":        func(tx *Tx, note string) (bool, error) { r := reading; r.Point = note; return tx.AddReading(ctx, r) },
		"room reading":   func(tx *Tx, note string) (bool, error) { a := air; a.By = note; return tx.AddRoomReading(ctx, a) },
		"earlier record": func(tx *Tx, note string) (bool, error) { e := earlier; e.Note = note; return tx.AddEarlier(ctx, e) },
		"deferral":       func(tx *Tx, note string) (bool, error) { d := deferral; d.Reason = note; return tx.AddDeferral(ctx, d) },
	} {
		t.Run(name, func(t *testing.T) {
			st := filled(t, 1)
			var again bool
			send := func(note string) error {
				return st.Write(ctx, func(tx *Tx) (err error) { again, err = put(tx, note); return err })
			}
			require.NoError(t, send("first"))
			require.False(t, again)
			require.NoError(t, send("first"))
			require.True(t, again)
			requireKind(t, models.Invalid, send("other"))
		})
	}
}

func TestRecordsComeBackAsTheyWereStored(t *testing.T) {
	st, ctx := filled(t, 1), t.Context()
	air := models.RoomReading{ID: "a1", Room: "r1", At: noon.Add(-time.Hour), TempC: 24.5, RH: ptr(0.61), DewPointC: ptr(16.5), By: "A", EnteredAt: noon, Recorder: "u1"}
	follow := models.FollowUp{ID: "f1", Cover: "c1", Building: "b1", Kind: "dry", Why: "wet", From: "o1", By: "2026-11-22", OpenedAt: noon, Opener: "u1"}
	write(t, st, func(tx *Tx) error {
		if _, err := tx.AddRoomReading(ctx, air); err != nil {
			return err
		}
		return tx.AddFollowUp(ctx, follow)
	})
	for since, want := range map[time.Time]int{{}: 1, noon.Add(-time.Hour): 1, noon: 0} {
		got, err := st.RoomReadings(ctx, "r1", since)
		require.NoError(t, err)
		require.Len(t, got, want)
		if want == 1 {
			require.Equal(t, air, got[0])
		}
	}
	got, err := st.FollowUp(ctx, "f1")
	require.NoError(t, err)
	require.Equal(t, follow, got)
	closing := func(tx *Tx) error { return tx.CloseFollowUp(ctx, "f1", "o2", noon.Add(time.Hour), "closed dry") }
	write(t, st, closing)
	requireKind(t, models.Conflict, st.Write(ctx, closing))
	follow.ClosedBy, follow.ClosedAt, follow.ClosedWhy = "o2", noon.Add(time.Hour), "closed dry"
	none, b1 := []models.ID{}, []models.ID{"b1"}
	for _, c := range []struct {
		f    FollowUpFilter
		want int
	}{
		{FollowUpFilter{}, 1}, {FollowUpFilter{OpenOnly: true}, 0}, {FollowUpFilter{Kind: "dry", Cover: "c1", Building: "b1", Scope: &b1, Limit: 5}, 1},
		{FollowUpFilter{Kind: "tape"}, 0}, {FollowUpFilter{Scope: &none}, 0}, {FollowUpFilter{Building: "b2"}, 0},
	} {
		list, err := st.FollowUps(ctx, c.f)
		require.NoError(t, err)
		require.Len(t, list, c.want, "%+v", c.f)
		if c.want == 1 {
			require.Equal(t, follow, list[0])
		}
	}
}
