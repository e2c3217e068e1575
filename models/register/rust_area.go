package register

import "drylag/models"

// RustArea is the rusted area in percent that a finding stands for, the middle
// where its scale gives a span; nil where it was not graded or its scale says
// nothing about area (ISO 8501-1).
func RustArea(m models.MetalFinding) *float64 {
	rust, ok := rustOf(m)
	if !ok {
		return nil
	}
	return new((rust.LowPct + rust.HighPct) / 2)
}
