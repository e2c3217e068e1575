package unit_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models/unit"
)

func TestParseAs(t *testing.T) {
	tests := []struct {
		text, like string
		value      float64
		unit       string
	}{
		{"12.5", "mg/(m2 d)", 12.5, "mg/(m2 d)"},
		{"12.5 mg/(m² d)", "mg/(m2 d)", 12.5, "mg/(m2 d)"},
		{"6", "in", 6, "in"},
		{"1 1/2 in", "in", 1.5, "in"},
		{"1 1/2\"", "in", 1.5, "in"},
		{"2½", "in", 2.5, "in"},
		{"5 ft 6 in", "in", 66, "in"},
		{"18 months", "", 0, ""},
		{"10 years", "yr", 10, "yr"},
		{"0.94", "1", 0.94, "1"},
		{"94 %", "1", 94, "%"},
		{"0.24 Btu/(lb F)", "J/(kg K)", 0.24, "Btu/(lb F)"},
		{"12 in", "", 12, "in"},
		{"1.32", "", 1.32, "1"},
		{"−3", "1", -3, "1"},
	}
	for _, tt := range tests {
		t.Run(tt.text+" as "+tt.like, func(t *testing.T) {
			got, err := unit.ParseAs("x", tt.text, tt.like)
			if tt.unit == "" {
				require.Error(t, err)
				return
			}
			require.NoError(t, err)
			require.Equal(t, tt.unit, got.Unit)
			require.InDelta(t, tt.value, got.Value, 1e-12)
		})
	}
}

func TestParseAsRefuses(t *testing.T) {
	tests := []struct{ text, like, want string }{
		{"", "yr", `x: give a number in yr`},
		{"soon", "yr", `"soon" is not a number: give a number in yr`},
		{"5,6", "1", "has a comma"},
		{"5 m", "yr", "has a unit of something else: give a number in yr"},
		{"5 m", "1", "has a unit of something else: give a number without a unit"},
		{"5 parsecs", "", "has a unit that is not known here: give a number with its unit, such as 12 in"},
		{"1e999", "1", "is too large"},
		{"1/0", "1", "divides by nothing"},
		{"5 ft 6 in", "yr", "has a unit of something else"},
		{"1111111111111111111111111111111111111111111111111111111111111", "1", "is too long"},
	}
	for _, tt := range tests {
		t.Run(tt.text+" as "+tt.like, func(t *testing.T) {
			_, err := unit.ParseAs("x", tt.text, tt.like)
			var entry *unit.EntryError
			require.ErrorAs(t, err, &entry)
			require.Contains(t, err.Error(), tt.want)
		})
	}
}
