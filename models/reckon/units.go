package reckon

import "drylag/models/unit"

// conversions is the one question about units.
var conversions = []Quantity{
	{
		Name: "unit_conversion", Title: "Unit conversion", Group: Units,
		Answers: "What is this value in another unit?",
		Inputs:  []Input{{Name: "value", Label: "value", Shape: Any, Code: ValueRange}},
		Outputs: []Output{{Name: "value", Label: "value in the unit wanted"}},
		Method:  "factor of the unit; a year is 8760 h, inches of mercury at 0 °C, Btu of the International Table",
		Source:  unit.Memory.Source("international yard and pound agreement of 1959, NIST SP 811 appendix B"),
		reckon: func(in Values) (Results, error) {
			base, ok := unit.Base(in.values["value"].unit)
			if !ok {
				return nil, fault(UnknownUnit, "value", "%q has no SI unit", in.values["value"].unit)
			}
			si := unit.Reading{Value: in.num("value"), Unit: in.values["value"].unit}.SI()
			return Results{"value": {value: si, unit: base}}, nil
		},
	},
}
