package reckon_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models/reckon"
	"drylag/models/unit"
)

// Every line of every table can be asked, shown and explained.
func TestTablesAreWhole(t *testing.T) {
	seen := map[string]bool{}
	for _, q := range reckon.All() {
		t.Run(q.Name, func(t *testing.T) {
			require.False(t, seen[q.Name], "two quantities of one name")
			seen[q.Name] = true
			require.Contains(t, reckon.Groups(), q.Group)
			require.NotEmpty(t, q.Title)
			require.True(t, strings.HasSuffix(q.Answers, "?"), "a question: %s", q.Answers)
			require.NotEmpty(t, q.Method)
			require.NotEmpty(t, q.Source.Text)
			require.Contains(t, unit.Tags(), q.Source.Tag)
			require.NotEmpty(t, q.Inputs)
			require.NotEmpty(t, q.Outputs)
			names := map[string]bool{}
			for _, in := range q.Inputs {
				require.False(t, names[in.Name], "two inputs %s", in.Name)
				names[in.Name] = true
				inputIsWhole(t, in)
			}
			for _, o := range q.Outputs {
				require.NotEmpty(t, o.Label, o.Name)
				if o.Unit != "word" && o.Unit != "bool" && o.Unit != "" {
					unitsFit(t, o.Unit, o.UnitIn(unit.SI), o.UnitIn(unit.IP))
				}
			}
		})
	}
	require.Len(t, seen, 80)
}

func inputIsWhole(t *testing.T, in reckon.Input) {
	require.NotEmpty(t, in.Label, in.Name)
	switch in.Shape {
	case reckon.Number, reckon.Numbers:
		require.NotEmpty(t, in.Code, in.Name)
		require.Less(t, in.Range.Min, in.Range.Max, in.Name)
		unitsFit(t, in.Unit, in.UnitIn(unit.SI), in.UnitIn(unit.IP))
		if usual, ok := in.Default.(float64); ok {
			require.GreaterOrEqual(t, usual, in.Range.Min, in.Name)
			require.LessOrEqual(t, usual, in.Range.Max, in.Name)
		} else {
			require.Nil(t, in.Default, in.Name)
		}
	case reckon.Word:
		require.Greater(t, len(in.Words), 1, in.Name)
		if in.Default != nil {
			require.True(t, slices.Contains(in.Words, in.Default.(string)), in.Name)
		}
	case reckon.Rows:
		require.NotEmpty(t, in.Fields, in.Name)
		for _, f := range in.Fields {
			inputIsWhole(t, f)
		}
	case reckon.YesNo, reckon.Climate:
	case reckon.Any:
		require.NotEmpty(t, in.Code, in.Name)
	default:
		require.Fail(t, "a shape that nobody reads", in.Shape)
	}
}

// unitsFit holds the units of a page to the unit of the formula.
func unitsFit(t *testing.T, own string, shown ...string) {
	require.True(t, unit.Known(own), own)
	for _, s := range shown {
		_, err := unit.Convert(1, s, own)
		require.NoError(t, err)
	}
}

// The list is in the order of the groups.
func TestTablesAreByGroup(t *testing.T) {
	at := 0
	for _, q := range reckon.All() {
		place := slices.Index(reckon.Groups(), q.Group)
		require.GreaterOrEqual(t, place, at, q)
		at = place
	}
	dew, ok := reckon.Named("dew_point")
	require.True(t, ok)
	require.Equal(t, "dew_point (Moist air)", dew.String())
	_, ok = reckon.Named("wind_chill")
	require.False(t, ok)
}

// Every quantity has a check case, or is held by a test that names it here.
func TestEveryQuantityIsChecked(t *testing.T) {
	checked := map[string]bool{
		"flat_radiation_fixed_hc": true, "bare_cylinder_sensible": true, "vapor_diffusivity": true, // TestWithoutACheck
		"wetness_interval": true, "wetness_index": true, "wetness_threshold": true, "wetness_index_after": true, // TestWetnessAgreesWithR
	}
	for _, c := range readChecks(t) {
		checked[c.Quantity] = true
	}
	for _, q := range reckon.All() {
		require.True(t, checked[q.Name], q.Name)
		delete(checked, q.Name)
	}
	require.Empty(t, checked, "a case without its quantity")
}
