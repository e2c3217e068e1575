package reckon_test

import (
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"drylag/models/reckon"
)

// drawn is a value of an input within its range: the ends, what is near them,
// or between, by size or by its logarithm.
func drawn(t *rapid.T, in reckon.Input) float64 {
	low, high := in.Range.Min, in.Range.Max
	if in.Range.MinOpen {
		low += 1e-9 * math.Max(1e-6, math.Min(1, high-low))
	}
	if in.Range.MaxOpen {
		high -= 1e-9 * (high - low)
	}
	part := rapid.Float64Range(0, 1).Draw(t, in.Name)
	switch rapid.IntRange(0, 4).Draw(t, in.Name+" how") {
	case 0:
		return low
	case 1:
		return high
	case 2:
		if low > 0 {
			return low * math.Pow(high/low, part)
		}
	}
	return math.Min(high, low+part*(high-low))
}

func drawInput(t *rapid.T, in reckon.Input) any {
	switch in.Shape {
	case reckon.Numbers:
		list := make([]float64, rapid.IntRange(0, 3).Draw(t, in.Name+" n"))
		for i := range list {
			list[i] = drawn(t, in)
		}
		return list
	case reckon.Word:
		return rapid.SampledFrom(in.Words).Draw(t, in.Name)
	case reckon.YesNo:
		return rapid.Bool().Draw(t, in.Name)
	case reckon.Climate:
		return reckon.Climates()[0]
	case reckon.Any:
		return rapid.Float64Range(-1e300, 1e300).Draw(t, in.Name)
	case reckon.Rows:
		rows := make([]map[string]float64, rapid.IntRange(1, 3).Draw(t, in.Name+" n"))
		for i := range rows {
			rows[i] = map[string]float64{}
			for _, f := range in.Fields {
				rows[i][f.Name] = drawn(t, f)
			}
		}
		return rows
	}
	return drawn(t, in)
}

// Inside the ranges every quantity has an answer of finite numbers or a fault
// that says why not; the formula's own NaN is not met.
func TestRangesAreTheFormulas(t *testing.T) {
	for _, q := range reckon.All() {
		t.Run(q.Name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				inputs := map[string]any{}
				for _, input := range q.Inputs {
					if input.Default != nil && rapid.Bool().Draw(t, input.Name+" usual") || input.Optional && rapid.Bool().Draw(t, input.Name+" out") {
						continue
					}
					of := input.Unit
					if input.Shape == reckon.Any {
						of = "1"
					}
					inputs[input.Name] = in(drawInput(t, input), of)
				}
				text, err := json.Marshal(inputs)
				require.NoError(t, err)
				given, err := reckon.ReadInputs(text)
				require.NoError(t, err)
				answer, err := reckon.Ask(reckon.Question{Quantity: q.Name, Inputs: given}, nil)
				var fault *reckon.Fault
				if err == nil {
					require.Len(t, answer.Outputs, len(q.Outputs))
					return
				}
				require.ErrorAs(t, err, &fault)
				if fault.Code == reckon.NoAnswer {
					require.Contains(t, noAnswer, q.Name, "%s %v", text, fault)
				}
			})
		})
	}
}

// noAnswer are the quantities that may have none inside their ranges.
var noAnswer = map[string]string{
	"vapor_ingress_cylinder": "the outside itself is wet",
}
