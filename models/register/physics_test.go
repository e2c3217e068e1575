package register

import (
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models"
)

func (w *world) physics(a models.Actor, b int) models.Physics {
	w.t.Helper()
	p, err := w.Physics(w.ctx, a, w.cover[b].Cover.ID)
	require.NoError(w.t, err)
	return p
}

func TestPhysicsFollowsTheRoomsOwnAir(t *testing.T) {
	w := newWorld(t)
	assumed := w.physics(w.engineer, 0)
	require.True(t, assumed.AirAssumed)
	require.Equal(t, 8760.0, assumed.BareBelow, "24 °C and 50 % over 6 °C: every hour")
	w.weather(0)
	own := w.physics(w.engineer, 0)
	require.False(t, own.AirAssumed)
	require.Contains(t, own.Air, "weather file brought in 25 Nov 2026")
	require.Less(t, own.BareBelow, assumed.BareBelow)

	stopped := w.loop[0]
	stopped.Stopped = models.Season{From: "06-01", To: "09-30"}
	_, err := w.SaveLoop(w.ctx, w.admin, stopped)
	require.NoError(t, err)
	rested := w.physics(w.engineer, 0)
	require.Equal(t, 122*24.0, rested.Stopped)
	require.Zero(t, rested.Months[6].Below)
	require.Less(t, rested.BareBelow, own.BareBelow, "the season rule takes effect at once")

	warm := 30.0
	rm := w.room[0]
	rm.TempC = &warm
	_, err = w.SaveRoom(w.ctx, w.admin, rm)
	require.NoError(t, err)
	require.Greater(t, w.physics(w.engineer, 0).Heat.Bare.KWh, rested.Heat.Bare.KWh, "so does the room's temperature")
}

func TestPhysicsStaysInScope(t *testing.T) {
	w := newWorld(t)
	_, err := w.Physics(w.ctx, w.inspector, w.cover[1].Cover.ID)
	require.Equal(t, models.Missing, kind(err))
	_, err = w.Physics(w.ctx, w.inspector, "none")
	require.Equal(t, models.Missing, kind(err))
}

// A year is prepared once, and no more years are held than stated.
func TestPreparedYearsAreKept(t *testing.T) {
	w := newWorld(t)
	first, err := w.roomYear(w.ctx, w.cover[0])
	require.NoError(t, err)
	again, err := w.roomYear(w.ctx, w.cover[0])
	require.NoError(t, err)
	require.Same(t, first, again)
	for i := range yearsKept {
		w.years.keep(string(rune('a'+i)), first)
	}
	require.Len(t, w.years.list, yearsKept)
	other, err := w.roomYear(w.ctx, w.cover[0])
	require.NoError(t, err)
	require.NotSame(t, first, other, "the oldest went")
}
