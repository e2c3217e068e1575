package register

import (
	"context"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"github.com/google/uuid"
	"github.com/stretchr/testify/require"

	"drylag/models"
	"drylag/models/climate"
	"drylag/models/store"
)

// clock is a clock that tests turn by hand.
type clock struct {
	mu sync.Mutex
	at time.Time
}

func (c *clock) now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.at
}

func (c *clock) turn(d time.Duration) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.at = c.at.Add(d)
}

func newID() models.ID { return models.ID(uuid.Must(uuid.NewV7()).String()) }

// world is a register over a real database file, with two buildings of one room
// and one cover each.
type world struct {
	*Register
	ctx   context.Context
	t     *testing.T
	clock *clock

	admin, engineer, inspector, other models.Actor // inspector sees building 0 only
	building                          [2]models.Building
	room                              [2]models.Room
	loop                              [2]models.Loop
	cover                             [2]models.CoverSheet
}

// newEmpty is a register over an empty database, at 10:00 in New York on 25
// November 2026.
func newEmpty(t *testing.T) *world {
	t.Helper()
	w := &world{t: t, ctx: t.Context(), clock: &clock{at: time.Date(2026, 11, 25, 15, 0, 0, 0, time.UTC)}}
	st, err := store.Create(w.ctx, store.Config{Dir: filepath.Join(t.TempDir(), "data"), Now: w.clock.now})
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, st.Close()) })
	w.Register = New(st, Options{Now: w.clock.now, NewID: newID})
	w.admin = models.Actor{ID: newID(), Name: "Ada", Login: "ada", Role: models.Admin, All: true, Units: "IP"}
	return w
}

func newWorld(t *testing.T) *world {
	t.Helper()
	w := newEmpty(t)
	for i, name := range []string{"North Wing", "South Wing"} {
		var err error
		w.building[i], err = w.SaveBuilding(w.ctx, w.admin, models.Building{Name: name, TimeZone: "America/New_York", Currency: "$"})
		require.NoError(t, err)
		w.room[i], err = w.SaveRoom(w.ctx, w.admin, models.Room{Building: w.building[i].ID, Name: "Plant room"})
		require.NoError(t, err)
		supply := 6.0
		w.loop[i], err = w.SaveLoop(w.ctx, w.admin, models.Loop{Building: w.building[i].ID, Name: "CHW-1", Kind: "chilled", SupplyC: &supply})
		require.NoError(t, err)
		w.cover[i] = w.addCover(i, "V-1")
	}
	only := func(role models.Role, b int) models.Actor {
		return models.Actor{ID: newID(), Name: string(role), Login: string(role), Role: role, Buildings: []models.ID{w.building[b].ID}, Units: "IP"}
	}
	w.engineer, w.inspector, w.other = only(models.Engineer, 0), only(models.Inspector, 0), only(models.Inspector, 0)
	w.clock.turn(time.Minute)
	return w
}

func (w *world) addCover(building int, tag string) models.CoverSheet {
	w.t.Helper()
	nps, thick, pens := 6.0, 38.0, 1
	s, err := w.SaveCover(w.ctx, w.admin, models.CoverSheet{
		Component: models.Component{Room: w.room[building].ID, Loop: w.loop[building].ID, Tag: tag, Kind: "gate_valve",
			NPS: &nps, Material: "carbon_steel", Connection: "flanged", Side: "supply", Access: "ladder"},
		Cover: models.Cover{State: models.InPlace, Insulation: "fibrous", ThicknessMM: &thick, Closure: "tape_sealant", Penetrations: &pens, Fitted: "2024-11-25"},
	})
	require.NoError(w.t, err)
	return s
}

// weather gives a building the synthetic year of testdata/check/climates.
func (w *world) weather(building int) {
	w.t.Helper()
	f, err := os.Open("../../testdata/check/climates/room_open.csv")
	require.NoError(w.t, err)
	defer f.Close()
	year, err := climate.ReadHourTable(f)
	require.NoError(w.t, err)
	c := models.HourlyClimate{ID: newID(), Building: w.building[building].ID, Source: "epw", Name: "synthetic year", UTCOffsetH: -5,
		ImportedAt: w.Now(), Importer: w.admin.ID, SHA256: "made for the test"}
	for _, h := range year.Hours {
		c.TempC, c.DewPointC = append(c.TempC, float64(h.T)), append(c.DewPointC, float64(h.DewPoint()))
	}
	require.NoError(w.t, w.store.Write(w.ctx, func(tx *store.Tx) error {
		_, err := tx.AddClimate(w.ctx, c)
		return err
	}))
}

// soundDry is an opening that found everything dry and closed it sound.
func soundDry(s models.CoverSheet, on models.Date) models.Opening {
	no, yes := false, true
	o := models.Opening{ID: newID(), Cover: s.Cover.ID, On: on, OpenedBy: "Ben", Reason: "periodic", Outcome: "opened",
		Drips: &no, Label: &yes, Moisture: "dry", Blanket: "dry",
		Metal:   models.MetalFinding{Seen: true, Coating: "intact", Scale: "ri", Grade: "Ri 0", FreshRust: &no},
		Closing: models.Closing{Metal: "dry", Blanket: "dry", Water: "running", Cover: "same", Label: &yes}}
	for _, p := range s.Cover.Places() {
		o.Places = append(o.Places, models.PlaceFinding{Place: p, Found: "sound", Left: "renewed"})
	}
	return o
}

// wetLeftWet is an opening that found water and could not dry it.
func wetLeftWet(s models.CoverSheet, on models.Date) models.Opening {
	o := soundDry(s, on)
	o.Moisture, o.Blanket, o.Metal.Grade = "wet", "wet", "Ri 3"
	o.Closing.Metal, o.Closing.Blanket = "wet", "damp"
	return o
}

func kind(err error) models.Kind { return models.KindOf(err) }
