package heat

import "drylag/models/unit"

// Source names where a number comes from, with its tag: see unit.Source.
type Source = unit.Source

// Sources of the methods and of the defaults.
var (
	AirSource          = unit.Library.Source("properties of air: U.S. Standard Atmosphere 1976")
	FreeSource         = unit.Library.Source("free convection: Churchill and Chu 1975")
	ForcedSource       = unit.Library.Source("moving air across a cylinder: Churchill and Bernstein 1977")
	PlateForcedSource  = unit.Memory.Source("moving air along a plate, and the blend with free convection: textbooks")
	SimplifiedSource   = unit.Memory.Source("simplified film coefficients: ISO 12241:2008, 4.1")
	ConductionSource   = unit.Read.Source("conduction in series: Cengel, Heat and Mass Transfer, ch. 3")
	SurfaceSource      = unit.Derived.Source("surface temperature and least thickness: conduction equals the film")
	HoursSource        = unit.Derived.Source("hours with the surface below the dew point: the balance at the dew point of each hour")
	BodySource         = unit.Practice.Source("irregular bodies by equivalent diameter, ±20 %")
	LatentSource       = unit.Read.Source("vapor that turns to water on bare metal: Cengel, Heat and Mass Transfer, ch. 14, ±30 %")
	ConductivitySource = unit.Read.Source("lines through the tables of the TIASA Thermal Insulation Handbook (2001), 3.3 and 4.5; generic materials")
	EmissivitySource   = unit.Memory.Source("usual emissivities of outsides")
)

// Sources lists them in the order of the page that explains the numbers.
func Sources() []Source {
	return []Source{
		AirSource, FreeSource, ForcedSource, PlateForcedSource, SimplifiedSource, ConductionSource,
		SurfaceSource, HoursSource, BodySource, LatentSource, ConductivitySource, EmissivitySource,
	}
}
