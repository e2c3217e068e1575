package reckon

import (
	"math"

	"drylag/models/air"
	"drylag/models/unit"
)

// psychrometrics is where the formulas of moist air stand.
func psychrometrics(equations string) Source {
	return unit.Library.Source("ASHRAE Fundamentals 2017, chapter 1, " + equations + ", as cited in PsychroLib 2.5.0")
}

// moistAir are the questions about the air of a room.
var moistAir = []Quantity{
	{
		Name: "sat_vapor_pressure", Title: "Saturation vapor pressure", Group: MoistAir,
		Answers: "How much vapor pressure can air hold at this temperature?",
		Inputs:  []Input{temperature("t", "temperature")},
		Outputs: []Output{outVapor("p_ws", "saturation vapor pressure")},
		Method:  "Hyland and Wexler: over ice at and below 0.01 °C, over water above",
		Source:  psychrometrics("eq 5 and 6"),
		reckon: func(in Values) (Results, error) {
			return Results{"p_ws": num(air.SatPressure(in.celsius("t")))}, nil
		},
	},
	{
		Name: "vapor_pressure", Title: "Vapor pressure of air", Group: MoistAir,
		Answers: "What is the vapor pressure of air of this temperature and humidity?",
		Inputs:  []Input{temperature("t", "air temperature"), relHumidity("rh")},
		Outputs: []Output{outVapor("p_w", "vapor pressure")},
		Method:  "relative humidity times saturation; over ice below 0.01 °C",
		Source:  psychrometrics("eq 12 and 22"),
		reckon: func(in Values) (Results, error) {
			return Results{"p_w": num(air.VaporPressure(in.celsius("t"), in.fraction("rh")))}, nil
		},
	},
	{
		Name: "dew_point", Title: "Dew point of air", Group: MoistAir,
		Answers: "Below what temperature does metal sweat in this air?",
		Inputs:  []Input{temperature("t", "air temperature"), someHumidity("rh")},
		Outputs: []Output{outTemperature("t_dp", "dew point")},
		Method:  "temperature of equal saturation pressure; the frost point at and below 0.01 °C",
		Source:  psychrometrics("root of eq 5 and 6"),
		reckon:  dewPoint,
	},
	{
		Name: "dew_point_ip", Title: "Dew point of air, °F", Group: MoistAir,
		Answers: "Below what temperature does metal sweat in this air, in °F?",
		Inputs:  []Input{temperature("t", "air temperature"), someHumidity("rh")},
		Outputs: []Output{outTemperature("t_dp", "dew point")},
		Method:  "temperature of equal saturation pressure; the frost point at and below 0.01 °C",
		Source:  psychrometrics("root of eq 5 and 6"),
		reckon:  dewPoint,
	},
	{
		Name: "dew_point_from_pv", Title: "Dew point from vapor pressure", Group: MoistAir,
		Answers: "At what temperature is this vapor pressure saturation?",
		Inputs:  []Input{vaporPressure("p_w", "vapor pressure").within(float64(air.SatPressure(air.MinTemp)), float64(air.SatPressure(air.MaxTemp)), PVRange)},
		Outputs: []Output{outTemperature("t_dp", "dew point")},
		Method:  "temperature of equal saturation pressure, -100 to 200 °C",
		Source:  psychrometrics("root of eq 5 and 6"),
		reckon: func(in Values) (Results, error) {
			return Results{"t_dp": num(air.DewPointFromPressure(in.pascal("p_w")))}, nil
		},
	},
	{
		Name: "humidity_ratio", Title: "Humidity ratio of air", Group: MoistAir,
		Answers: "How much vapor does each kilogram of dry air carry?",
		Inputs:  []Input{temperature("t", "air temperature"), relHumidity("rh"), stationPressure("p")},
		Outputs: []Output{outRatio()},
		Method:  "0.621945 p_w/(p - p_w), at least 1e-7",
		Source:  psychrometrics("eq 20"),
		reckon: func(in Values) (Results, error) {
			pw := air.VaporPressure(in.celsius("t"), in.fraction("rh"))
			if err := belowStation(pw, in.pascal("p"), "p"); err != nil {
				return nil, err
			}
			return Results{"w": num(air.HumidityRatio(pw, in.pascal("p")))}, nil
		},
	},
	{
		Name: "humidity_ratio_from_pv", Title: "Humidity ratio from vapor pressure", Group: MoistAir,
		Answers: "How much vapor does each kilogram of dry air carry at this vapor pressure?",
		Inputs:  []Input{vaporPressure("p_w", "vapor pressure"), stationPressure("p")},
		Outputs: []Output{outRatio()},
		Method:  "0.621945 p_w/(p - p_w), at least 1e-7",
		Source:  psychrometrics("eq 20"),
		reckon: func(in Values) (Results, error) {
			if err := belowStation(in.pascal("p_w"), in.pascal("p"), "p_w"); err != nil {
				return nil, err
			}
			return Results{"w": num(air.HumidityRatio(in.pascal("p_w"), in.pascal("p")))}, nil
		},
	},
	{
		Name: "humidity_ratio_from_wet_bulb", Title: "Humidity ratio from wet bulb", Group: MoistAir,
		Answers: "How much vapor does air carry whose wet bulb reads this?",
		Inputs:  wetBulbInputs,
		Outputs: []Output{outRatio()},
		Method:  "heat balance of the wet bulb: as water at and above 0 °C, as ice below",
		Source:  psychrometrics("eq 33 and 35"),
		reckon: func(in Values) (Results, error) {
			if err := wetBulbHolds(in); err != nil {
				return nil, err
			}
			return Results{"w": num(air.HumidityRatioFromWetBulb(in.celsius("t"), in.celsius("t_wb"), in.pascal("p")))}, nil
		},
	},
	{
		Name: "wet_bulb", Title: "Wet bulb of air", Group: MoistAir,
		Answers: "What does a wet-bulb thermometer read in this air?",
		Inputs:  []Input{temperature("t", "air temperature"), relHumidity("rh"), stationPressure("p")},
		Outputs: []Output{outTemperature("t_wb", "wet bulb")},
		Method:  "root of the heat balance of the wet bulb: as water first, as ice where water has no root",
		Source:  psychrometrics("root of eq 33 and 35"),
		reckon: func(in Values) (Results, error) {
			pw := air.VaporPressure(in.celsius("t"), in.fraction("rh"))
			if err := belowStation(pw, in.pascal("p"), "p"); err != nil {
				return nil, err
			}
			return Results{"t_wb": num(air.WetBulb(in.celsius("t"), in.fraction("rh"), in.pascal("p")))}, nil
		},
	},
	{
		Name: "rh_from_wet_bulb", Title: "Relative humidity from wet bulb", Group: MoistAir,
		Answers: "How humid is air with these two thermometer readings?",
		Inputs:  wetBulbInputs,
		Outputs: []Output{outHumidity()},
		Method:  "heat balance of the wet bulb: as water at and above 0 °C, as ice below",
		Source:  psychrometrics("eq 20, 33 and 35"),
		reckon: func(in Values) (Results, error) {
			if err := wetBulbHolds(in); err != nil {
				return nil, err
			}
			return Results{"rh": num(air.RelHumidityFromWetBulb(in.celsius("t"), in.celsius("t_wb"), in.pascal("p")))}, nil
		},
	},
	{
		Name: "rh_from_dew_point", Title: "Relative humidity from dew point", Group: MoistAir,
		Answers: "How humid is air of this temperature and dew point?",
		Inputs:  []Input{temperature("t", "air temperature"), temperature("t_dp", "dew point")},
		Outputs: []Output{outHumidity()},
		Method:  "ratio of the saturation pressures at both temperatures",
		Source:  psychrometrics("eq 12"),
		reckon: func(in Values) (Results, error) {
			if in.num("t_dp") > in.num("t") {
				return nil, fault(DPAboveDB, "t_dp", "the dew point cannot be above the air temperature")
			}
			return Results{"rh": num(air.RelHumidityFromDewPoint(in.celsius("t"), in.celsius("t_dp")))}, nil
		},
	},
	{
		Name: "moist_air_density", Title: "Density of moist air", Group: MoistAir,
		Answers: "How heavy is a cubic meter of this air?",
		Inputs:  []Input{temperature("t", "air temperature"), relHumidity("rh"), stationPressure("p")},
		Outputs: []Output{out("rho", "density", unit.Density, "kg/m3")},
		Method:  "ideal gas, dry air and vapor",
		Source:  psychrometrics("eq 11 and 26"),
		reckon: func(in Values) (Results, error) {
			pw := air.VaporPressure(in.celsius("t"), in.fraction("rh"))
			if err := belowStation(pw, in.pascal("p"), "p"); err != nil {
				return nil, err
			}
			return Results{"rho": num(air.Density(in.celsius("t"), in.fraction("rh"), in.pascal("p")))}, nil
		},
	},
	{
		Name: "pressure_at_altitude", Title: "Station pressure at an altitude", Group: MoistAir,
		Answers: "What is the usual air pressure this high above the sea?",
		Inputs:  []Input{number("z", "altitude", unit.Length, "m").within(-500, 11000, ZRange)},
		Outputs: []Output{out("p", "station pressure", unit.Pressure, "Pa")},
		Method:  "standard atmosphere: 101325 (1 - 2.25577e-5 z)^5.2559",
		Source:  psychrometrics("eq 3"),
		reckon: func(in Values) (Results, error) {
			return Results{"p": num(air.PressureAtAltitude(in.meter("z")))}, nil
		},
	},
}

var wetBulbInputs = []Input{temperature("t", "air temperature"), temperature("t_wb", "wet bulb"), stationPressure("p")}

func vaporPressure(name, label string) Input {
	return number(name, label, unit.VaporPressure, "Pa").within(0, 2e6, PVRange)
}

func outVapor(name, label string) Output { return out(name, label, unit.VaporPressure, "Pa") }

func outRatio() Output { return out("w", "humidity ratio", unit.HumidityRatio, "kg/kg") }

func outHumidity() Output { return out("rh", "relative humidity", unit.Share, "1") }

func dewPoint(in Values) (Results, error) {
	dew := float64(air.DewPoint(in.celsius("t"), in.fraction("rh")))
	if math.IsNaN(dew) {
		return nil, fault(RHRange, "rh", "this air is so dry that its dew point lies below -100 °C")
	}
	return Results{"t_dp": num(dew)}, nil
}

// belowStation refuses a vapor pressure that leaves no room for dry air; field
// is what can be mended.
func belowStation(pw, p unit.Pascal, field string) error {
	if pw < p {
		return nil
	}
	return fault(PVRange, field, "the vapor pressure is %.6g Pa and must be below the station pressure, %.6g Pa", pw, p)
}

// wetBulbHolds refuses a wet bulb above the air, and one at which water boils.
func wetBulbHolds(in Values) error {
	if in.num("t_wb") > in.num("t") {
		return fault(WBAboveDB, "t_wb", "the wet bulb cannot be above the air temperature")
	}
	return belowStation(air.SatPressure(in.celsius("t_wb")), in.pascal("p"), "p")
}
