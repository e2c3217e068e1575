package climate_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"drylag/models/air"
	"drylag/models/climate"
	"drylag/models/unit"
)

// logOf is a log of the same air from a UTC hour on.
func logOf(start time.Time, hours int, dry, dew unit.Celsius) climate.Log {
	log := climate.Log{Start: start, Hours: make([]climate.Hour, hours)}
	for i := range log.Hours {
		log.Hours[i] = climate.Hour{T: dry, Vapor: air.SatPressure(dew), Origin: climate.Measured}
	}
	return log
}

func roomOf(t *testing.T, in climate.RoomInput) climate.RoomYear {
	t.Helper()
	room, err := climate.Room(in)
	require.NoError(t, err)
	prepare(t, room.Hourly)
	return room
}

func utc(month time.Month, day, hour int) time.Time {
	return time.Date(2026, month, day, hour, 0, 0, 0, time.UTC)
}

func TestRoomWithNothingOfItsOwn(t *testing.T) {
	outdoor := readTable(t, "climates/outdoor_open.csv")
	outdoor.Source = "test weather"
	room := roomOf(t, climate.RoomInput{Building: &outdoor})
	require.Equal(t, climate.CommonYear, room.Estimated)
	require.Equal(t, climate.TempAssumed, room.TempFrom)
	require.Nil(t, room.Newest)
	require.Equal(t, "no room logger: test weather, room temperature assumed", room.Source)
	for i, h := range room.Hours {
		require.Equal(t, climate.AssumedRoomTemp, h.T)
		require.Equal(t, min(outdoor.Hours[i].Vapor, air.SatPressure(climate.AssumedRoomTemp)), h.Vapor)
	}
}

// 20 June 2026 00:00 to 24:00 in New York standard time is 05:00 UTC on; daylight
// saving time must not shift it.
func TestRoomMapsLoggedHoursToStandardTime(t *testing.T) {
	outdoor := steady(30, 0.5, climate.CommonYear)
	room := roomOf(t, climate.RoomInput{
		Building: &outdoor, Location: newYork(t),
		Logs: []climate.Log{logOf(utc(time.June, 20, 5), 24, 26, 15)},
	})
	first, ok := climate.HourOfYear(time.June, 20, 0, climate.CommonYear)
	require.True(t, ok)
	require.Equal(t, 24, room.Logged)
	for i, h := range room.Hours {
		logged := i >= first && i < first+24
		require.Equal(t, logged, h.Origin == climate.Measured, "hour %d", i)
	}
	require.Equal(t, "2026-06-21T05:00:00Z", room.Newest.UTC().Format(time.RFC3339))
}

func TestRoomOffsets(t *testing.T) {
	outdoor := steady(30, 0.5, climate.CommonYear)
	outside := outdoor.Hours[0].Vapor
	inside := air.SatPressure(15)
	hand := []climate.HandReading{
		{At: utc(time.March, 1, 12), Vapor: outside + 100},
		{At: utc(time.August, 2, 12), Vapor: outside - 300},
		{At: utc(time.November, 3, 12), Vapor: outside - 200},
	}
	june, july := time.June-1, time.July-1
	cases := []struct {
		name       string
		in         climate.RoomInput
		june, july climate.Offset
	}{
		{"24 logged hours", climate.RoomInput{Logs: []climate.Log{logOf(utc(time.June, 20, 0), 24, 26, 15)}},
			climate.Offset{Vapor: inside - outside, From: climate.OffsetLogger}, climate.Offset{From: climate.OffsetNone}},
		{"23 logged hours", climate.RoomInput{Logs: []climate.Log{logOf(utc(time.June, 20, 0), 23, 26, 15)}},
			climate.Offset{From: climate.OffsetNone}, climate.Offset{From: climate.OffsetNone}},
		{"3 hand readings", climate.RoomInput{Hand: hand},
			climate.Offset{Vapor: -200, From: climate.OffsetHand}, climate.Offset{Vapor: -200, From: climate.OffsetHand}},
		{"2 hand readings", climate.RoomInput{Hand: hand[:2]},
			climate.Offset{From: climate.OffsetNone}, climate.Offset{From: climate.OffsetNone}},
		{"logger before hand", climate.RoomInput{Hand: hand, Logs: []climate.Log{logOf(utc(time.June, 20, 0), 24, 26, 15)}},
			climate.Offset{Vapor: inside - outside, From: climate.OffsetLogger}, climate.Offset{Vapor: -200, From: climate.OffsetHand}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			c.in.Building = &outdoor
			room := roomOf(t, c.in)
			for m, want := range map[time.Month]climate.Offset{june: c.june, july: c.july} {
				require.Equal(t, want.From, room.Offsets[m].From)
				require.InDelta(t, float64(want.Vapor), float64(room.Offsets[m].Vapor), 1e-9)
			}
			i, _ := climate.HourOfYear(time.July, 1, 0, climate.CommonYear)
			require.InDelta(t, float64(outside+c.july.Vapor), float64(room.Hours[i].Vapor), 1e-9)
		})
	}
}

func TestRoomTemperature(t *testing.T) {
	outdoor := steady(30, 0.3, climate.CommonYear)
	entered := unit.Celsius(21)
	june := logOf(utc(time.June, 2, 0), 24, 27, 10)
	brief := logOf(utc(time.June, 2, 0), 23, 27, 10)
	twoMonths := []climate.Log{june, logOf(utc(time.July, 2, 0), 48, 29, 10)}
	cases := []struct {
		name      string
		logs      []climate.Log
		entered   *unit.Celsius
		from      climate.TempFrom
		june, dec unit.Celsius
	}{
		{"assumed", nil, nil, climate.TempAssumed, 24, 24},
		{"entered", nil, &entered, climate.TempEntered, 21, 21},
		{"logger before entered", []climate.Log{june}, &entered, climate.TempLogger, 27, 27},
		{"too short a log", []climate.Log{brief}, &entered, climate.TempEntered, 21, 21},
		{"by month", twoMonths, nil, climate.TempLogger, 27, 29},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			room := roomOf(t, climate.RoomInput{Building: &outdoor, Logs: c.logs, Temp: c.entered})
			require.Equal(t, c.from, room.TempFrom)
			for month, want := range map[time.Month]unit.Celsius{time.June: c.june, time.December: c.dec} {
				i, _ := climate.HourOfYear(month, 20, 0, climate.CommonYear)
				require.Equal(t, want, room.Hours[i].T)
			}
		})
	}
}

func TestRoomTakesTheNewerHour(t *testing.T) {
	outdoor := steady(30, 0.5, climate.CommonYear)
	old := logOf(time.Date(2025, 6, 20, 0, 0, 0, 0, time.UTC), 48, 26, 15)
	newer := logOf(utc(time.June, 21, 0), 24, 27, 16)
	room := roomOf(t, climate.RoomInput{Building: &outdoor, Logs: []climate.Log{old, newer}})
	i, _ := climate.HourOfYear(time.June, 21, 5, climate.CommonYear)
	require.Equal(t, unit.Celsius(27), room.Hours[i].T)
	require.Equal(t, unit.Celsius(26), room.Hours[i-24].T)
	require.Equal(t, 48, room.Logged)
}

func TestRoomLeapDay(t *testing.T) {
	leapDay := logOf(time.Date(2028, 2, 29, 0, 0, 0, 0, time.UTC), 24, 26, 15)
	common, leap := steady(30, 0.5, climate.CommonYear), steady(30, 0.5, climate.LeapYear)
	require.Zero(t, roomOf(t, climate.RoomInput{Building: &common, Logs: []climate.Log{leapDay}}).Logged)
	require.Equal(t, 24, roomOf(t, climate.RoomInput{Building: &leap, Logs: []climate.Log{leapDay}}).Logged)
}

func TestRoomWithoutTheBuildingsAir(t *testing.T) {
	_, err := climate.Room(climate.RoomInput{Logs: []climate.Log{logOf(utc(time.January, 1, 0), 200*24, 26, 15)}})
	var fileErr *climate.FileError
	require.ErrorAs(t, err, &fileErr)
	require.Equal(t, climate.CodeMonths, fileErr.Code)
	require.Len(t, fileErr.Faults, 5, "August to December")
	require.ErrorContains(t, err, "August: has 0 logged hours, needs 24")

	var logs []climate.Log
	for month := time.January; month <= time.December; month++ {
		logs = append(logs, logOf(utc(month, 2, 0), 48, 26, unit.Celsius(month)))
	}
	room := roomOf(t, climate.RoomInput{Logs: logs})
	require.True(t, room.Coarse)
	require.Equal(t, 12*48, room.Logged)
	i, _ := climate.HourOfYear(time.September, 20, 0, climate.CommonYear)
	require.InDelta(t, 9, float64(room.Hours[i].DewPoint()), 1e-9)
}

func TestRoomSource(t *testing.T) {
	outdoor := steady(30, 0.5, climate.CommonYear)
	outdoor.Name, outdoor.Source = "Testville", "synthetic"
	log := logOf(utc(time.June, 20, 0), 24, 26, 15)
	log.Hours[3].Origin = climate.Interpolated
	log.Hours = append(log.Hours, log.Hours[0])
	room := roomOf(t, climate.RoomInput{Building: &outdoor, Logs: []climate.Log{log}})
	require.Equal(t, "room logger 24 h, interpolated 1 h, other 8735 h: Testville, synthetic shifted by the logger in 1 months, "+
		"room temperature from the logger", room.Source)
}

func TestRoomRefusesAShortYear(t *testing.T) {
	short := steady(30, 0.5, 24)
	_, err := climate.Room(climate.RoomInput{Building: &short})
	require.ErrorContains(t, err, "24 hours; a whole year has 8760 or 8784")
}

func TestRoomAirIsNeverBeyondSaturation(t *testing.T) {
	outdoor := readTable(t, "climates/outdoor_open.csv")
	rapid.Check(t, func(t *rapid.T) {
		entered := unit.Celsius(rapid.Float64Range(-10, 45).Draw(t, "entered"))
		var hand []climate.HandReading
		for range 3 {
			hand = append(hand, climate.HandReading{
				At:    utc(time.January, 1, rapid.IntRange(0, 8759).Draw(t, "hour")),
				Vapor: unit.Pascal(rapid.Float64Range(0, 9000).Draw(t, "vapor")),
			})
		}
		room, err := climate.Room(climate.RoomInput{Building: &outdoor, Hand: hand, Temp: &entered})
		require.NoError(t, err)
		sat := air.SatPressure(entered)
		for i, h := range room.Hours {
			if h.T != entered || !(h.Vapor >= 0 && h.Vapor <= sat) {
				t.Fatalf("hour %d: %v Pa at %v °C, saturation %v Pa", i, h.Vapor, h.T, sat)
			}
		}
	})
}

func TestStandardOffset(t *testing.T) {
	for name, want := range map[string]time.Duration{
		"America/New_York": -5 * time.Hour,
		"Australia/Sydney": 10 * time.Hour,
		"Asia/Kolkata":     5*time.Hour + 30*time.Minute,
		"UTC":              0,
	} {
		loc, err := time.LoadLocation(name)
		require.NoError(t, err)
		require.Equal(t, want, climate.StandardOffset(utc(time.July, 1, 0), loc), name)
		require.Equal(t, want, climate.StandardOffset(utc(time.January, 1, 0), loc), name)
	}
}
