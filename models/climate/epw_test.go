package climate_test

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"drylag/models/air"
	"drylag/models/climate"
	"drylag/models/unit"
)

// epwOf writes a year as an EPW file whose column of relative humidity is wrong
// on purpose: nothing may read it. Row edits one row's fields; dropping a row is
// returning nil.
func epwOf(year climate.Hourly, end string, row func(i int, fields []string) []string) string {
	var b strings.Builder
	for _, l := range []string{
		"LOCATION,Testville,-,USA,Synthetic,000000,37.5,-77.3,-5.0,50.0",
		"DESIGN CONDITIONS,0", "TYPICAL/EXTREME PERIODS,0", "GROUND TEMPERATURES,0",
		"HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0", "COMMENTS 1,made for a test", "COMMENTS 2,",
		"DATA PERIODS,1,1,Data,Sunday, 1/ 1,12/31",
	} {
		b.WriteString(l + end)
	}
	for i, h := range year.Hours {
		at := time.Date(2023, 1, 1, i, 0, 0, 0, time.UTC)
		fields := []string{
			strconv.Itoa(1980 + int(at.Month())), strconv.Itoa(int(at.Month())), strconv.Itoa(at.Day()),
			strconv.Itoa(at.Hour() + 1), "0", "?9", number(float64(h.T)), number(float64(h.DewPoint())), "1", "101300",
		}
		if fields = row(i, fields); fields != nil {
			b.WriteString(strings.Join(fields, ",") + end)
		}
	}
	return b.String()
}

func number(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

func asIs(_ int, fields []string) []string { return fields }

func TestReadEPWLineEnds(t *testing.T) {
	outdoor := readTable(t, "climates/outdoor_open.csv")
	for name, end := range map[string]string{"LF": "\n", "CRLF": "\r\n", "CR": "\r", "stray CR": "\r\r\n"} {
		t.Run(name, func(t *testing.T) {
			year, err := climate.ReadEPW(strings.NewReader(epwOf(outdoor, end, asIs)))
			require.NoError(t, err)
			require.Equal(t, "Testville, USA", year.Name)
			require.Equal(t, "Synthetic, 000000", year.Source)
			require.Equal(t, -5*time.Hour, year.Zone)
			require.Equal(t, unit.Meter(50), year.Elevation)
			require.InDelta(t, 101300, float64(year.Pressure), 1e-6)
			require.Zero(t, year.Filled)
			require.Len(t, year.Hours, climate.CommonYear)
			require.Equal(t, climate.CommonYear, sameHours(outdoor, year))
		})
	}
}

// sameHours counts the hours that agree in temperature and, to 1e-9, in vapor pressure.
func sameHours(a, b climate.Hourly) int {
	same := 0
	for i := range a.Hours {
		va, vb := float64(a.Hours[i].Vapor), float64(b.Hours[i].Vapor)
		if a.Hours[i].T == b.Hours[i].T && math.Abs(va-vb) <= 1e-9*va {
			same++
		}
	}
	return same
}

func TestReadEPWBridgesShortGaps(t *testing.T) {
	outdoor := readTable(t, "climates/outdoor_open.csv")
	text := epwOf(outdoor, "\n", func(i int, f []string) []string {
		switch {
		case i >= 100 && i < 106:
			f[6], f[7] = "99.9", "99.9"
		case i == 200:
			f[7] = ""
		case i == 0 || i == 8759:
			f[7] = "99.9" // across the turn of the year
		}
		f[9] = "999999"
		return f
	})
	year, err := climate.ReadEPW(strings.NewReader(text))
	require.NoError(t, err)
	require.Equal(t, 9, year.Filled)
	require.InDelta(t, 100725, float64(year.Pressure), 1, "no pressure in the file: standard air at 50 m, ASHRAE 2017 eq 3")
	require.Equal(t, climate.Interpolated, year.Hours[100].Origin)
	require.Equal(t, climate.Measured, year.Hours[99].Origin)
	from, to := outdoor.Hours[99], outdoor.Hours[106]
	require.InDelta(t, float64(from.T+(to.T-from.T)*3/7), float64(year.Hours[102].T), 1e-9)
	require.InDelta(t, float64(from.DewPoint()+(to.DewPoint()-from.DewPoint())*3/7), float64(year.Hours[102].DewPoint()), 1e-9)
	require.Equal(t, outdoor.Hours[200].T, year.Hours[200].T, "only the dew point was missing")
	before, after := outdoor.Hours[8758].DewPoint(), outdoor.Hours[1].DewPoint()
	require.InDelta(t, float64(min(before+(after-before)/3, outdoor.Hours[8759].T)), float64(year.Hours[8759].DewPoint()), 1e-9)
}

func TestReadEPWFaults(t *testing.T) {
	outdoor := readTable(t, "climates/outdoor_open.csv")
	edit := func(at, column int, text string) func(int, []string) []string {
		return func(i int, f []string) []string {
			if i == at {
				f[column] = text
			}
			return f
		}
	}
	cases := []struct {
		name string
		row  func(int, []string) []string
		want string
	}{
		{"row lost", func(i int, f []string) []string {
			if i == 7 {
				return nil
			}
			return f
		}, "8759 rows"},
		{"long gap", func(i int, f []string) []string {
			if i >= 24 && i < 31 {
				f[7] = "99.9"
			}
			return f
		}, "no air for 7 hours from 2 January 00:00"},
		{"hour 25", edit(10, 3, "25"), "line 19: month, day, hour"},
		{"hour twice", edit(10, 3, "2"), `line 19: month, day, hour "1 1 2": appears more than once`},
		{"word in dry bulb", edit(10, 6, "warm"), `line 19: dry bulb "warm": is not a number`},
		{"NaN in dew point", edit(10, 7, "NaN"), "line 19: dew point"},
		{"hot", edit(10, 6, "85"), `line 19: dry bulb "85": is outside -70 to 70`},
		{"dew point above dry bulb", edit(10, 7, "40"), `line 19: dew point "40": is above the dry bulb`},
		{"29 February in a common year", edit(1416, 2, "29"), "month, day, hour"},
		{"short row", func(i int, f []string) []string {
			if i == 3 {
				return f[:5]
			}
			return f
		}, "line 12: row: has 5 fields"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			_, err := climate.ReadEPW(strings.NewReader(epwOf(outdoor, "\n", c.row)))
			var fileErr *climate.FileError
			require.ErrorAs(t, err, &fileErr)
			require.Equal(t, climate.CodeRows, fileErr.Code)
			require.ErrorContains(t, err, c.want)
		})
	}
}

func TestReadEPWHeadFaults(t *testing.T) {
	cases := map[string]struct{ text, want string }{
		"empty":          {"", "not an EPW file"},
		"other file":     {"hour,t_c,rh_pct\n0,1,2\n", "not an EPW file"},
		"short location": {"LOCATION,Testville\n", "has 2 fields"},
		"zone":           {"LOCATION,a,b,c,d,e,1,2,x,50\n", "time zone"},
		"elevation":      {"LOCATION,a,b,c,d,e,1,2,3,99999\n", "elevation"},
		"records":        {"LOCATION,a,b,c,d,e,1,2,3,5\nDATA PERIODS,1,0,x\n", "records per hour"},
		"no rows":        {"LOCATION,a,b,c,d,e,1,2,3,5\n", "0 rows"},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			_, err := climate.ReadEPW(strings.NewReader(c.text))
			require.ErrorContains(t, err, c.want)
		})
	}
}

func TestReadEPWTwoRecordsAnHourInALeapYear(t *testing.T) {
	var b strings.Builder
	b.WriteString("LOCATION,a,b,c,d,e,1,2,3,5\nDATA PERIODS,1,2,Data,Sunday,1/1,12/31\n")
	for i := range climate.LeapYear {
		at := time.Date(2024, 1, 1, i, 0, 0, 0, time.UTC)
		for half, t := range []int{20, 22} {
			fmt.Fprintf(&b, "2024,%d,%d,%d,%d,?,%d,10,50,101300\n", at.Month(), at.Day(), at.Hour()+1, 30*(half+1), t)
		}
	}
	year, err := climate.ReadEPW(strings.NewReader(b.String()))
	require.NoError(t, err)
	require.Len(t, year.Hours, climate.LeapYear)
	require.Equal(t, unit.Celsius(21), year.Hours[1440].T)
	require.Equal(t, air.SatPressure(10), year.Hours[1440].Vapor)
}

// The rules that a year of real weather must meet also run on the synthetic one:
// the strict count and the drive agree with a loop over the dew points as
// printed in the file, which never meets the sorted tables.
func TestHoursAgreeWithALoopOverTheFile(t *testing.T) {
	outdoor := readTable(t, "climates/outdoor_open.csv")
	text := epwOf(outdoor, "\r\n", func(_ int, f []string) []string {
		dew, _ := strconv.ParseFloat(f[7], 64)
		f[7] = strconv.FormatFloat(math.Floor(dew*10)/10, 'f', 1, 64)
		return f
	})
	requireLoopAgrees(t, text)
}

func TestRichmond(t *testing.T) {
	folder := os.Getenv("DRYLAG_WEATHER")
	if folder == "" {
		t.Skip("DRYLAG_WEATHER names no folder with richmond.epw; the synthetic climate runs the same test")
	}
	text, err := os.ReadFile(filepath.Join(folder, "richmond.epw"))
	require.NoError(t, err)
	requireLoopAgrees(t, string(text))
	year, err := climate.ReadEPW(strings.NewReader(string(text)))
	require.NoError(t, err)
	summary := prepare(t, year)
	source := "TMY3 typical year 724010 (NREL, Wilcox and Marion 2008), counted on its dew-point column"
	require.Equal(t, unit.Hours(5076), summary.HoursBelowDewPoint(7), source)
	require.InEpsilon(t, 4.458e6, float64(summary.Drive(7)), 1e-4, source)
	for metal, want := range map[unit.Celsius]int{4.4: 5619, 6.7: 5205, 13: 3553} {
		atOrAbove := 0
		for _, dew := range year.DewPoints() {
			if dew >= metal-1e-9 {
				atOrAbove++
			}
		}
		require.Equal(t, want, atOrAbove, "dew point at or above %v: %s", metal, source)
	}
}

// requireLoopAgrees reads text once as a climate and once by splitting lines.
func requireLoopAgrees(t *testing.T, text string) {
	t.Helper()
	year, err := climate.ReadEPW(strings.NewReader(text))
	require.NoError(t, err)
	summary := prepare(t, year)
	for _, metal := range []float64{-4, 0, 4.4, 6.7, 7, 10, 12.8, 16, 40} {
		hours, drive, net := 0, 0.0, 0.0
		sat := float64(air.SatPressure(unit.Celsius(metal)))
		for _, l := range strings.Split(strings.ReplaceAll(text, "\r", ""), "\n") {
			fields := strings.Split(l, ",")
			if _, err := strconv.Atoi(fields[0]); err != nil {
				continue
			}
			dew, err := strconv.ParseFloat(fields[7], 64)
			require.NoError(t, err)
			vapor := float64(air.SatPressure(unit.Celsius(dew)))
			if dew > metal {
				hours++
			}
			drive += math.Max(0, vapor-sat)
			net += vapor - sat
		}
		require.Equal(t, unit.Hours(hours), summary.HoursBelowDewPoint(unit.Celsius(metal)), "metal %v", metal)
		require.InDelta(t, drive, float64(summary.Drive(unit.Celsius(metal))), 1e-3)
		require.InDelta(t, net, float64(summary.NetDrive(unit.Celsius(metal))), 1e-3)
	}
}

func FuzzReadEPW(f *testing.F) {
	f.Add([]byte("LOCATION,a,b,c,d,e,1,2,3,5\nDATA PERIODS,1,1,x\n1987,1,1,1,0,?,-0.6,-2.2,89,101900\n"))
	f.Add([]byte("LOCATION,a,b,c,d,e,1,2,NaN,1e400\r1987,2,30,99,0,?,,,,\r\n"))
	f.Add([]byte("LOCATION\n-5\n"))
	f.Fuzz(func(t *testing.T, text []byte) {
		year, err := climate.ReadEPW(strings.NewReader(string(text)))
		if err == nil {
			_, err = climate.Prepare(year)
		}
		if err == nil {
			return
		}
		var fileErr *climate.FileError
		require.ErrorAs(t, err, &fileErr)
		require.NotEmpty(t, fileErr.Faults)
	})
}
