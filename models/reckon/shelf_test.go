package reckon_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"drylag/models/climate"
	"drylag/models/reckon"
)

// hoursIn asks for the hours below the dew point of metal at 7 °C.
func hoursIn(shelf *reckon.Shelf, name string) (any, error) {
	inputs, err := reckon.ReadInputs([]byte(`{"climate":{"value":"` + name + `","unit":"file"},"t_metal":{"value":7,"unit":"degC"}}`))
	if err != nil {
		return nil, err
	}
	got, err := reckon.Ask(reckon.Question{Quantity: "hours_metal_below_dew_point", Inputs: inputs}, shelf)
	return got.Outputs["hours"].Value, err
}

// A file is found by its path, with or without ending, and from inside a folder
// of its own name. 8784 hours are a year as well.
func TestClimatesAreFound(t *testing.T) {
	leap := climate.Steady(24, 0.5)
	leap.Hours = append(leap.Hours, leap.Hours[:24]...)
	var text strings.Builder
	require.NoError(t, climate.WriteHourTable(&text, leap))
	files := fstest.MapFS{"leap.csv": {Data: []byte(text.String())}, "a/b.CSV": {Data: []byte(text.String())}, "climates/none.txt": {Data: []byte("x")}}
	shelf := reckon.NewShelf(files, "climates")
	for _, name := range []string{"leap.csv", "leap", "./leap.csv", "a/../leap.csv", "climates/leap.csv", "climates/leap", "a/b.CSV"} {
		hours, err := hoursIn(shelf, name)
		require.NoError(t, err, name)
		require.Equal(t, 8784.0, hours, "24 °C and 50 % are above 7 °C at every hour")
	}
	for _, name := range []string{"../leap.csv", "/leap.csv", "a", "climates/none.txt", "climates/none", "a//../../leap", `..\\leap.csv`, "nul\\u0000"} {
		_, err := hoursIn(shelf, name)
		var fault *reckon.Fault
		require.ErrorAs(t, err, &fault, name)
		require.Equal(t, reckon.ClimateFile, fault.Code, name)
	}
}

// A year of an EPW file is that of the hour table with the same air.
func TestClimateOfEPW(t *testing.T) {
	var b strings.Builder
	b.WriteString("LOCATION,Nowhere,-,-,made,0,0,0,0,0\nDATA PERIODS,1,1,Data,Sunday,1/1,12/31\n")
	days := []int{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}
	for m, n := range days {
		for d := 1; d <= n; d++ {
			for h := 1; h <= 24; h++ {
				dew := "6.0"
				if h > 12 {
					dew = "8.0"
				}
				b.WriteString(strings.Join([]string{"2001", itoa(m + 1), itoa(d), itoa(h), "60", "x", "20.0", dew, "45", "101325"}, ",") + "\n")
			}
		}
	}
	hours, err := hoursIn(reckon.NewShelf(fstest.MapFS{"w.epw": {Data: []byte(b.String())}}, ""), "w.epw")
	require.NoError(t, err)
	require.Equal(t, 4380.0, hours, "half the day has a dew point above 7 °C")
	_, err = hoursIn(reckon.NewShelf(fstest.MapFS{"w.epw": {Data: []byte(b.String()[:2000])}}, ""), "w.epw")
	require.ErrorContains(t, err, "CLIMATE_ROWS: climate")
}

func itoa(n int) string { return string(rune('0'+n/10)) + string(rune('0'+n%10)) }

// A link inside the folder that leads out of it is not followed.
func TestClimatesDoNotLeadOut(t *testing.T) {
	outside, dir := t.TempDir(), t.TempDir()
	var text strings.Builder
	require.NoError(t, climate.WriteHourTable(&text, climate.Steady(24, 0.5)))
	require.NoError(t, os.WriteFile(filepath.Join(outside, "x.csv"), []byte(text.String()), 0o600))
	require.NoError(t, os.Symlink(filepath.Join(outside, "x.csv"), filepath.Join(dir, "x.csv")))
	root, err := os.OpenRoot(dir)
	require.NoError(t, err)
	defer root.Close()
	_, err = hoursIn(reckon.NewShelf(root.FS(), ""), "x.csv")
	require.ErrorContains(t, err, "CLIMATE_FILE")
	require.NotContains(t, err.Error(), outside)
}

// Without files the climates that the program brings can be named, and nothing else.
func TestShippedClimates(t *testing.T) {
	require.NotEmpty(t, reckon.Climates())
	for _, name := range reckon.Climates() {
		hours, err := hoursIn(nil, strings.ToUpper(name))
		require.NoError(t, err)
		require.Equal(t, 8760.0, hours)
	}
	_, err := hoursIn(nil, "room.csv")
	require.ErrorContains(t, err, reckon.Climates()[0])
}

// Many climates in one run are read again after they were dropped.
func TestManyClimates(t *testing.T) {
	var text strings.Builder
	require.NoError(t, climate.WriteHourTable(&text, climate.Steady(24, 0.5)))
	files := fstest.MapFS{}
	for n := range 20 {
		files[itoa(n)+".csv"] = &fstest.MapFile{Data: []byte(text.String())}
	}
	shelf := reckon.NewShelf(files, "")
	for range 2 {
		for n := range 20 {
			hours, err := hoursIn(shelf, itoa(n))
			require.NoError(t, err)
			require.Equal(t, 8760.0, hours)
		}
	}
}
