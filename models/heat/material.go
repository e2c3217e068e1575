package heat

import "drylag/models/unit"

// Mean temperatures in which the conductivities of Materials hold.
const (
	MinMaterialTemp unit.Celsius = 0
	MaxMaterialTemp unit.Celsius = 50
)

// Material is a generic insulation with its usual conductivity, a default for
// where the maker's figure is not at hand.
type Material struct {
	Name    string
	Density unit.KgPerM3 // that the figure is for; 0: not given by the source
	K       Conductivity
	Source  Source
}

// Materials returns the default conductivities, to be used with mean
// temperatures of 0 to 50 °C only. See ConductivitySource.
func Materials() []Material {
	k := func(atZero unit.WPerMK, perK float64) Conductivity { return Conductivity{atZero, perK} }
	return []Material{
		{"nitrile rubber", 60, k(0.035, 1.0e-4), ConductivitySource},
		{"polyethylene", 30, k(0.040, 1.0e-4), ConductivitySource},
		{"glass wool", 47.5, k(0.0289, 1.25e-4), ConductivitySource},
		{"rock wool", 100, k(0.032, 1.0e-4), ConductivitySource},
		{"E-glass needle mat", 130, k(0.035, 2.0e-4), ConductivitySource},
		{"cellular glass", 120, k(0.038, 2.0e-4), ConductivitySource},
		{"PUR or PIR foam", 0, k(0.0222, 0.75e-4), ConductivitySource},
	}
}

// Outer is an outside with its usual emissivity. For condensation take Low: a
// brighter surface is colder.
type Outer struct {
	Name      string
	Low, High unit.Fraction
	Source    Source
}

// Outers returns the default emissivities. See EmissivitySource.
func Outers() []Outer {
	return []Outer{
		{"painted, fabric or silicone", 0.90, 0.90, EmissivitySource},
		{"oxidized steel", 0.85, 0.85, EmissivitySource},
		{"galvanized, dull", 0.45, 0.45, EmissivitySource},
		{"bright aluminum", 0.05, 0.10, EmissivitySource},
	}
}
