package takeoff_test

import (
	"testing"

	"drylag/models/takeoff"
	"drylag/models/unit"
	"drylag/testdata/check"
)

// checkCase reads a case of testdata/check/physics.json in the units of this package.
type checkCase struct{ check.Case }

func (c checkCase) meter(name string) unit.Meter { return unit.Meter(c.Number(name)) }

func (c checkCase) meters(name string) []unit.Meter {
	var out []unit.Meter
	for _, x := range c.Inputs[name].Value.([]any) {
		out = append(out, unit.Meter(x.(float64)))
	}
	return out
}

// solids turns the per cent of the cases into a share.
func (c checkCase) solids() unit.Fraction { return unit.Fraction(c.Number("volume_solids") / 100) }

func (c checkCase) coating() takeoff.Coating {
	return takeoff.Coating{Film: unit.Micrometer(c.Number("dft")), VolumeSolids: c.solids(), Loss: unit.Fraction(c.Number("loss")), Coats: 1}
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
			Overlap: c.meter("overlap"), Waste: unit.Fraction(c.Number("waste"))}.Tape()
		return map[string]float64{"length": float64(length), "rolls": takeoff.Rolls(length, c.meter("roll"))}
	},
	"sealant_volume": func(c checkCase) map[string]float64 {
		around := c.meter("perimeter")
		return map[string]float64{"fillet_ml": float64(takeoff.Fillet(around, c.meter("fillet_leg"))),
			"joint_ml": float64(takeoff.Joint(around, c.meter("joint_width"), c.meter("joint_depth")))}
	},
	"coating_volume": func(c checkCase) map[string]float64 {
		coating := c.coating()
		coating.Coats = int(c.Number("coats"))
		return map[string]float64{"liters": float64(coating.Volume(unit.M2(c.Number("area")))), "wft": float64(coating.WetFilm())}
	},
	"spreading_rate": func(c checkCase) map[string]float64 {
		return map[string]float64{"rate": c.coating().SpreadingRate()}
	},
	"spreading_rate_ip": func(c checkCase) map[string]float64 {
		return map[string]float64{"rate": takeoff.SpreadingRateIP(c.Number("dft"), c.solids())}
	},
}

func TestChecks(t *testing.T) {
	check.Run(t, check.Physics(t), answers, func(t *testing.T, c check.Case, answer func(checkCase) map[string]float64) {
		check.Hold(t, c, answer(checkCase{c}))
	})
}
