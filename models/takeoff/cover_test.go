package takeoff_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"drylag/models"
	"drylag/models/metal"
	"drylag/models/takeoff"
	"drylag/models/unit"
)

func known[Q ~float64](x Q) *Q { return &x }

func count(n int) *int { return &n }

// measuredGate is an NPS 4 gate valve of which every size is known.
func measuredGate() takeoff.Closing {
	return takeoff.Closing{
		Kind: "gate_valve", Connection: "flanged", Closure: "tape",
		Measured: takeoff.Measured{Pipe: known[unit.Meter](0.1143), Flange: known[unit.Meter](0.229), FaceToFace: known[unit.Meter](0.229),
			Bonnet: known[unit.Meter](0.14), BonnetHeight: known[unit.Meter](0.2), Seam: known[unit.Meter](0.4)},
		Thickness: known[unit.Meter](0.025), Penetrations: count(1), Perimeters: []unit.Meter{0.16},
		TapeLap: known[unit.Meter](0.05), Waste: known[unit.Fraction](0.1), Leg: known[unit.Meter](0.006), Joint: known[unit.Meter](0.003),
	}
}

// standard fills the tables of a nominal size as a caller does.
func standard(nps float64) takeoff.Standard {
	var s takeoff.Standard
	if p, ok := metal.PipeOf(nps, "STD"); ok {
		s.Pipe = known(unit.Meter(p.ODMM / 1000))
	}
	if f, ok := metal.FlangeOf(nps); ok {
		s.Flange, s.FlangeThickness = known(unit.Meter(f.ODMM/1000)), known(unit.Meter(f.ThicknessMM/1000))
	}
	if l, ok := metal.GateFaceToFace(nps); ok {
		s.GateLength = known(unit.Meter(l / 1000))
	}
	return s
}

// By hand: ends 2·π·0.279, seam 0.4, edge of the bonnet π·0.19, stem 0.16, five
// laps of 0.05, a tenth of waste.
func TestMeasuredCoverAssumesNothing(t *testing.T) {
	c := measuredGate()
	c.NewBlanket = true
	c.Coat = &takeoff.Coat{Area: known[unit.M2](0.3), Coating: takeoff.Coating{Film: 125, VolumeSolids: 0.65, Loss: 0.2, Coats: 2}}
	got := takeoff.ForCover(c)
	require.InEpsilon(t, 0.4656759386, float64(got.Cover.Amount), 1e-9, "valve_cover_area-001")
	require.Equal(t, got.Cover, got.Blanket)
	require.InEpsilon(t, 1.1*(2*math.Pi*0.279+0.4+math.Pi*0.19+0.16+5*0.05), float64(got.Tape.Amount), 1e-9)
	require.InEpsilon(t, 2.88, float64(got.Sealant.Amount), 1e-9, "sealant_volume-001")
	require.InEpsilon(t, 0.3/1.8*0.8653846154, float64(got.Coating.Amount), 1e-9, "coating_volume-001 in proportion")
	for name, assumed := range assumptions(got) {
		require.Empty(t, assumed, name)
	}
}

func assumptions(m takeoff.Materials) map[string][]takeoff.Assumption {
	return map[string][]takeoff.Assumption{"cover": m.Cover.Assumed, "blanket": m.Blanket.Assumed, "tape": m.Tape.Assumed,
		"sealant": m.Sealant.Assumed, "coating": m.Coating.Assumed}
}

func names(assumed []takeoff.Assumption) []string {
	var out []string
	for _, a := range assumed {
		out = append(out, a.What)
	}
	return out
}

// Each size that is taken away is named beside the amounts that rest on it, and
// beside no other.
func TestEachAmountNamesWhatItRestsOn(t *testing.T) {
	cases := []struct {
		name        string
		change      func(*takeoff.Closing)
		cover, tape []string
		sealant     string
	}{
		{name: "thickness", change: func(c *takeoff.Closing) { c.Thickness = nil }, cover: []string{"insulation thickness"}, tape: []string{"insulation thickness"}},
		{name: "pipe", change: func(c *takeoff.Closing) { c.Measured.Pipe = nil }, cover: []string{"pipe diameter"}},
		{name: "flange", change: func(c *takeoff.Closing) { c.Measured.Flange = nil }, cover: []string{"flange diameter"}, tape: []string{"flange diameter"}},
		{name: "length", change: func(c *takeoff.Closing) { c.Measured.FaceToFace = nil }, cover: []string{"face-to-face length"}},
		{name: "height", change: func(c *takeoff.Closing) { c.Measured.BonnetHeight = nil }, cover: []string{"bonnet or leg height"}, tape: []string{"bonnet or leg height"}},
		{name: "seam", change: func(c *takeoff.Closing) { c.Measured.Seam = nil }, tape: []string{"long seam"}},
		{name: "connection", change: func(c *takeoff.Closing) { c.Connection, c.Measured.Flange = "", known[unit.Meter](0.229) }},
		{name: "perimeter", change: func(c *takeoff.Closing) { c.Perimeters = nil }, tape: []string{"perimeter of a penetration"}, sealant: "perimeter of a penetration"},
		{name: "count", change: func(c *takeoff.Closing) { c.Penetrations, c.Perimeters = nil, nil }, tape: []string{"penetrations"}, sealant: "penetrations"},
		{name: "lap", change: func(c *takeoff.Closing) { c.TapeLap = nil }, tape: []string{"lap of tape on tape"}},
		{name: "waste", change: func(c *takeoff.Closing) { c.Waste = nil }, tape: []string{"waste of tape"}},
		{name: "leg", change: func(c *takeoff.Closing) { c.Leg = nil }, sealant: "leg of the fillet"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			closing := measuredGate()
			c.change(&closing)
			got := takeoff.ForCover(closing)
			require.Equal(t, c.cover, names(got.Cover.Assumed), "cover")
			require.Equal(t, c.tape, names(got.Tape.Assumed), "tape")
			if c.sealant == "" {
				require.Empty(t, got.Sealant.Assumed)
				return
			}
			require.Equal(t, []string{c.sealant}, names(got.Sealant.Assumed))
		})
	}
}

// A size of a standard is no assumption, but a gate valve's length says nothing
// sure about another valve.
func TestSizesOfStandards(t *testing.T) {
	c := measuredGate()
	c.Measured, c.Standard = takeoff.Measured{Bonnet: c.Measured.Bonnet, BonnetHeight: c.Measured.BonnetHeight}, standard(4)
	gate := takeoff.ForCover(c)
	require.Empty(t, gate.Cover.Assumed)
	require.InEpsilon(t, 0.4656759386, float64(gate.Cover.Amount), 2e-3, "valve_cover_area-001, whose flange is rounded to mm")
	c.Kind = "check_valve"
	require.Equal(t, []string{"face-to-face length"}, names(takeoff.ForCover(c).Cover.Assumed))
	c.Connection = ""
	require.Equal(t, []string{"connection", "face-to-face length"}, names(takeoff.ForCover(c).Cover.Assumed))
	c = takeoff.Closing{Kind: "flange_pair", Connection: "flanged", Standard: standard(6), Thickness: known[unit.Meter](0.025)}
	require.Empty(t, takeoff.ForCover(c).Cover.Assumed)
	c = takeoff.Closing{Kind: "elbow", Connection: "welded", Standard: standard(6), Thickness: known[unit.Meter](0.025)}
	require.Equal(t, []string{"diameter of the part", "length of the part"}, names(takeoff.ForCover(c).Cover.Assumed))
}

// The lines that stand in for the tables stay within a tenth of them.
func TestAssumedSizesStayNearTheTables(t *testing.T) {
	for _, nps := range []float64{2, 2.5, 3, 4, 5, 6, 8, 10, 12, 14, 16, 18, 20, 24} {
		s := standard(nps)
		pipeOnly := takeoff.Standard{Pipe: s.Pipe}
		flanges := takeoff.ForCover(takeoff.Closing{Kind: "flange_pair", Standard: pipeOnly, Thickness: known[unit.Meter](0)}).Cover
		for _, a := range flanges.Assumed {
			switch a.What {
			case "flange diameter":
				require.InEpsilon(t, float64(*s.Flange), float64(a.Value.(unit.Meter)), 0.1, "ASME B16.5 class 150, NPS %g", nps)
			case "flange thickness":
				require.InEpsilon(t, float64(*s.FlangeThickness), float64(a.Value.(unit.Meter)), 0.1, "ASME B16.5 class 150, NPS %g", nps)
			}
		}
		require.Len(t, flanges.Assumed, 2, "diameter and thickness")
		gate := takeoff.ForCover(takeoff.Closing{Kind: "gate_valve", Standard: pipeOnly}).Cover
		for _, a := range gate.Assumed {
			if a.What == "face-to-face length" {
				require.InEpsilon(t, float64(*s.GateLength), float64(a.Value.(unit.Meter)), 0.1, "ASME B16.10, NPS %g", nps)
			}
		}
		require.Contains(t, names(gate.Assumed), "face-to-face length")
	}
}

// Whatever the record says, every kind takes a finite amount, and every
// assumption has its words.
func TestEveryKindHasItsMaterials(t *testing.T) {
	kinds := []string{""}
	for _, w := range models.ComponentKinds {
		kinds = append(kinds, w.Code)
	}
	closures, connections := []string{""}, []string{""}
	for _, w := range models.Closures {
		closures = append(closures, w.Code)
	}
	for _, w := range models.Connections {
		connections = append(connections, w.Code)
	}
	rapid.Check(t, func(t *rapid.T) {
		c := takeoff.Closing{Kind: rapid.SampledFrom(kinds).Draw(t, "kind"), Closure: rapid.SampledFrom(closures).Draw(t, "closure"),
			Connection: rapid.SampledFrom(connections).Draw(t, "connection"), NewBlanket: true,
			Coat: &takeoff.Coat{Coating: takeoff.Coating{Film: 125, VolumeSolids: 0.65, Coats: 1}}}
		if rapid.Bool().Draw(t, "sized") {
			c.Standard = standard(rapid.SampledFrom(metal.PipeSizes()).Draw(t, "nps"))
		}
		if rapid.Bool().Draw(t, "counted") {
			c.Penetrations = count(rapid.IntRange(0, 8).Draw(t, "penetrations"))
		}
		got := takeoff.ForCover(c)
		require.Positive(t, got.Cover.Amount)
		require.Positive(t, got.Coating.Amount)
		require.NotEmpty(t, got.Coating.Assumed)
		require.Equal(t, (models.Cover{Closure: c.Closure}).Taped() || c.Closure == "", got.Tape.Amount > 0)
		for name, assumed := range assumptions(got) {
			for _, a := range assumed {
				require.NotEmpty(t, a.What, name)
				require.NotEmpty(t, a.Why, name)
			}
		}
		bigger := c
		bigger.Standard = standard(24)
		require.GreaterOrEqual(t, takeoff.ForCover(bigger).Cover.Amount, got.Cover.Amount, "NPS 24 is the largest of the tables")
	})
}

// The places of the record are the places of the take-off: all of them one by
// one take what leaving the list out takes.
func TestPlacesOfTheRecord(t *testing.T) {
	for _, closure := range []string{"tape", "sealant", "tape_sealant"} {
		for _, kind := range []string{"gate_valve", "pump", "elbow"} {
			c := takeoff.Closing{Kind: kind, Closure: closure, Standard: standard(4), Penetrations: count(3), Perimeters: []unit.Meter{0.1}}
			whole := takeoff.ForCover(c)
			var tape unit.Meter
			var sealant unit.Milliliter
			for _, place := range (models.Cover{Penetrations: count(3)}).Places() {
				c.Places = []string{string(place)}
				one := takeoff.ForCover(c)
				tape, sealant = tape+one.Tape.Amount, sealant+one.Sealant.Amount
			}
			require.InDelta(t, float64(whole.Tape.Amount), float64(tape), rounding, "%s %s", closure, kind)
			require.InDelta(t, float64(whole.Sealant.Amount), float64(sealant), rounding, "%s %s", closure, kind)
			c.Places = []string{}
			none := takeoff.ForCover(c)
			require.Zero(t, none.Tape.Amount)
			require.Zero(t, none.Sealant.Amount)
		}
	}
}

func TestClosures(t *testing.T) {
	c := measuredGate()
	tape := takeoff.ForCover(c)
	c.Closure = "straps"
	straps := takeoff.ForCover(c)
	require.Zero(t, straps.Tape.Amount)
	require.Equal(t, tape.Sealant, straps.Sealant, "penetrations are sealed whatever holds the cover")
	c.Closure = "sealant"
	sealed := takeoff.ForCover(c)
	require.Zero(t, sealed.Tape.Amount)
	lines := 2*math.Pi*0.279 + 0.4 + math.Pi*0.19
	require.InEpsilon(t, 2.88+lines*0.003*0.025*1e6, float64(sealed.Sealant.Amount), 1e-9)
	c.Closure = "tape_sealant"
	both := takeoff.ForCover(c)
	require.Equal(t, tape.Tape, both.Tape)
	require.Equal(t, sealed.Sealant, both.Sealant)
}

func TestPump(t *testing.T) {
	c := measuredGate()
	c.Kind, c.Measured = "pump", takeoff.Measured{Box: &takeoff.Box{Length: 0.9, Width: 0.5, Height: 0.6}, Pipe: known[unit.Meter](0.1143)}
	got := takeoff.ForCover(c)
	require.InEpsilon(t, 2.58, float64(got.Cover.Amount), 1e-9, "box_area-001")
	require.Empty(t, got.Cover.Assumed)
	require.Equal(t, []string{"long seam"}, names(got.Tape.Assumed))
	ends, seam, edges := 2*math.Pi*(0.1143+0.05), 2*(0.9+0.6), 4*0.6
	require.InEpsilon(t, 1.1*(ends+seam+edges+0.16+5*0.05), float64(got.Tape.Amount), 1e-9)
}

func TestNonsenseIsNaN(t *testing.T) {
	cases := map[string]func(*takeoff.Closing){
		"no such place":            func(c *takeoff.Closing) { c.Places = []string{"long_seam", "lid"} },
		"penetration nought":       func(c *takeoff.Closing) { c.Places = []string{"penetration_0"} },
		"penetration without one":  func(c *takeoff.Closing) { c.Places = []string{"penetration_x"} },
		"negative count":           func(c *takeoff.Closing) { c.Penetrations = count(-1) },
		"negative thickness":       func(c *takeoff.Closing) { c.Thickness = known[unit.Meter](-0.01) },
		"flange that is no number": func(c *takeoff.Closing) { c.Measured.Flange = known(unit.Meter(math.NaN())) },
	}
	for name, change := range cases {
		c := measuredGate()
		change(&c)
		got := takeoff.ForCover(c)
		require.True(t, math.IsNaN(float64(got.Tape.Amount)), "%s: %v", name, got.Tape.Amount)
	}
	c := measuredGate()
	c.Places = []string{"lid"}
	got := takeoff.ForCover(c)
	for _, x := range []float64{float64(got.Cover.Amount), float64(got.Blanket.Amount), float64(got.Sealant.Amount), float64(got.Coating.Amount)} {
		require.True(t, math.IsNaN(x))
	}
}
