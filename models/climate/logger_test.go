package climate_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"drylag/models/air"
	"drylag/models/climate"
	"drylag/models/unit"
)

func newYork(t testing.TB) *time.Location {
	t.Helper()
	loc, err := time.LoadLocation("America/New_York")
	require.NoError(t, err)
	return loc
}

func readLog(t *testing.T, text string, o climate.LoggerOptions) climate.Log {
	t.Helper()
	log, err := climate.ReadLogger(strings.NewReader(text), o)
	require.NoError(t, err)
	return log
}

// Each file records 25 °C (77 °F) and 50 % (dew point 13.9 °C, 57 °F) at 14:00
// and 15:00 on 25 November 2026 in New York, which is 19:00 and 20:00 UTC.
func TestReadLoggerForms(t *testing.T) {
	halfWet := air.VaporPressure(25, 0.5)
	cases := []struct {
		name, text string
		o          climate.LoggerOptions
		want       unit.Pascal
	}{
		{"ISO", "timestamp,temperature_c,rh\n2026-11-25 14:00,25,50\n2026-11-25T15:00:00,25,50\n", climate.LoggerOptions{}, halfWet},
		{"zone in the time", "timestamp,t_c,rh_pct\n2026-11-25T19:00:00Z,25,50\n2026-11-25T15:00:00-05:00,25,50\n", climate.LoggerOptions{}, halfWet},
		{"zone in the heading", "\"Date Time, GMT-06:00\",\"Temp, °F\",\"RH, %\"\n11/25/26 01:00:00 PM,77,50\n11/25/26 02:00:00 PM,77,50\n", climate.LoggerOptions{}, halfWet},
		{"US with AM and PM", "Date,Time,Temp (°F),RH %\n11/25/2026,2:00 PM,77,50\n11/25/2026,3:00:00 p.m.,77.0,50 %\n", climate.LoggerOptions{}, halfWet},
		{"day.month.year, semicolon, decimal comma", "Date/time;Temperature °C;Humidity %\n25.11.2026 14:00;25,0;50,0\n25.11.2026 15:00;25,0;50,0\n",
			climate.LoggerOptions{DecimalComma: true}, halfWet},
		{"tab, day first", "Time\tTemp [C]\tRel. Humidity\n25/11/2026 14:00\t25\t50\n25/11/2026 15:00\t25\t50\n", climate.LoggerOptions{}, halfWet},
		{"order stated", "Time,Temp C,RH\n11/25/2026 14:00,25,50\n11/25/2026 15:00,25,50\n", climate.LoggerOptions{DateOrder: climate.MonthFirst}, halfWet},
		{"lines before the heading", "Plant room 3\nSerial,123\n\nNo,Time,Temp C,RH\n1,2026/11/25 14:00,25,50\n2,2026/11/25 15:00,25,50\n", climate.LoggerOptions{}, halfWet},
		{"old code page", "Time,Temp (\xb0C),RH\n2026-11-25 14:00,25,50\n2026-11-25 15:00,25,50\n", climate.LoggerOptions{}, halfWet},
		{"unit stated by the caller", "Time,Temp,RH\n2026-11-25 14:00,77,50\n2026-11-25 15:00,77,50\n", climate.LoggerOptions{TempUnit: "degF"}, halfWet},
		{"unit in the cells", "Time,Temp C,RH\n2026-11-25 14:00,77 °F,50\n2026-11-25 15:00,25.0°C,50\n", climate.LoggerOptions{}, halfWet},
		{"columns named by the caller", "When,Warmth,Damp\n2026-11-25 14:00,25,50\n2026-11-25 15:00,25,50\n", climate.LoggerOptions{TempUnit: "degC",
			Columns: map[string]string{"When": climate.FieldTime, "Warmth": climate.FieldTemp, "Damp": climate.FieldRH}}, halfWet},
		{"dew point before humidity", "Time,Temp F,RH,Dew Point (F)\n2026-11-25 14:00,77,99,50\n2026-11-25 15:00,77,99,50\n", climate.LoggerOptions{}, air.SatPressure(10)},
		{"vapor pressure", "utc_time,t_c,p_w_pa\n2026-11-25 19:00,25,1234.5\n2026-11-25 20:00,25,1234.5\n", climate.LoggerOptions{}, 1234.5},
		{"newest first", "Time,Temp C,RH\n2026-11-25 15:00,25,50\n2026-11-25 14:00,25,50\n", climate.LoggerOptions{}, halfWet},
		{"CR line ends", "Time,Temp C,RH\r2026-11-25 14:00,25,50\r2026-11-25 15:00,25,50\r", climate.LoggerOptions{}, halfWet},
		{"a little over 100 %", "Time,Temp C,RH\n2026-11-25 14:00,25,100.4\n2026-11-25 15:00,25,105\n", climate.LoggerOptions{}, air.SatPressure(25)},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			c.o.Location = newYork(t)
			log := readLog(t, c.text, c.o)
			require.Empty(t, log.Bad)
			require.Equal(t, "2026-11-25T19:00:00Z", log.Start.UTC().Format(time.RFC3339))
			require.Equal(t, time.Hour, log.Step)
			require.Len(t, log.Hours, 2)
			for _, h := range log.Hours {
				require.InDelta(t, 25, float64(h.T), 1e-9)
				require.InDelta(t, float64(c.want), float64(h.Vapor), 1e-6)
				require.Equal(t, climate.Measured, h.Origin)
			}
			require.Equal(t, "2026-11-25T21:00:00Z", log.Newest().UTC().Format(time.RFC3339))
		})
	}
}

func TestReadLoggerSaysHowColumnsWereUnderstood(t *testing.T) {
	log := readLog(t, "No.,Date Time,Temp (°F),Dew Point,Battery temp C\n1,2026-11-25 14:00,77,50,30\n", climate.LoggerOptions{})
	require.Equal(t, []climate.LoggerColumn{
		{Heading: "Date Time", Field: climate.FieldTime},
		{Heading: "Temp (°F)", Field: climate.FieldTemp, Unit: "degF"},
		{Heading: "Dew Point", Field: climate.FieldDew, Unit: "degF"},
	}, log.Columns)
	require.InDelta(t, float64(air.SatPressure(10)), float64(log.Hours[0].Vapor), 1e-6)
}

func TestReadLoggerTakesHourlyMeans(t *testing.T) {
	log := readLog(t, "Time,Temp C,RH\n2026-11-25 14:00,20,40\n2026-11-25 14:15,22,60\n2026-11-25 14:30,24,50\n2026-11-25 15:00,20,50\n", climate.LoggerOptions{})
	require.Len(t, log.Hours, 2)
	require.Equal(t, unit.Celsius(22), log.Hours[0].T)
	mean := (air.VaporPressure(20, 0.4) + air.VaporPressure(22, 0.6) + air.VaporPressure(24, 0.5)) / 3
	require.InDelta(t, float64(mean), float64(log.Hours[0].Vapor), 1e-9)
	require.Equal(t, 4, log.Rows)
}

// A date is read by what the whole file shows, and asked for where it shows nothing.
func TestReadLoggerDateOrder(t *testing.T) {
	heading := "Time,Temp C,RH\n"
	row := func(at string) string { return at + ",25,50\n" }
	cases := []struct {
		name, text, start string
	}{
		{"a day above 12 late in the file", row("3/4/2026 12:00") + row("3/4/2026 12:30") + row("3/13/2026 13:00"), "2026-03-04"},
		{"a first number above 12", row("3/4/2026 12:00") + row("3/4/2026 12:30") + row("13/4/2026 13:00"), "2026-04-03"},
		{"steps over midnight, month first", row("3/4/2026 23:30") + row("3/5/2026 0:30"), "2026-03-04"},
		{"steps over midnight, day first", row("3/4/2026 23:30") + row("4/4/2026 0:30"), "2026-04-03"},
		{"both the same", row("4/4/2026 12:00") + row("4/4/2026 13:00"), "2026-04-04"},
		{"dashes", row("03-04-2026 12:00") + row("03-04-2026 13:00") + row("03-31-2026 12:00"), "2026-03-04"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			log := readLog(t, heading+c.text, climate.LoggerOptions{})
			require.Equal(t, c.start, log.Start.Format(time.DateOnly))
		})
	}
	for name, text := range map[string]string{
		"one day only":       row("3/4/2026 12:00") + row("3/4/2026 13:00"),
		"days far apart":     row("3/4/2026 12:00") + row("5/6/2026 12:00"),
		"contradicts itself": row("13/4/2026 12:00") + row("4/13/2026 12:00"),
	} {
		t.Run(name, func(t *testing.T) {
			_, err := climate.ReadLogger(strings.NewReader(heading+text), climate.LoggerOptions{})
			require.ErrorContains(t, err, "write dates as 2026-11-25")
		})
	}
}

func TestReadLoggerListsBadLines(t *testing.T) {
	rows := []struct{ text, field, msg string }{
		{"2026-11-25 14:00,25,50", "", ""},
		{"yesterday,25,50", climate.FieldTime, "is no time"},
		{"2026-11-25,25,50", climate.FieldTime, "is no time"},
		{"2026-13-25 14:00,25,50", climate.FieldTime, "does not exist"},
		{"2026-02-30 14:00,25,50", climate.FieldTime, "does not exist"},
		{"1970-01-01 00:00,25,50", climate.FieldTime, "outside 1990 to 2100"},
		{"2026-11-25 13:00 PM,25,50", climate.FieldTime, "is no time of day"},
		{"2026-11-25 25:00,25,50", climate.FieldTime, "is no time of day"},
		{"2026-11-25 14:10,,50", climate.FieldTemp, "is empty"},
		{"2026-11-25 14:20,NaN,50", climate.FieldTemp, "is not a number"},
		{"2026-11-25 14:20,1e400,50", climate.FieldTemp, "is not a number"},
		{"2026-11-25 14:20,999,50", climate.FieldTemp, "outside"},
		{"2026-11-25 14:30,25,ERR", climate.FieldRH, "is not a number"},
		{"2026-11-25 14:30,25,0", climate.FieldRH, "above 0"},
		{"2026-11-25 14:30,25,140", climate.FieldRH, "at most 100"},
		{"2026-11-25 14:30,25,", climate.FieldRH, "is empty"},
		{"2026-11-25 14:40,25,\"50,5\"", climate.FieldRH, "decimal commas"},
		{"2026-11-25 14:50", climate.FieldTemp, "is empty"},
		{"3/8/2026 2:30 AM,25,50", climate.FieldTime, "does not exist in America/New_York"},
	}
	text := "Time,Temp C,RH\n"
	for _, r := range rows {
		text += r.text + "\n"
	}
	log := readLog(t, text, climate.LoggerOptions{Location: newYork(t), DateOrder: climate.MonthFirst})
	require.Equal(t, 1, log.Rows)
	require.Len(t, log.Bad, len(rows)-1)
	for i, fault := range log.Bad {
		require.Equal(t, i+3, fault.Line)
		require.Equal(t, rows[i+1].field, fault.Field, fault.String())
		require.Contains(t, fault.Msg, rows[i+1].msg, fault.String())
	}
}

func TestReadLoggerRefuses(t *testing.T) {
	day := func(rh string) string {
		text := "Time,Temp C,RH\n"
		for h := range 24 {
			text += fmt.Sprintf("2026-11-25 %02d:00,25,%s\n", h, rh)
		}
		return text
	}
	cases := map[string]struct{ text, want string }{
		"empty":           {"", "is empty"},
		"no heading":      {"a,b\n1,2\n", "no line names columns"},
		"no unit":         {"Time,Temp,RH\n2026-11-25 14:00,25,50\n", "names no unit"},
		"no rows":         {"Time,Temp C,RH\n", "no line follows"},
		"only bad rows":   {"Time,Temp C,RH\nx,25,50\n", "is no time"},
		"UTF-16":          {"T\x00i\x00m\x00e\x00,\x00", "is no plain text"},
		"shares":          {day("0.5"), "write it in percent"},
		"steps of 3 h":    {"Time,Temp C,RH\n2026-11-25 12:00,25,50\n2026-11-25 15:00,25,50\n", "at most one hour"},
		"clock reset":     {"Time,Temp C,RH\n2000-01-01 00:00,25,50\n2026-11-25 15:00,25,50\n2026-11-25 15:10,25,50\n2026-11-25 15:20,25,50\n", "was the clock"},
		"other moisture":  {"Time,Temp C,Absolute humidity g/m3\n2026-11-25 14:00,25,50\n", "no line names columns"},
		"pressure in kPa": {"Time,Temp C,Vapor pressure kPa\n2026-11-25 14:00,25,1.5\n", "no line names columns"},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			_, err := climate.ReadLogger(strings.NewReader(c.text), climate.LoggerOptions{})
			var fileErr *climate.FileError
			require.ErrorAs(t, err, &fileErr)
			require.Equal(t, climate.CodeLogger, fileErr.Code)
			require.ErrorContains(t, err, c.want)
		})
	}
}

// In the night in which clocks are put back, 1:30 comes twice.
func TestReadLoggerHourThatComesTwice(t *testing.T) {
	text := "Time,Temp C,RH\n2026-11-01 0:30,10,50\n2026-11-01 1:00,11,50\n2026-11-01 1:30,11,50\n2026-11-01 1:00,12,50\n2026-11-01 1:30,12,50\n2026-11-01 2:00,13,50\n"
	log := readLog(t, text, climate.LoggerOptions{Location: newYork(t)})
	require.Equal(t, "2026-11-01T04:00:00Z", log.Start.Format(time.RFC3339))
	var temps []unit.Celsius
	for _, h := range log.Hours {
		temps = append(temps, h.T)
	}
	require.Equal(t, []unit.Celsius{10, 11, 12, 13}, temps)
}

func TestReadLoggerGaps(t *testing.T) {
	text := "Time,Temp C,Dew point C\n"
	for h := range 48 {
		if h >= 10 && h < 16 || h >= 30 && h < 37 {
			continue
		}
		text += fmt.Sprintf("2026-11-%02d %02d:00,%d,5\n", 25+h/24, h%24, 20+h%2)
	}
	log := readLog(t, text, climate.LoggerOptions{})
	require.Equal(t, 6, log.Filled)
	require.Equal(t, climate.Interpolated, log.Hours[12].Origin)
	require.InDelta(t, 21-3.0/7, float64(log.Hours[12].T), 1e-9)
	require.InDelta(t, float64(air.SatPressure(5)), float64(log.Hours[12].Vapor), 1e-9)
	require.Equal(t, []climate.Gap{{First: 30, Hours: 7}}, log.Gaps)
	require.Equal(t, climate.Missing, log.Hours[33].Origin)
	require.True(t, math.IsNaN(float64(log.Hours[33].T)))
	require.Equal(t, []string{"7 h without reading from 2026-11-26 06:00"}, log.GapWords(time.UTC))
}

func TestReadLoggerReadsBackWhatWasWritten(t *testing.T) {
	layouts := []string{"2006-01-02 15:04:05", "2006-01-02T15:04:05Z", "1/2/2006 3:04:05 PM", "02.01.2006 15:04:05"}
	rapid.Check(t, func(t *rapid.T) {
		layout := rapid.SampledFrom(layouts).Draw(t, "layout")
		delim := rapid.SampledFrom([]string{",", ";", "\t"}).Draw(t, "delim")
		start := time.Date(2026, 1, 1, rapid.IntRange(0, 8759).Draw(t, "start"), 0, 0, 0, time.UTC)
		n := rapid.IntRange(1, 100).Draw(t, "n")
		text := strings.Join([]string{"Time", "Temp C", "RH"}, delim) + "\n"
		var want []climate.Hour
		for i := range n {
			tempC := rapid.Float64Range(-20, 50).Draw(t, "t")
			rh := rapid.Float64Range(2, 100).Draw(t, "rh")
			want = append(want, climate.Hour{T: unit.Celsius(tempC), Origin: climate.Measured,
				Vapor: air.VaporPressure(unit.Celsius(tempC), unit.Fraction(rh/100))})
			text += strings.Join([]string{start.Add(time.Duration(i) * time.Hour).Format(layout), number(tempC), number(rh)}, delim) + "\n"
		}
		log, err := climate.ReadLogger(strings.NewReader(text), climate.LoggerOptions{DateOrder: climate.MonthFirst})
		require.NoError(t, err)
		require.Equal(t, start, log.Start)
		require.Equal(t, want, log.Hours)
	})
}

func FuzzReadLogger(f *testing.F) {
	f.Add([]byte("Time,Temp C,RH\n2026-11-25 14:00,25,50\n"), 0, false)
	f.Add([]byte("\"Date Time, GMT+99:99\";\"Temp, \xb0F\";\"Dew\"\r1/2/26 12:00 AM;1e400;NaN\n"), 1, true)
	f.Add([]byte("t\ttime\trh c\n0.0.00 24:00\t1\t1\n"), 2, false)
	loc := newYork(f)
	f.Fuzz(func(t *testing.T, text []byte, order int, comma bool) {
		log, err := climate.ReadLogger(strings.NewReader(string(text)), climate.LoggerOptions{
			Location: loc, DateOrder: climate.DateOrder(order), DecimalComma: comma})
		if err != nil {
			var fileErr *climate.FileError
			require.ErrorAs(t, err, &fileErr)
			require.NotEmpty(t, fileErr.Faults)
			return
		}
		require.NotEmpty(t, log.Hours)
		for _, h := range log.Hours {
			require.Equal(t, h.Origin == climate.Missing, math.IsNaN(float64(h.T)) || math.IsNaN(float64(h.Vapor)))
		}
		require.Len(t, log.GapWords(loc), len(log.Gaps))
	})
}
