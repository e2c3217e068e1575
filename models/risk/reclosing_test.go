package risk

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models"
	"drylag/models/metal"
)

func whats(list []models.Assumption) []string {
	var out []string
	for _, a := range list {
		out = append(out, a.What)
	}
	return out
}

func TestReclosingByHand(t *testing.T) {
	part := func(kind, connection string, nps *float64) models.Component {
		return models.Component{Kind: kind, Connection: connection, NPS: nps}
	}
	valve := part("gate_valve", "flanged", ref(6.0))
	thick := models.Cover{ThicknessMM: ref(38.0), Closure: "tape", Penetrations: ref(2)}
	for _, c := range []struct {
		name   string
		sheet  models.CoverSheet
		remake Remake
		tape   float64 // m
		ml     float64 // sealant
		source string
	}{
		{"gate valve NPS 6 under 38 mm, two stems", models.CoverSheet{Component: valve, Cover: thick}, Remake{},
			1.2 * (.267 + .076 + .87*.2794 + 2*math.Pi*(.2794+.076) + math.Pi*(.6*.2794+.076) + 2*.150 + 6*.050), 2 * 2.7 / 0.9,
			"flange 11 in (B16.5), 267 mm (B16.10), air-heat-vapor.md 5 by hand: seam up the bonnet, two ends, bonnet edge, two stems, six laps of 50 mm, a fifth of waste"},
		{"one end alone", models.CoverSheet{Component: valve, Cover: thick}, Remake{Places: []models.Place{models.NearEnd}},
			1.2 * (math.Pi*(.2794+.076) + .050), 0, "one girth and its lap, by hand"},
		{"welded elbow NPS 4, thickness not known", models.CoverSheet{Component: part("elbow", "welded", ref(4.0)), Cover: models.Cover{Closure: "tape", Penetrations: ref(0)}},
			Remake{}, 1.2 * (2*.1143 + .050 + 2*math.Pi*(.1143+.050) + 3*.050), 0, "114.3 mm (B36.10M), 25 mm and twice the pipe assumed, by hand"},
		{"straps use none", models.CoverSheet{Component: valve, Cover: models.Cover{ThicknessMM: ref(38.0), Closure: "straps", Penetrations: ref(0)}}, Remake{}, 0, 0, "no tape"},
		{"sealant along seams", models.CoverSheet{Component: part("flange_pair", "flanged", ref(6.0)), Cover: models.Cover{ThicknessMM: ref(25.0), Closure: "sealant", Penetrations: ref(0)}},
			Remake{}, 0, 1e6 * .003 * .025 * (2*.0254 + .050 + 2*math.Pi*(.2794+.050)) / 0.9, "joint 3 mm as deep as the cover, by hand"},
	} {
		r, err := Reclosing(c.sheet, c.remake)
		require.NoError(t, err, c.name)
		require.InDelta(t, c.tape, r.TapeM.Value, 1e-9, "%s: %s", c.name, c.source)
		require.InDelta(t, c.ml, r.SealantML.Value, 1e-6, "%s: %s", c.name, c.source)
		require.Equal(t, math.Ceil(c.tape/30), r.Rolls, c.name)
		require.Equal(t, math.Ceil(c.ml/300), r.Cartridges, c.name)
		require.Equal(t, c.tape > 0, slices.Contains(whats(r.TapeM.Assumed), "waste of tape"), c.name)
		require.Equal(t, models.Supplies{TapeM: r.TapeM.Value, SealantML: r.SealantML.Value}, r.Supplies(), "the old cover, uncoated")
	}
}

func TestReclosingWithANewBlanketAndCoat(t *testing.T) {
	s := models.CoverSheet{Component: models.Component{Kind: "flange_pair", NPS: ref(6.0)}, Cover: models.Cover{ThicknessMM: ref(25.0), Closure: "tape", Penetrations: ref(0)}}
	r, err := Reclosing(s, Remake{Blanket: true, Coat: true})
	require.NoError(t, err)
	ring := func(d float64) float64 { return 2 * math.Pi / 4 * (d*d - .1683*.1683) }
	require.InDelta(t, math.Pi*.3294*.1008+ring(.3294), r.BlanketM2.Value, 1e-9, "flange 11 x 1.00 in (B16.5), by hand")
	require.Equal(t, r.CoverM2.Value, r.BlanketM2.Value)
	require.InDelta(t, math.Pi*.3294, r.StretchOutM.Value, 1e-9)
	bare := math.Pi*.2794*.0508 + ring(.2794)
	require.InDelta(t, 1000*bare*125/(10*65)/0.8*2, r.CoatingML.Value, 1e-6, "L = A·DFT/(10·VS)/(1 − loss)·coats, by hand")
	require.InDelta(t, 125/0.65, r.WetFilmUM.Value, 1e-9)
	require.Contains(t, whats(r.CoatingML.Assumed), "volume solids")
}

func TestReclosingSaysWhatToEnter(t *testing.T) {
	r, err := Reclosing(models.CoverSheet{Component: models.Component{Kind: "gate_valve"}}, Remake{})
	require.NoError(t, err)
	field := map[string]string{}
	for _, a := range r.TapeM.Assumed {
		field[a.What] = a.Field
	}
	for what, want := range map[string]string{"insulation thickness": "thickness", "pipe diameter": "nps", "connection": "connection",
		"penetrations": "penetrations", "waste of tape": ""} {
		got, listed := field[what]
		require.True(t, listed, what)
		require.Equal(t, want, got, what)
	}
}

func TestPipeOfAnySize(t *testing.T) {
	for _, c := range []struct {
		nps, mm float64
		guessed bool
		source  string
	}{
		{6, 168.3, false, "ASME B36.10M"}, {14, 355.6, false, "ASME B36.10M"}, {22, 558.8, false, "22 in itself, ASME B36.10M from NPS 14"},
		{30, 762, false, "30 in itself"}, {3.5, 101.6, true, "the mean of NPS 3 and 4; ASME B36.10M has 101.6 (from memory)"},
		{0.125, 13.2, true, "the line through NPS 1/2 and 3/4, by hand"},
	} {
		od, guessed := pipeOD(c.nps)
		require.InDelta(t, c.mm, float64(od)*1000, 1e-9, c.source)
		require.Equal(t, c.guessed, guessed != nil, c.source)
	}
}

func TestReclosingGrowsWithSizeAndThickness(t *testing.T) {
	last := models.Reclosing{}
	for _, nps := range metal.PipeSizes() {
		s := models.CoverSheet{Component: models.Component{Kind: "gate_valve", NPS: &nps, Connection: "flanged"},
			Cover: models.Cover{ThicknessMM: ref(10 + nps), Closure: "tape_sealant", Penetrations: ref(1)}}
		r, err := Reclosing(s, Remake{Blanket: true, Coat: true})
		require.NoError(t, err)
		require.Greater(t, r.TapeM.Value, last.TapeM.Value, nps)
		require.Greater(t, r.BlanketM2.Value, last.BlanketM2.Value, nps)
		require.Greater(t, r.CoatingML.Value, last.CoatingML.Value, nps)
		require.Greater(t, r.SealantML.Value, last.SealantML.Value, nps)
		last = r
	}
}
