package demo

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"time"
)

// The campus lies in an invented mixed-humid place, 40 m above the sea.
const (
	zone     = "America/New_York"
	offsetH  = -5.0
	altitude = 40
)

// weatherFile is an invented typical year in the EPW format: a yearly and a
// daily wave with fronts of a few days laid over them.
func weatherFile() []byte {
	c := newChance(1)
	var b bytes.Buffer
	fmt.Fprintf(&b, "LOCATION,Invented Valley,-,-,invented typical year,000000,38.0,-77.0,%.1f,%d\r\n", offsetH, altitude)
	b.WriteString("DESIGN CONDITIONS,0\r\nTYPICAL/EXTREME PERIODS,0\r\nGROUND TEMPERATURES,0\r\n" +
		"HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0\r\nCOMMENTS 1,invented for the demo\r\nCOMMENTS 2,-\r\nDATA PERIODS,1,1,Data,Monday, 1/ 1,12/31\r\n")
	front, damp := 0.0, 0.0
	for h, at := 0, time.Date(2023, 1, 1, 0, 0, 0, 0, time.UTC); h < 8760; h, at = h+1, at.Add(time.Hour) {
		front = 0.985*front + 0.75*c.NormFloat64()
		damp = 0.98*damp + 0.35*c.NormFloat64()
		t, dp := weatherAt(h, at.Hour(), front, damp)
		fmt.Fprintf(&b, "2023,%d,%d,%d,0,-,%.1f,%.1f,%d,100900%s\r\n", at.Month(), at.Day(), at.Hour()+1, t, dp, 50, restOfRow)
	}
	return b.Bytes()
}

// restOfRow are the columns that drylag does not read, all "missing" but for
// the counts that the format wants.
var restOfRow = ",9999,9999,9999,9999,9999,9999,999999,999999,999999,9999,999,999,99,99,9999,99999,9,999999999,999,.999,999,99,999,999,99"

// weatherAt is dry bulb and dew point in °C of one hour of the year.
func weatherAt(h, hour int, front, damp float64) (t, dp float64) {
	year := 2 * math.Pi * (float64(h)/8760 - 0.56)
	t = 14.5 + 11.5*math.Cos(year) + 4.5*math.Cos(2*math.Pi*float64(hour-15)/24) + front
	dp = 8.3 + 11*math.Cos(year-0.12) + 0.7*front + damp
	return t, math.Min(dp, t-0.2)
}

// loggerFile is eleven months of a logger in a plant room, written as such
// loggers write, with a gap of three days.
func loggerFile(until time.Time, tempC, extraK float64) []byte {
	c := newChance(2)
	var b strings.Builder
	b.WriteString("Date Time,Temp (°C),RH (%)\n")
	loc, err := time.LoadLocation(zone)
	if err != nil {
		loc = time.UTC
	}
	start := until.AddDate(0, -11, 0).Truncate(time.Hour)
	damp := 0.0
	for at := start; at.Before(until); at = at.Add(time.Hour) {
		damp = 0.97*damp + 0.3*c.NormFloat64()
		if gap := at.Sub(start); gap > 2000*time.Hour && gap < 2072*time.Hour {
			continue
		}
		local := at.In(loc)
		_, dp := weatherAt(local.YearDay()*24-24+local.Hour(), local.Hour(), 0, damp+extraK)
		t := tempC + 1.2*math.Cos(2*math.Pi*float64(local.Hour()-16)/24)
		fmt.Fprintf(&b, "%s,%.1f,%.0f\n", local.Format("2006-01-02 15:04"), t, math.Min(99, 100*magnus(dp)/magnus(t)))
	}
	return []byte(b.String())
}

// magnus is a rough saturation pressure, in hPa, good enough to invent air with.
func magnus(c float64) float64 { return 6.112 * math.Exp(17.62*c/(243.12+c)) }
