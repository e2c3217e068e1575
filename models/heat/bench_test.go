package heat_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models/climate"
	"drylag/models/heat"
	"drylag/models/unit"
)

// fleet invents n covers, no two alike: pipes of 21 to 610 mm under 6 to 60 mm
// of every default material, on fluid of 4 to 14 °C.
func fleet(n int) []heat.Cylinder {
	r := rand.New(rand.NewPCG(11, 3))
	between := func(low, high float64) float64 { return low + (high-low)*r.Float64() }
	materials := heat.Materials()
	covers := make([]heat.Cylinder, n)
	layers := make([]heat.Layer, n)
	for i := range covers {
		layers[i] = heat.Layer{Thickness: unit.Meter(between(0.006, 0.060)), K: materials[r.IntN(len(materials))].K}
		covers[i] = heat.Cylinder{
			Fluid: unit.Celsius(between(4, 14)), Diameter: unit.Meter(between(0.0213, 0.610)),
			Layers: layers[i : i+1], Emissivity: unit.Fraction(between(0.05, 0.95)),
		}
	}
	return covers
}

// humidYear is a made-up year of a warm and damp place, every hour of it above
// the fluid's temperature: no early stop helps.
func humidYear() climate.Hourly {
	r := rand.New(rand.NewPCG(5, 8))
	hours := make([]climate.Hour, climate.CommonYear)
	for i := range hours {
		day, hour := float64(i/24), float64(i%24)
		t := 27 + 3*math.Cos(2*math.Pi*(day-200)/365) + 3*math.Cos(2*math.Pi*(hour-15)/24) + r.Float64()
		hours[i] = climate.Hour{T: unit.Celsius(t), Vapor: unit.Pascal(2000 + 450*r.Float64()), Origin: climate.Measured}
	}
	return climate.Hourly{Hours: hours, Pressure: 101325}
}

// benchYears are the years of 8760 hours that the benchmarks run over.
func benchYears(b *testing.B) map[string]climate.Hourly {
	return map[string]climate.Hourly{
		"room":    readTable(b, "climates/room_open.csv"),
		"outdoor": readTable(b, "climates/outdoor_open.csv"),
		"humid":   humidYear(),
	}
}

// BenchmarkFleet asks for the hours below the dew point of 100,000 covers that
// all differ, on one core.
func BenchmarkFleet(b *testing.B) {
	for name, year := range benchYears(b) {
		prepared, covers := prepare(b, year), fleet(100_000)
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			wet := unit.Hours(0)
			for b.Loop() {
				for _, c := range covers {
					wet += prepared.Hours(c, 0)
				}
			}
			require.Positive(b, wet)
			b.ReportMetric(float64(b.N*len(covers))/b.Elapsed().Seconds(), "covers/s")
		})
	}
}

// BenchmarkFleetNaive answers the same by a full solution for each hour; the
// dew points are given to it.
func BenchmarkFleetNaive(b *testing.B) {
	for name, year := range benchYears(b) {
		dew, covers := year.DewPoints(), fleet(20)
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			wet := unit.Hours(0)
			for b.Loop() {
				for _, c := range covers {
					wet += solvedHours(year, dew, c, 0)
				}
			}
			require.Positive(b, wet)
			b.ReportMetric(float64(b.N*len(covers))/b.Elapsed().Seconds(), "covers/s")
		})
	}
}

// solvedHours counts by solving every hour.
func solvedHours(year climate.Hourly, dew []unit.Celsius, c heat.Cylinder, speed unit.MPerS) unit.Hours {
	hours := unit.Hours(0)
	for i, h := range year.Hours {
		if c.Solve(heat.Room{Air: h.T, Pressure: year.Pressure, Speed: speed}).Condenses(dew[i]) {
			hours++
		}
	}
	return hours
}

// BenchmarkFleetMoving is BenchmarkFleet in moving air, where each hour needs its film.
func BenchmarkFleetMoving(b *testing.B) {
	prepared, covers := prepare(b, readTable(b, "climates/room_open.csv")), fleet(200)
	b.ReportAllocs()
	for b.Loop() {
		for _, c := range covers {
			prepared.Hours(c, 0.3)
		}
	}
	b.ReportMetric(float64(b.N*len(covers))/b.Elapsed().Seconds(), "covers/s")
}

// BenchmarkPrepare prepares one year.
func BenchmarkPrepare(b *testing.B) {
	year := readTable(b, "climates/room_open.csv")
	b.ReportAllocs()
	for b.Loop() {
		prepare(b, year)
	}
}

// BenchmarkCompare sums one component bare and covered over a year.
func BenchmarkCompare(b *testing.B) {
	prepared, covers := prepare(b, readTable(b, "climates/room_open.csv")), fleet(1)
	b.ReportAllocs()
	for b.Loop() {
		require.Positive(b, prepared.Compare(covers[0], 0.9, 0).SavedKWh())
	}
}
