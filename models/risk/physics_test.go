package risk

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"drylag/models"
	"drylag/models/air"
	"drylag/models/climate"
	"drylag/models/heat"
	"drylag/models/unit"
)

// openRoom is the synthetic year of testdata/check/climates/room_open.csv.
var openRoom = sync.OnceValues(func() (climate.Hourly, error) {
	file, err := os.Open(filepath.Join("..", "..", "testdata", "check", "climates", "room_open.csv"))
	if err != nil {
		return climate.Hourly{}, err
	}
	defer file.Close()
	return climate.ReadHourTable(file)
})

func openYear(t testing.TB, s models.CoverSheet) *RoomYear {
	t.Helper()
	year, err := openRoom()
	require.NoError(t, err)
	y, err := NewRoomYear(year, s, "invented", false)
	require.NoError(t, err)
	return y
}

func steadyYear(t testing.TB, s models.CoverSheet, c unit.Celsius, rh unit.Fraction) *RoomYear {
	t.Helper()
	y, err := NewRoomYear(climate.Steady(c, rh), s, "steady", true)
	require.NoError(t, err)
	return y
}

// elbow is a welded NPS 4 elbow: by its own area and length a cylinder of 114.3
// mm, as the published cases have it.
func elbow(serviceC float64) models.CoverSheet {
	return models.CoverSheet{
		Component: models.Component{Kind: "elbow", Connection: "welded", NPS: ref(4.0), ServiceC: &serviceC},
		Cover:     models.Cover{State: models.InPlace, Insulation: "fibrous", ThicknessMM: ref(25.0), Closure: "tape", Penetrations: ref(0)},
	}
}

func physics(t testing.TB, s models.CoverSheet, y *RoomYear) models.Physics {
	t.Helper()
	p, err := Physics(s, y)
	require.NoError(t, err)
	return p
}

func TestBareHours(t *testing.T) {
	for _, c := range []struct{ metal, below, slack, drive, net float64 }{
		{4, 8625, 0, 7235683.882, 7229983.159}, {7, 7590, 0, 5696051.859, 5578901.006},
		{12.8, 4678, 0, 2840290.143, 1405943.707}, {16, 3296, 0, 1494885.402, -1573463.008},
	} {
		s := elbow(c.metal)
		p := physics(t, s, openYear(t, s))
		require.InDelta(t, c.below, p.BareBelow, c.slack, "hours_metal_below_dew_point, room_open.csv: npm psychrolib 1.1.1")
		require.InEpsilon(t, c.drive, p.DrivePaH, 1e-5, "vapor_drive_integral, room_open.csv: npm psychrolib 1.1.1")
		require.InEpsilon(t, c.net, p.NetPaH, 1e-4, "as above")
		require.Equal(t, c.net > 0, strings.Contains(p.Drying, "inward: water that gets in stays"), p.Drying)
	}
	s := elbow(7)
	require.InDelta(t, 8650, physics(t, s, openYear(t, s)).BareDamp, 0, "hours_metal_surface_rh_over_80-002: npm psychrolib 1.1.1")
}

func TestMonthsAddUp(t *testing.T) {
	s := elbow(7)
	p := physics(t, s, openYear(t, s))
	hours, below := 0.0, 0.0
	for i, m := range p.Months {
		hours, below = hours+m.Hours, below+m.Below
		require.True(t, m.DewC.Lo < m.DewC.Mid && m.DewC.Mid < m.DewC.Hi, "month %d: %v", i+1, m.DewC)
		require.InDelta(t, 7, m.MetalC.Mid, 1e-9)
		require.Equal(t, 2*m.Below >= m.Hours, m.Sweats())
	}
	require.Equal(t, p.Hours, hours)
	require.Equal(t, p.BareBelow, below)
}

func TestSurfaceHours(t *testing.T) {
	for _, c := range []struct{ t, emissivity, hours, slack float64 }{{.013, .9, 294, 11}, {.019, .9, 32, 1}, {.013, .1, 2611, 5}} {
		w := physicist{s: elbow(7), p: &models.Physics{MetalC: 7}}
		w.y = openYear(t, w.s)
		w.size()
		w.shape.Emissivity = unit.Fraction(c.emissivity)
		w.shape.Layers = []heat.Layer{{Thickness: unit.Meter(c.t), K: heat.Conductivity{AtZero: 0.035, PerK: 0.00013}}}
		require.InDelta(t, 0.1143, w.p.Part.DiameterM, 1e-12)
		require.InDelta(t, c.hours, float64(w.y.surface.Hours(w.shape, 0)), c.slack, "hours_cover_surface_below_dew_point, room_open.csv: ht 1.0.7, full solution of each hour")
	}
}

func TestLeastThickness(t *testing.T) {
	for _, c := range []struct {
		name                string
		fluid, airC, rh, mm float64
		unattainable        bool
		source              string
	}{
		{"damp", 6, 30, 0.8, 19.66501098, false, "min_thickness_no_condensation-001: ht 1.0.7"},
		{"dry room, cool water", 18, 24, 0.5, 0, false, "min_thickness_no_condensation-010: ht 1.0.7"},
		{"saturated", 6, 25, 1, 0, true, "min_thickness_no_condensation-012: a surface as cold as its air gets no heat"},
	} {
		w := physicist{s: elbow(c.fluid), p: &models.Physics{MetalC: c.fluid}, k: heat.Conductivity{AtZero: 0.034, PerK: 0.0001}}
		w.y = openYear(t, w.s)
		w.size()
		w.shape.Emissivity = 0.9
		w.dryIn(models.StayDry{AirC: c.airC, DewC: float64(air.DewPoint(unit.Celsius(c.airC), unit.Fraction(c.rh)))})
		got := w.p.Dry[0]
		require.Equal(t, c.unattainable, got.Unattainable, c.name)
		if c.unattainable {
			require.Nil(t, got.LeastMM)
			continue
		}
		require.InDelta(t, c.mm, *got.LeastMM, 0.02, "%s: %s", c.name, c.source)
	}
}

// The design airs of a whole cover: the room's own damp hour, and 85 °F and 85 %.
func TestDesignAirs(t *testing.T) {
	s := elbow(7)
	p := physics(t, s, openYear(t, s))
	require.Len(t, p.Dry, 2)
	own, published := p.Dry[0], p.Dry[1]
	require.True(t, own.Own && !published.Own)
	damper := 0
	for _, m := range openYear(t, s).dewC {
		if m > own.DewC {
			damper++
		}
	}
	require.InDelta(t, 0.01*8760, damper, 1, "1 % of the hours are damper")
	require.InDelta(t, 26.7, published.DewC, 0.05, "insulation-thickness design air 85 °F and 85 %, dew point 26.7 °C (read in chilled-water practice, rounded there)")
	require.Positive(t, *published.LeastMM)
	require.Equal(t, *published.SurfaceC-published.DewC, *published.MarginK())
	require.Equal(t, p.Cover.ThicknessMM > *published.LeastMM, *published.MarginK() > 0, "thick enough is dry")
}

func TestHeatAndItsCost(t *testing.T) {
	s := elbow(7)
	w := physicist{s: s, p: &models.Physics{MetalC: 7, Hours: 8760}}
	w.y = steadyYear(t, s, 25, 0.6)
	w.size()
	w.heat()
	w.body.End = 0
	w.shape.Emissivity, w.shape.Layers = 0.9, []heat.Layer{{Thickness: 0.025, K: heat.Conductivity{AtZero: 0.034, PerK: 0.0001}}}
	w.covered()
	require.InEpsilon(t, 9.574461707*2*.1143*8.76, w.p.Heat.Covered.KWh, 1e-3, "covered_cylinder-001 (ht 1.0.7): 9.574 W/m over 228.6 mm and 8,760 h")

	s.Building = models.Building{Currency: "$", COP: ref(5.0), Tariff: ref(0.2)}
	p := physics(t, s, steadyYear(t, s, 25, 0.6))
	require.InDelta(t, p.Heat.Bare.KWh/5, *p.Heat.Bare.Electricity, 1e-9)
	require.InDelta(t, p.Heat.Covered.KWh/5*0.2, *p.Heat.Covered.Money, 1e-9)
	require.Equal(t, []float64{0.3, 0.2}, []float64{p.Heat.Bare.Tolerance, p.Heat.Covered.Tolerance})
	s.Building = models.Building{Currency: "$", TonHourCost: ref(0.15)}
	p = physics(t, s, steadyYear(t, s, 25, 0.6))
	require.Nil(t, p.Heat.Bare.Electricity, "no COP, no electricity")
	require.InEpsilon(t, p.Heat.Bare.KWh*0.15/3.5168528, *p.Heat.Bare.Money, 1e-9, "12,000 Btu/h")
}

// By hand at 27 °C and 60 % over metal of 7 °C, one meter of a 4 in pipe.
func TestWaterGain(t *testing.T) {
	s := elbow(7)
	s.Cover.PermeancePerm = ref(0.02)
	w := physicist{s: s, p: &models.Physics{MetalC: 7, Hours: 8760}, layer: 0.025}
	w.y = steadyYear(t, s, 27, 0.6)
	w.y.exposeTo(w.p, s)
	w.size()
	w.part.Length, w.part.End, w.part.Seam = 1, 0, 1
	w.water()
	g := w.p.Water
	require.InDelta(t, 0.021, g.IntactKg, 0.0005, "air-heat-vapor.md 3: 0.021 kg per meter and year at 0.02 perm, computed there")
	drive := 0.6*3567.6 - 1002.1 // Pa, ASHRAE table of saturation pressures (from memory)
	require.InEpsilon(t, g.IntactKg+drive*195e-12*0.001/0.025*8760*3600, g.LowKg, 1e-3, "ℓ·δ·w/t straight in, by hand")
	require.Greater(t, g.HighKg, g.LowKg)
	volume := math.Pi / 4 * (.1643*.1643 - .1143*.1143)
	require.InEpsilon(t, 0.05*volume*1000/g.IntactKg, *g.Intact, 1e-9, "balance of mass, by hand")
	require.InEpsilon(t, 0.05*volume*1000/g.HighKg, *g.Early, 1e-9)
	require.NotContains(t, whats(g.Assumed), "permeance of the facing", "it is recorded")
}

// What is tight, and what dries, never fills: no infinity leaves.
func TestNeverIsNoNumber(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(*models.CoverSheet)
		kg     bool // something comes in
	}{
		{"tight facing, seam open", func(s *models.CoverSheet) { s.Cover.PermeancePerm = ref(0.0) }, true},
		{"cellular glass", func(s *models.CoverSheet) { s.Cover.Insulation = "cellular_glass" }, false},
		{"water of 16 °C: the year dries", func(s *models.CoverSheet) { s.Component.ServiceC = ref(16.0) }, true},
		{"as warm as the room", func(s *models.CoverSheet) { s.Component.ServiceC = ref(45.0) }, false},
	} {
		s := elbow(7)
		c.change(&s)
		p := physics(t, s, openYear(t, s))
		require.Nil(t, p.Water.Intact, c.name)
		require.Equal(t, c.kg, p.Water.HighKg > 0, c.name)
	}
}

func TestSeasons(t *testing.T) {
	s := elbow(7)
	s.Loop = models.Loop{Kind: "dual", HotC: ref(60.0), Hot: models.Season{From: "11-01", To: "02-28"}, Stopped: models.Season{From: "03-01", To: "03-31"}}
	always := elbow(7)
	p, all := physics(t, s, openYear(t, s)), physics(t, always, openYear(t, always))
	require.Equal(t, []float64{(30 + 31 + 31 + 28) * 24, 31 * 24}, []float64{p.Hot, p.Stopped})
	for i, m := range p.Months {
		idle := i < 3 || i > 9
		require.Equal(t, idle, m.Below == 0 && all.Months[i].Below > 0, "month %d", i+1)
	}
	require.Equal(t, models.Range{Mid: p.Months[0].MetalC.Mid, Lo: 60, Hi: 60}, p.Months[0].MetalC)
	require.Greater(t, p.Months[2].MetalC.Hi, p.Months[2].MetalC.Lo, "as warm as the room, hour by hour")
	require.Less(t, p.Heat.Bare.KWh, all.Heat.Bare.KWh, "cold water takes up heat only while it runs")
	require.LessOrEqual(t, p.Cover.Below, all.Cover.Below)
	require.NotEqual(t, SeasonKey(s), SeasonKey(always))

	s.Loop = models.Loop{Kind: "chilled", Stopped: models.Season{From: "01-01", To: "12-31"}}
	still := physics(t, s, openYear(t, s))
	require.Zero(t, still.BareBelow+still.Heat.Bare.KWh+still.Cover.Below+still.DrivePaH)
	require.Len(t, still.Dry, 1, "no cold hour of its own: the published air alone")
}

func TestMissingDataIsNamed(t *testing.T) {
	missing := func(p models.Physics) []string {
		var out []string
		for _, g := range p.Gaps {
			out = append(out, g.Of+"/"+g.Field)
		}
		return out
	}
	s := elbow(7)
	p := physics(t, s, openYear(t, s))
	require.Equal(t, []string{"building/cop"}, missing(p))
	require.Nil(t, p.Heat.Bare.Money)
	require.Empty(t, p.Heat.Price)

	s.Building.COP = ref(5.0)
	p = physics(t, s, openYear(t, s))
	require.Equal(t, []string{"building/tariff"}, missing(p))
	require.NotNil(t, p.Heat.Bare.Electricity)
	require.Nil(t, p.Heat.Bare.Money)

	s.Cover.ThicknessMM = nil
	p = physics(t, s, openYear(t, s))
	require.Equal(t, []string{"cover/thickness", "building/tariff"}, missing(p))
	require.Nil(t, p.Cover)
	require.Nil(t, p.Water)
	require.Nil(t, p.Heat.Covered)
	require.Len(t, p.Dry, 2, "what is needed can be said")
	require.Contains(t, p.Answer, "cannot be said yet")

	s.Component.NPS = nil
	p = physics(t, s, openYear(t, s))
	require.Equal(t, []string{"cover/nps"}, missing(p))
	require.Nil(t, p.Part)
	require.Positive(t, p.BareBelow)
	require.Positive(t, p.Closing.TapeM.Value)

	s.Component.NPS, s.Component.Kind, s.Component.Connection = ref(60.0), "gate_valve", "flanged"
	p = physics(t, s, openYear(t, s))
	require.Equal(t, "a size within the range of the formulas", p.Gaps[0].Missing)
}

func TestAnswer(t *testing.T) {
	s := elbow(7)
	for _, c := range []struct {
		state       models.CoverState
		below, own  float64
		known       bool
		want        string
		description string
	}{
		{models.InPlace, 5076, 40, true, "Bare, this elbow would sweat 5,076 hours a year; under its cover the surface stays dry but for 40.", "a few"},
		{models.InPlace, 5076, 0, true, "Bare, this elbow would sweat 5,076 hours a year; under its cover the surface stays dry all year.", "none"},
		{models.InPlace, 5076, 1200, true, "Bare, this elbow would sweat 5,076 hours a year; the surface of its cover still sweats 1,200 of them.", "many"},
		{models.InPlace, 5076, 0, false, "Bare, this elbow would sweat 5,076 hours a year; how dry the surface of its cover stays cannot be said yet.", "no thickness"},
		{models.Off, 5076, 40, true, "Bare as it is, this elbow sweats 5,076 hours a year.", "off"},
		{models.InPlace, 0, 0, true, "Bare, this elbow would stay dry all year: its metal is never below the dew point.", "warm"},
	} {
		s.Cover.State = c.state
		p := models.Physics{Hours: 8760, BareBelow: c.below}
		if c.known {
			p.Cover = &models.PhysicsCover{Below: c.own}
		}
		require.Equal(t, c.want, answer(s, p), c.description)
	}
}

func TestEmissivityFollowsTheFacing(t *testing.T) {
	for facing, want := range map[string]unit.Fraction{"": 0.9, "silicone cloth": 0.9, "Aluminum foil and kraft": 0.05, "Stainless jacket": 0.05} {
		require.Equal(t, want, emissivityOf(models.Cover{Facing: facing}), facing)
	}
	for _, word := range models.Insulations {
		require.False(t, math.IsNaN(float64(conductivityOf(models.Cover{Insulation: word.Code}).At(24))), word.Code)
	}
}

// No cover sweats longer than its bare metal, none takes up more heat, and
// every number is one.
func TestPhysicsLaws(t *testing.T) {
	kinds := []string{"gate_valve", "butterfly_valve", "strainer", "flange_pair", "pump", "elbow"}
	years := []*RoomYear{openYear(t, elbow(7)), steadyYear(t, elbow(7), 24, 0.55)}
	rapid.Check(t, func(r *rapid.T) {
		s := elbow(rapid.Float64Range(3, 16).Draw(r, "service"))
		s.Component.Kind, s.Component.Connection = rapid.SampledFrom(kinds).Draw(r, "kind"), rapid.SampledFrom([]string{"", "flanged", "welded"}).Draw(r, "connection")
		s.Component.NPS = ref(rapid.SampledFrom([]float64{2, 3, 4, 6, 8, 12, 24}).Draw(r, "nps"))
		s.Cover.ThicknessMM = ref(rapid.Float64Range(10, 75).Draw(r, "thickness"))
		s.Cover.Insulation = rapid.SampledFrom([]string{"", "fibrous", "nitrile", "polyethylene", "cellular_glass", "foam"}).Draw(r, "filling")
		s.Cover.Facing = rapid.SampledFrom([]string{"", "foil"}).Draw(r, "facing")
		s.Building.TonHourCost = ref(rapid.Float64Range(0, 2).Draw(r, "price"))
		p := physics(t, s, rapid.SampledFrom(years).Draw(r, "year"))
		require.GreaterOrEqual(r, p.BareBelow, p.Cover.Below)
		require.GreaterOrEqual(r, p.BareDamp, p.BareBelow)
		require.LessOrEqual(r, p.Heat.Covered.KWh, p.Heat.Bare.KWh)
		require.LessOrEqual(r, *p.Heat.Covered.Money, *p.Heat.Bare.Money)
		require.True(r, p.Water.IntactKg <= p.Water.LowKg && p.Water.LowKg <= p.Water.HighKg)
		require.GreaterOrEqual(r, p.DrivePaH, p.NetPaH)
	})
}

func BenchmarkPhysics(b *testing.B) {
	s := elbow(7)
	y := openYear(b, s)
	b.ReportAllocs()
	for b.Loop() {
		physics(b, s, y)
	}
}
