package metal_test

import (
	"github.com/stretchr/testify/require"

	"drylag/models/metal"
)

// quantities answers each quantity of testdata/check/standards.json with the
// package's own units; words are strings, "no interval" is nil.
var quantities = map[string]func(inputs) map[string]any{
	"cui_table_rate": func(in inputs) map[string]any {
		return map[string]any{"rate": metal.TableRate(in.number("t_service"), metal.Driver(in.word("driver")))}
	},
	"unit_conversion": func(in inputs) map[string]any {
		return map[string]any{"value": metal.MMPerYear(in.number("value"))}
	},
	"cui_driver": func(in inputs) map[string]any {
		return map[string]any{"driver": string(metal.DriverOf(in.number("wet_fraction"), in.yes("below_dew_point")))}
	},
	"stainless_cracking_susceptibility": func(in inputs) map[string]any {
		return map[string]any{"susceptibility": string(metal.Cracking(in.number("t_service"), metal.Driver(in.word("driver"))))}
	},
	"coating_credit": func(in inputs) map[string]any {
		return map[string]any{"credit": metal.CoatingCredit(metal.CoatingQuality(in.word("quality")))}
	},
	"pooling_penalty":           pooled,
	"d610_grade":                d610,
	"iso4628_3_area":            riArea,
	"preparation_grade":         preparation,
	"thickness_trend":           trend,
	"thickness_interval":        interval,
	"class_maximum_interval":    classMaximum,
	"pressure_thickness":        pressureThickness,
	"pipe_size":                 pipeSize,
	"class_150_flange":          flange,
	"wall_after_mill_tolerance": newWall,
	"wall_loss": func(in inputs) map[string]any {
		return map[string]any{"loss": metal.WallLoss(in.number("nominal"), in.number("measured"))}
	},
	"iso9223_carbon_steel": func(in inputs) map[string]any {
		return map[string]any{"rate": metal.FirstYearLoss(metal.Atmosphere{
			TempC: in.number("t"), RelHumidity: in.number("rh"), SO2: in.number("so2"), Chloride: in.number("chloride"),
		})}
	},
	"corrosivity_category": func(in inputs) map[string]any {
		return map[string]any{"category": metal.Category(in.number("rate"))}
	},
	"time_of_wetness_class": func(in inputs) map[string]any {
		return map[string]any{"class": metal.WetnessClass(in.number("wet_hours"))}
	},
	"iso9224_loss": func(in inputs) map[string]any {
		return map[string]any{"loss": metal.LongTermLoss(in.number("rate"), in.number("years"), in.number("b"))}
	},
}

func pooled(in inputs) map[string]any {
	factor := metal.DefaultFactors().At(metal.Surroundings{Pools: in.yes("pools_or_interface")}).Pooling
	return map[string]any{"rate": metal.MMPerYear(in.number("rate")) * factor}
}

func d610(in inputs) map[string]any {
	grade, ok := metal.D610Of(in.percent("rusted_area"))
	require.True(in.t, ok)
	return map[string]any{"grade": float64(grade)}
}

func riArea(in inputs) map[string]any {
	degree := metal.Ri(in.word("grade")[len("Ri ")] - '0')
	low, high, ok := degree.Area()
	require.True(in.t, ok)
	require.Equal(in.t, low, high)
	return map[string]any{"rusted_area": low / 100}
}

func preparation(in inputs) map[string]any {
	p, ok := metal.PreparationNamed(in.word("sspc"))
	require.True(in.t, ok)
	return map[string]any{"iso": p.ISO}
}

func trend(in inputs) map[string]any {
	at := func(when string) metal.Reading {
		return metal.Reading{Year: in.number("year_" + when), MM: in.number("t_" + when)}
	}
	m, ok := metal.MeasuredRate([]metal.Reading{at("first"), at("previous"), at("last")}, metal.DefaultGaugeErrorMM)
	require.True(in.t, ok)
	life := metal.RemainingLife(in.number("t_last"), in.number("t_required"), m.Rate)
	return map[string]any{
		"long_term_rate": *m.LongTerm, "short_term_rate": *m.ShortTerm,
		"remaining_life": life, "half_life": metal.ThicknessInterval(life, nil),
	}
}

func interval(in inputs) map[string]any {
	life := metal.RemainingLife(in.number("t_last"), in.number("t_required"), in.number("rate"))
	return map[string]any{"interval": metal.ThicknessInterval(life, new(in.number("class_maximum")))}
}

func classMaximum(in inputs) map[string]any {
	limits, ok := metal.ClassLimits(int(in.number("class")))
	require.True(in.t, ok)
	limit := limits.Thickness
	if in.word("look") == "external_visual" {
		limit = limits.Visual
	}
	if limit == nil {
		return map[string]any{"interval": nil}
	}
	return map[string]any{"interval": *limit}
}

func pressureThickness(in inputs) map[string]any {
	return map[string]any{"t": metal.PressureDesign{
		PressureMPa: in.number("pressure"), ODMM: in.number("od"), StressMPa: in.number("stress"),
		E: in.number("e"), W: in.number("w"), Y: in.number("y"),
	}.Thickness()}
}

func newWall(in inputs) map[string]any {
	return map[string]any{"wall": metal.LeastNewWall(in.number("wall"), in.number("tolerance"))}
}

// pipeSize takes the standard's inches only where the case asks for inches: it
// prints the two units separately.
func pipeSize(in inputs) map[string]any {
	p, ok := metal.PipeOf(in.nominal(), in.word("schedule"))
	require.True(in.t, ok)
	if in.inches {
		return map[string]any{"od": p.ODIn * 25.4, "wall": p.WallIn * 25.4}
	}
	return map[string]any{"od": p.ODMM, "wall": p.WallMM}
}

func flange(in inputs) map[string]any {
	f, ok := metal.FlangeOf(in.nominal())
	require.True(in.t, ok)
	return map[string]any{
		"od": f.ODMM, "thickness": f.ThicknessMM, "bolt_circle": f.BoltCircleMM,
		"bolts": float64(f.Bolts), "hole": f.HoleMM,
	}
}
