package heat

// Tag says how a number or a formula came here.
type Tag string

// The tags, from the firmest to the weakest.
const (
	Read     Tag = "read"                    // in the named text
	Library  Tag = "computed with a library" // read in, and computed with, a general-purpose library
	Derived  Tag = "derived here"            // checkable, and checked by a test
	Practice Tag = "common practice"         // usual on site, no source
	Memory   Tag = "from memory"             // to be confirmed before anyone relies on it
)

// Source names where a number or a formula comes from.
type Source struct {
	Text string
	Tag  Tag
}

// String gives the text with its tag, as it is shown next to the number.
func (s Source) String() string { return s.Text + " (" + string(s.Tag) + ")" }

// Sources of the methods and of the defaults.
var (
	AirSource          = Source{"properties of air: U.S. Standard Atmosphere 1976", Library}
	FreeSource         = Source{"free convection: Churchill and Chu 1975", Library}
	ForcedSource       = Source{"moving air across a cylinder: Churchill and Bernstein 1977", Library}
	PlateForcedSource  = Source{"moving air along a plate, and the blend with free convection: textbooks", Memory}
	SimplifiedSource   = Source{"simplified film coefficients: ISO 12241:2008, 4.1", Memory}
	ConductionSource   = Source{"conduction in series: Cengel, Heat and Mass Transfer, ch. 3", Read}
	SurfaceSource      = Source{"surface temperature and least thickness: conduction equals the film", Derived}
	HoursSource        = Source{"hours with the surface below the dew point: the balance at the dew point of each hour", Derived}
	BodySource         = Source{"irregular bodies by equivalent diameter, ±20 %", Practice}
	LatentSource       = Source{"vapor that turns to water on bare metal: Cengel, Heat and Mass Transfer, ch. 14, ±30 %", Read}
	ConductivitySource = Source{"lines through the tables of the TIASA Thermal Insulation Handbook (2001), 3.3 and 4.5; generic materials", Read}
	EmissivitySource   = Source{"usual emissivities of outsides", Memory}
)

// Sources lists them in the order of the page that explains the numbers.
func Sources() []Source {
	return []Source{
		AirSource, FreeSource, ForcedSource, PlateForcedSource, SimplifiedSource, ConductionSource,
		SurfaceSource, HoursSource, BodySource, LatentSource, ConductivitySource, EmissivitySource,
	}
}
