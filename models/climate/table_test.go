package climate_test

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"drylag/models/air"
	"drylag/models/climate"
	"drylag/models/unit"
)

// tableOf prints a year with a header and one row an hour.
func tableOf(header string, hours int, row func(i int) string) string {
	var b strings.Builder
	b.WriteString(header + "\n")
	for i := range hours {
		b.WriteString(row(i) + "\n")
	}
	return b.String()
}

func TestReadHourTableTakesTheBestMoisture(t *testing.T) {
	cases := []struct {
		name, header, row string
		want              unit.Pascal
	}{
		{"relative humidity", "hour,t_c,rh_pct", "20,50", air.VaporPressure(20, 0.5)},
		{"over ice", "hour,t_c,rh_pct", "-10,100", air.SatPressure(-10)},
		{"dew point before humidity", "hour,t_c,rh_pct,dew_c", "20,99,7", air.SatPressure(7)},
		{"vapor pressure before dew point", "hour,t_c,dew_c,p_w_pa", "20,7,1234.5", 1234.5},
		{"dew point rounded above the dry bulb", "hour,t_c,dew_c", "7,7.3", air.SatPressure(7)},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			text := tableOf(c.header, climate.CommonYear, func(i int) string { return fmt.Sprintf("%d,%s", i, c.row) })
			year, err := climate.ReadHourTable(strings.NewReader(text))
			require.NoError(t, err)
			require.Equal(t, c.want, year.Hours[8759].Vapor)
		})
	}
}

func TestReadHourTableCountsFromOne(t *testing.T) {
	text := tableOf("hour,t_c,rh_pct", climate.LeapYear, func(i int) string { return fmt.Sprintf("%d,20,50", i+1) })
	year, err := climate.ReadHourTable(strings.NewReader(text))
	require.NoError(t, err)
	require.Len(t, year.Hours, climate.LeapYear)
}

func TestReadHourTableFaults(t *testing.T) {
	with := func(at int, text string) string {
		return tableOf("hour,t_c,rh_pct", climate.CommonYear, func(i int) string {
			if i == at {
				return text
			}
			return fmt.Sprintf("%d,20,50", i)
		})
	}
	cases := map[string]struct{ text, want string }{
		"empty":            {"", "is empty"},
		"header":           {"hour,temp\n", "needs the columns"},
		"short":            {"hour,t_c,rh_pct\n0,20,50\n", "1 rows"},
		"hour out of turn": {with(5, "7,20,50"), `line 7: hour "7": the next hour is 5`},
		"humidity 0":       {with(5, "5,20,0"), "line 7: rh_pct"},
		"humidity over":    {with(5, "5,20,101"), "line 7: rh_pct"},
		"comma decimal":    {with(5, "5,20,5,50"), "line 7: row: has 4 fields"},
		"hot":              {with(5, "5,201,50"), "needs a dry bulb of -100 to 200 °C"},
		"infinite":         {with(5, "5,Inf,50"), `"Inf": is not a number`},
		"too large":        {with(5, "5,20,1e400"), `"1e400": is not a number`},
		"hexadecimal":      {with(5, "5,0x10,50"), `"0x10": is not a number`},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			_, err := climate.ReadHourTable(strings.NewReader(c.text))
			var fileErr *climate.FileError
			require.ErrorAs(t, err, &fileErr)
			require.Equal(t, climate.CodeRows, fileErr.Code)
			require.ErrorContains(t, err, c.want)
		})
	}
}

func TestReadHourTableBridgesEmptyCells(t *testing.T) {
	text := tableOf("hour,t_c,rh_pct", climate.CommonYear, func(i int) string {
		if i >= 10 && i < 16 {
			return fmt.Sprintf("%d,,", i)
		}
		return fmt.Sprintf("%d,20,50", i)
	})
	year, err := climate.ReadHourTable(strings.NewReader(text))
	require.NoError(t, err)
	require.Equal(t, 6, year.Filled)
	require.InEpsilon(t, float64(air.VaporPressure(20, 0.5)), float64(year.Hours[12].Vapor), 1e-9)
}

func TestFaultsAreListedInFullAndPrintedInPart(t *testing.T) {
	text := tableOf("hour,t_c,rh_pct", climate.CommonYear, func(i int) string { return fmt.Sprintf("%d,20,x", i) })
	_, err := climate.ReadHourTable(strings.NewReader(text))
	var fileErr *climate.FileError
	require.ErrorAs(t, err, &fileErr)
	require.Len(t, fileErr.Faults, climate.CommonYear)
	require.ErrorContains(t, err, "and 8755 more")
}

func TestWriteHourTableReadsBackTheSame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		year := climate.Hourly{Hours: make([]climate.Hour, climate.CommonYear)}
		seed := rapid.Float64Range(0, 1000).Draw(t, "seed")
		for i := range year.Hours {
			dry := unit.Celsius(15 + 25*math.Sin(seed+float64(i)))
			rh := unit.Fraction(0.5 + 0.49*math.Cos(seed*float64(i)))
			year.Hours[i] = climate.Hour{T: dry, Vapor: air.VaporPressure(dry, rh), Origin: climate.Measured}
		}
		var b bytes.Buffer
		require.NoError(t, climate.WriteHourTable(&b, year))
		back, err := climate.ReadHourTable(&b)
		require.NoError(t, err)
		require.Equal(t, year.Hours, back.Hours)
	})
}

func FuzzReadHourTable(f *testing.F) {
	f.Add([]byte("hour,t_c,rh_pct\n0,-3.4,77\n1,,\n"))
	f.Add([]byte("\ufeffhour,t_c,p_w_pa\r0,1e308,-1"))
	f.Fuzz(func(t *testing.T, text []byte) {
		_, err := climate.ReadHourTable(bytes.NewReader(text))
		if err != nil {
			var fileErr *climate.FileError
			require.ErrorAs(t, err, &fileErr)
		}
	})
}
