package reckon

import (
	"drylag/models/climate"
	"drylag/models/heat"
	"drylag/models/unit"
)

func climateInput() Input {
	return Input{Name: "climate", Label: "year of air: an hour table, an EPW file or a name", Shape: Climate, Unit: "file", Code: ClimateFile}
}

func outHours(label string) Output { return out("hours", label, unit.Time, "h") }

var sweatSource = unit.Derived.Source("saturation as ASHRAE Fundamentals 2017, chapter 1, eq 5 and 6, hour by hour")

// hours are the questions about a year of air.
var hours = []Quantity{
	{
		Name: "hours_metal_below_dew_point", Title: "Hours in which bare metal sweats", Group: Hours,
		Answers: "In how many hours of the year is metal of this temperature below the dew point?",
		Inputs:  []Input{climateInput(), temperature("t_metal", "metal temperature")},
		Outputs: []Output{outHours("hours below the dew point")},
		Method:  "hours with a vapor pressure above saturation at the metal",
		Source:  sweatSource,
		reckon: func(in Values) (Results, error) {
			return Results{"hours": num(in.year("climate").HoursBelowDewPoint(in.celsius("t_metal")))}, nil
		},
	},
	{
		Name: "hours_metal_surface_rh_over_80", Title: "Hours in which metal is damp", Group: Hours,
		Answers: "In how many hours of the year is the air at metal of this temperature damper than 80 %?",
		Inputs:  []Input{climateInput(), temperature("t_metal", "metal temperature")},
		Outputs: []Output{outHours("hours above 80 % at the metal")},
		Method:  "hours with a vapor pressure above 0.8 of saturation at the metal",
		Source:  unit.Derived.Source("the bound of ISO 9223:1992 applied to a cold surface"),
		reckon: func(in Values) (Results, error) {
			return Results{"hours": num(in.year("climate").HoursOverRH80(in.celsius("t_metal")))}, nil
		},
	},
	{
		Name: "vapor_drive_integral", Title: "Vapor drive of a year", Group: Hours,
		Answers: "How hard does the air of the year drive vapor to metal of this temperature?",
		Inputs:  []Input{climateInput(), temperature("t_metal", "metal temperature")},
		Outputs: []Output{
			out("pa_h", "drive of the hours that wet", unit.VaporDrive, "Pa h"),
			out("pa_h_net", "less that of the hours that dry; at or below 0 it can dry over the year", unit.VaporDrive, "Pa h"),
		},
		Method: "sum of vapor pressure less saturation at the metal over the hours",
		Source: sweatSource,
		reckon: func(in Values) (Results, error) {
			y, t := in.year("climate"), in.celsius("t_metal")
			return Results{"pa_h": num(y.Drive(t)), "pa_h_net": num(y.NetDrive(t))}, nil
		},
	},
	{
		Name: "time_of_wetness_iso9223", Title: "Time of wetness of the air", Group: Hours,
		Answers: "In how many hours of the year is the air above 80 % and above freezing?",
		Inputs:  []Input{climateInput()},
		Outputs: []Output{outHours("time of wetness")},
		Method:  "hours with more than 80 % and more than 0 °C, both strictly",
		Source:  unit.Read.Source("ISO 9223:1992 as quoted in a service-life paper"),
		reckon: func(in Values) (Results, error) {
			return Results{"hours": num(in.year("climate").TimeOfWetness())}, nil
		},
	},
	{
		Name: "hours_cover_surface_below_dew_point", Title: "Hours in which a cover sweats outside", Group: Hours,
		Answers: "In how many hours of the year is the outside of this cover below the dew point?",
		Inputs: []Input{
			climateInput(), temperature("t_fluid", "fluid temperature"), diameter("d_pipe", "outside diameter of the metal"),
			insulationThickness("t_ins", "thickness of the insulation"), conductivity("k0", "conductivity at 0 °C"), conductivityRise("k1"),
			emissivity(), airSpeed(),
		},
		Outputs: []Output{outHours("hours with the outside below the dew point")},
		Method:  "hour by hour, the balance of the cover at the dew point; surroundings as warm as the air, station pressure of the climate",
		Source:  heat.HoursSource,
		reckon:  hoursCoverSweats,
	},
}

func hoursCoverSweats(in Values) (Results, error) {
	y := in.year("climate")
	k := heat.Conductivity{AtZero: unit.WPerMK(in.num("k0")), PerK: in.num("k1")}
	low, high := y.span(in.celsius("t_fluid"))
	if err := above0("k0", k, low, high); err != nil {
		return nil, err
	}
	surfaces, err := y.surfaces()
	if err != nil {
		return nil, fault(ClimateRows, "climate", "%v", err)
	}
	cover := heat.Cylinder{
		Fluid: in.celsius("t_fluid"), Diameter: in.meter("d_pipe"), Emissivity: in.fraction("emissivity"),
		Layers: []heat.Layer{{Thickness: in.meter("t_ins"), K: k}},
	}
	return Results{"hours": num(surfaces.Hours(cover, unit.MPerS(in.num("air_speed"))))}, nil
}

// span is the coldest and the warmest of a temperature and all hours.
func (y *Year) span(with unit.Celsius) (low, high unit.Celsius) {
	low, high = with, with
	for _, h := range y.Hours {
		low, high = min(low, h.T), max(high, h.T)
	}
	return low, high
}

// surfaces is the year prepared for questions about covers, made at the first.
func (y *Year) surfaces() (*heat.SurfaceYear, error) {
	if y.surface != nil {
		return y.surface, nil
	}
	vapor := make([]unit.Pascal, len(y.Hours))
	for i, h := range y.Hours {
		vapor[i] = h.Vapor
	}
	var err error
	y.surface, err = heat.NewSurfaceYear(climate.Hourly{Hours: y.Hours}.Temperatures(), vapor, y.Pressure)
	return y.surface, err
}
