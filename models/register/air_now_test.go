package register

import (
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models"
)

func TestAirOn(t *testing.T) {
	chilled := models.CoverSheet{Loop: models.Loop{Kind: "chilled", SupplyC: new(6.0)}}
	dual := models.CoverSheet{Loop: models.Loop{Kind: "dual", SupplyC: new(6.0), HotC: new(82.0), Hot: models.Season{From: "10-15", To: "04-14"}}}
	stopped := models.CoverSheet{Loop: models.Loop{Kind: "chilled", SupplyC: new(6.0), Stopped: models.Season{From: "11-01", To: "03-31"}}}
	damp := models.RoomReading{TempC: 20, RH: new(0.5)}
	tests := []struct {
		name  string
		sheet models.CoverSheet
		on    models.Date
		air   models.RoomReading
		want  AirNow
		ok    bool
	}{
		// Dew point of 20 °C, 50 %: 9.26 °C, ASHRAE 2017 ch. 1 eq 5 and 6 as in models/air's check cases.
		{"cold metal", chilled, "2026-07-01", damp, AirNow{DewPointC: 9.26, MetalC: 6, Sweats: true}, true},
		{"nobody said how cold", models.CoverSheet{}, "2026-07-01", damp, AirNow{DewPointC: 9.26, MetalC: models.AssumedServiceC, Assumed: true, Sweats: true}, true},
		{"dry air", chilled, "2026-07-01", models.RoomReading{TempC: 20, DewPointC: new(2.0)}, AirNow{DewPointC: 2, MetalC: 6}, true},
		{"at the dew point", chilled, "2026-07-01", models.RoomReading{TempC: 20, DewPointC: new(6.0)}, AirNow{DewPointC: 6, MetalC: 6}, true},
		{"hot season", dual, "2026-11-25", damp, AirNow{DewPointC: 9.26, MetalC: 82, Hot: true}, true},
		{"cold season", dual, "2026-07-01", damp, AirNow{DewPointC: 9.26, MetalC: 6, Sweats: true}, true},
		{"loop stopped", stopped, "2026-11-25", damp, AirNow{DewPointC: 9.26, MetalC: 20, Assumed: true, Stopped: true}, true},
		{"no humidity", chilled, "2026-07-01", models.RoomReading{TempC: 20}, AirNow{}, false},
		{"humidity of no air", chilled, "2026-07-01", models.RoomReading{TempC: 20, RH: new(1.4)}, AirNow{}, false},
		{"dew point above the air", chilled, "2026-07-01", models.RoomReading{TempC: 20, DewPointC: new(21.0)}, AirNow{}, false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, ok := AirOn(tt.sheet, tt.on, tt.air)
			require.Equal(t, tt.ok, ok)
			require.InDelta(t, tt.want.DewPointC, got.DewPointC, 0.02)
			got.DewPointC = tt.want.DewPointC
			require.Equal(t, tt.want, got)
		})
	}
}

func TestSaturation(t *testing.T) {
	list := Saturation(-10, 30)
	require.Len(t, list, 41)
	require.InDelta(t, 259.9, list[0], 0.1, "PsychroLib 2.5.0 GetSatVapPres(-10)")
	for i := range list[1:] {
		require.Greater(t, list[i+1], list[i])
	}
}

func TestRustSaid(t *testing.T) {
	tests := []struct {
		name                string
		metal               models.MetalFinding
		said, area, derived string
		source              string
	}{
		{"clean", models.MetalFinding{Scale: "ri", Grade: "Ri 0"}, "Ri 0", "0 %", "D610 10", "ISO 4628-3 table 1 (from memory), ASTM D610"},
		{"half a percent", models.MetalFinding{Scale: "ri", Grade: "Ri 2"}, "Ri 2", "0.5 %", "D610 6", "0.5 % lies in 0.3 to 1 %, ASTM D610"},
		{"worst", models.MetalFinding{Scale: "ri", Grade: "Ri 5"}, "Ri 5", "40 to 50 %", "D610 1", "33 to 50 %, ASTM D610"},
		{"on the other scale", models.MetalFinding{Scale: "d610", Grade: "6"}, "D610 6", "up to 1 %", "Ri 3", "up to 1 % is Ri 3"},
		{"more than half", models.MetalFinding{Scale: "d610", Grade: "0"}, "D610 0", "over 50 %", "Ri 5", "ASTM D610"},
		{"percent", models.MetalFinding{Scale: "area", AreaPct: new(2.5)}, "2.5 % rusted area", "", "Ri 4, D610 5", "1 to 3 %, ASTM D610"},
		{"bare steel", models.MetalFinding{Scale: "iso8501", Grade: "C"}, "ISO 8501-1 C", "", "", "ISO 8501-1 has no equal"},
		{"not graded", models.MetalFinding{}, "", "", "", ""},
		{"no such grade", models.MetalFinding{Scale: "ri", Grade: "Ri"}, "Ri", "", "", ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			said, derived := RustSaid(tt.metal)
			require.Equal(t, tt.said, said, tt.source)
			require.Equal(t, tt.derived, derived, tt.source)
			require.Equal(t, tt.area, rustGrade(tt.metal).Area, tt.source)
		})
	}
}

// Every answer offered is one that an opening may hold.
func TestRustGradesAreAnswers(t *testing.T) {
	for scale, n := range map[string]int{"ri": 6, "d610": 11, "iso8501": 4, "area": 0} {
		grades := RustGrades(scale)
		require.Len(t, grades, n)
		for _, g := range grades {
			o := soundDry(models.CoverSheet{}, "2026-11-25")
			o.Metal.Coating, o.Metal.Scale, o.Metal.Grade = "none", g.Scale, g.Grade
			require.NoError(t, o.Validate(models.CoverSheet{}, "2026-11-25"))
			require.NotEmpty(t, g.Area+g.Meaning)
		}
	}
}
