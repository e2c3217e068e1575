package register

import (
	"math"

	"drylag/models"
	moist "drylag/models/air"
	"drylag/models/unit"
)

// AirNow is a room's air, read by hand, against the metal under one of its
// covers on one day.
type AirNow struct {
	DewPointC float64 // of the room's air, °C; below 0 °C the frost point
	MetalC    float64 // of the metal, taken as that of its water, °C
	Assumed   bool    // nobody gave the service temperature
	Hot       bool    // the loop's hot season
	Stopped   bool    // the loop stands still: the metal is taken to be at air temperature
	Sweats    bool    // the metal is below the dew point: bared, it gets wet at once
}

// AirOn sets a room's air against the metal under a cover on a day. It reports
// false where the reading has neither humidity nor dew point or lies outside
// what moist air can be (ASHRAE Fundamentals 2017 ch. 1: -100 to 200 °C,
// humidity above 0 and at most 1).
func AirOn(s models.CoverSheet, on models.Date, rr models.RoomReading) (AirNow, bool) {
	dew := math.NaN()
	switch {
	case rr.DewPointC != nil:
		dew = *rr.DewPointC
	case rr.RH != nil:
		dew = float64(moist.DewPoint(unit.Celsius(rr.TempC), unit.Fraction(*rr.RH)))
	}
	if math.IsNaN(dew) || !(dew <= rr.TempC) {
		return AirNow{}, false
	}
	n := AirNow{DewPointC: dew}
	n.MetalC, n.Assumed = s.ServiceC()
	day := on.Time()
	switch s.WaterOn(int(day.Month()), day.Day()) {
	case models.StandingWater:
		n.MetalC, n.Assumed, n.Stopped = rr.TempC, true, true
	case models.HotWater:
		n.MetalC, n.Assumed, n.Hot = *s.Loop.HotC, false, true
	}
	n.Sweats = n.MetalC < n.DewPointC
	return n, true
}

// Saturation lists the saturation pressure of water vapor over ice or water in
// Pa at whole degrees Celsius from fromC to toC, so that a page without signal
// can look a dew point up instead of having formulas of its own.
func Saturation(fromC, toC int) []float64 {
	var out []float64
	for t := fromC; t <= toC; t++ {
		out = append(out, float64(moist.SatPressure(unit.Celsius(t))))
	}
	return out
}
