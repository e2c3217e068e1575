package takeoff_test

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models/takeoff"
	"drylag/models/unit"
)

// checkCase is one row of testdata/check/physics.json; each carries its source.
type checkCase struct {
	ID       string
	Quantity string
	Inputs   map[string]value
	Expected map[string]value
	Source   string

	Tolerance map[string]struct{ Abs, Rel float64 }
}

type value struct {
	Value any
	Unit  string
}

// number gives an input as the case has it, in its own unit.
func (c checkCase) number(name string) float64 {
	x, ok := c.Inputs[name].Value.(float64)
	if !ok {
		return math.NaN()
	}
	return x
}

func (c checkCase) meter(name string) unit.Meter { return unit.Meter(c.number(name)) }

func (c checkCase) meters(name string) []unit.Meter {
	var out []unit.Meter
	for _, x := range c.Inputs[name].Value.([]any) {
		out = append(out, unit.Meter(x.(float64)))
	}
	return out
}

// solids turns the per cent of the cases into a share.
func (c checkCase) solids() unit.Fraction { return unit.Fraction(c.number("volume_solids") / 100) }

func (c checkCase) coating() takeoff.Coating {
	return takeoff.Coating{Film: unit.Micrometer(c.number("dft")), VolumeSolids: c.solids(), Loss: unit.Fraction(c.number("loss")), Coats: 1}
}

func (c checkCase) valve() takeoff.Valve {
	return takeoff.Valve{Flange: c.meter("d_flange"), FaceToFace: c.meter("face_to_face"), Bonnet: c.meter("d_bonnet"),
		BonnetHeight: c.meter("h_bonnet"), Thickness: c.meter("t_eff"), Pipe: c.meter("d_pipe")}
}

// answers maps a quantity to what it answers, in the units of the cases.
var answers = map[string]func(c checkCase) map[string]float64{
	"cover_stretch_out": func(c checkCase) map[string]float64 {
		wrap := takeoff.Wrap{Diameter: c.meter("d"), Length: c.meter("length"), Thickness: c.meter("t_eff"), Lap: c.meter("lap")}
		girth := takeoff.StretchOut(c.meter("d"), c.meter("t_eff"))
		return map[string]float64{"circumference": float64(girth), "area": float64(wrap.Area())}
	},
	"flange_pair_area": func(c checkCase) map[string]float64 {
		pair := takeoff.FlangePair{Flange: c.meter("d_flange"), Width: c.meter("width"), Thickness: c.meter("t_eff"), Pipe: c.meter("d_pipe")}
		return map[string]float64{"area": float64(pair.Area())}
	},
	"valve_cover_area": func(c checkCase) map[string]float64 {
		return map[string]float64{"area": float64(c.valve().Area())}
	},
	"box_area": func(c checkCase) map[string]float64 {
		box := takeoff.Box{Length: c.meter("l"), Width: c.meter("w"), Height: c.meter("h"), OpenBottom: c.Inputs["open_bottom"].Value.(bool)}
		return map[string]float64{"area": float64(box.Area())}
	},
	"seam_tape": func(c checkCase) map[string]float64 {
		length := takeoff.Seams{Ends: c.meters("ends"), Seams: c.meters("seams"), Penetrations: c.meters("penetrations"),
			Overlap: c.meter("overlap"), Waste: unit.Fraction(c.number("waste"))}.Tape()
		return map[string]float64{"length": float64(length), "rolls": takeoff.Rolls(length, c.meter("roll"))}
	},
	"sealant_volume": func(c checkCase) map[string]float64 {
		around := c.meter("perimeter")
		return map[string]float64{"fillet_ml": float64(takeoff.Fillet(around, c.meter("fillet_leg"))),
			"joint_ml": float64(takeoff.Joint(around, c.meter("joint_width"), c.meter("joint_depth")))}
	},
	"coating_volume": func(c checkCase) map[string]float64 {
		coating := c.coating()
		coating.Coats = int(c.number("coats"))
		return map[string]float64{"liters": float64(coating.Volume(unit.M2(c.number("area")))), "wft": float64(coating.WetFilm())}
	},
	"spreading_rate": func(c checkCase) map[string]float64 {
		return map[string]float64{"rate": c.coating().SpreadingRate()}
	},
	"spreading_rate_ip": func(c checkCase) map[string]float64 {
		return map[string]float64{"rate": takeoff.SpreadingRateIP(c.number("dft"), c.solids())}
	},
}

// A case that expects an error code expects NaN here: the code is put on by the
// caller, who knows the name of the field.
func TestChecks(t *testing.T) {
	text, err := os.ReadFile("../../testdata/check/physics.json")
	require.NoError(t, err)
	var cases []checkCase
	require.NoError(t, json.Unmarshal(text, &cases))
	seen := map[string]bool{}
	for _, c := range cases {
		answer, ours := answers[c.Quantity]
		if !ours {
			continue
		}
		seen[c.Quantity] = true
		t.Run(c.ID, func(t *testing.T) { compare(t, c, answer(c)) })
	}
	require.Len(t, seen, len(answers), "a quantity has no case")
}

func compare(t *testing.T, c checkCase, got map[string]float64) {
	require.NotEmpty(t, c.Source)
	require.NotEmpty(t, c.Expected)
	if _, refused := c.Expected["error"]; refused {
		for output, x := range got {
			require.True(t, math.IsNaN(x), "%s %s: want NaN, got %v", c.Source, output, x)
		}
		return
	}
	for output, want := range c.Expected {
		require.Contains(t, got, output)
		number, tol := want.Value.(float64), c.Tolerance[output]
		require.InDelta(t, number, got[output], math.Max(tol.Abs, tol.Rel*math.Abs(number)), "%s: %s", output, c.Source)
	}
}
