package register

import (
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models"
)

func TestRustAreaIsTheMiddleOfItsSpan(t *testing.T) {
	tests := []struct {
		name   string
		metal  models.MetalFinding
		want   *float64
		source string
	}{
		{"clean", models.MetalFinding{Scale: "ri", Grade: "Ri 0"}, new(0.0), "ISO 4628-3: Ri 0 is no rust"},
		{"Ri 3", models.MetalFinding{Scale: "ri", Grade: "Ri 3"}, new(1.0), "ISO 4628-3: Ri 3 is 1 %"},
		{"Ri 5", models.MetalFinding{Scale: "ri", Grade: "Ri 5"}, new(45.0), "ISO 4628-3: Ri 5 is 40 to 50 %"},
		{"D610 4", models.MetalFinding{Scale: "d610", Grade: "4"}, new(6.5), "ASTM D610: grade 4 is over 3 up to 10 %"},
		{"percent", models.MetalFinding{Scale: "area", AreaPct: new(2.5)}, new(2.5), "as recorded"},
		{"no area", models.MetalFinding{Scale: "iso8501", Grade: "B"}, nil, "ISO 8501-1 grades uncoated steel"},
		{"not graded", models.MetalFinding{}, nil, "nothing recorded"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := RustArea(tt.metal)
			if tt.want == nil {
				require.Nil(t, got, tt.source)
				return
			}
			require.NotNil(t, got, tt.source)
			require.InDelta(t, *tt.want, *got, 1e-9, tt.source)
		})
	}
}
