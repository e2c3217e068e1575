package models

// ComponentKinds are the parts that carry removable covers.
var ComponentKinds = Vocabulary{
	{"gate_valve", "gate valve"},
	{"butterfly_valve", "butterfly valve"},
	{"check_valve", "check valve"},
	{"control_valve", "control or balancing valve"},
	{"strainer", "strainer"},
	{"flange_pair", "flange pair"},
	{"pump", "pump"},
	{"flexible_connector", "flexible connector"},
	{"elbow", "elbow"},
	{"fitting", "tee or other fitting"},
}

// Materials of the part under the cover.
var Materials = Vocabulary{
	{"carbon_steel", "carbon steel"},
	{"cast_iron", "cast iron"},
	{"ductile_iron", "ductile iron"},
	{"stainless_steel", "stainless steel"},
	{"bronze", "bronze or brass"},
	{"copper", "copper"},
	{"rubber", "rubber with steel flanges"},
}

// Connections are the ways a component joins the pipe.
var Connections = Vocabulary{
	{"flanged", "flanged"}, {"threaded", "threaded"}, {"welded", "welded"},
	{"grooved", "grooved"}, {"soldered", "soldered"},
}

// Sides of the loop; supply fares worse than return.
var Sides = Vocabulary{{"supply", "supply"}, {"return", "return"}}

// Accesses are the ways up to a component.
var Accesses = Vocabulary{
	{"floor", "from the floor"}, {"ladder", "ladder"}, {"lift", "lift"}, {"confined", "confined space"},
}

// Flows say when water runs.
var Flows = Vocabulary{{"always", "always"}, {"standby", "standby"}, {"seasonal", "seasonal"}}

// Belows, Spares and Withouts are the consequence answers of risk.md 5, mildest
// first; the place in the list, from one, is the consequence class.
var (
	Belows = Vocabulary{
		{"nothing", "nothing"}, {"storage", "storage"}, {"offices", "offices"},
		{"electrical", "electrical or IT equipment"}, {"patients", "patients or laboratories"},
	}
	Spares = Vocabulary{
		{"full", "full spare"}, {"partial", "partial spare"}, {"manual", "manual bypass"},
		{"slow", "slow to replace"}, {"none", "none"},
	}
	Withouts = Vocabulary{
		{"nobody", "nobody notices"}, {"comfort", "comfort"}, {"floor", "one floor"},
		{"building", "the building"}, {"critical", "critical service"},
	}
)

// Component is the part of the cold plant that a cover hides.
type Component struct {
	ID   ID
	Room ID
	Loop ID // None: not known

	Tag        string // what the site calls it; comes first everywhere
	Kind       string // ComponentKinds
	NPS        *float64
	Material   string // Materials
	Connection string // Connections
	Side       string // Sides

	ServiceC      *float64 // nil: from the loop and side
	PressureBar   *float64 // design pressure, gauge
	NominalWallMM *float64
	Schedule      string // pipe schedule: 10, 40, STD, 80
	Class         int    // 1-4: what is at stake, in the manner of API 570; 0: 4

	Where  string // in words, as one walks
	Height *float64
	Access string // Accesses
	People int    // needed at the part; 0: one
	Permit string // name of the permit needed, empty: none
	Flow   string // Flows
	Order  int    // place along the pipe in its room

	Below, Spare, Without string // consequence answers
	Pools                 bool   // a support or interface holds water against the metal
	Note                  string
}

// Validate reports every fault at once.
func (c Component) Validate() error {
	var f Faults
	c.check(&f)
	return f.Err()
}

func (c Component) check(f *Faults) {
	f.Need("room", c.Room != None, "Say which room it is in.")
	f.Need("tag", c.Tag != "", "Give the site's own tag.")
	checkLen(f, "tag", c.Tag, 60)
	f.Need("kind", c.Kind != "", "Say what kind of component it is.")
	for _, w := range []struct {
		field, code string
		words       Vocabulary
	}{
		{"kind", c.Kind, ComponentKinds}, {"material", c.Material, Materials},
		{"connection", c.Connection, Connections}, {"side", c.Side, Sides},
		{"access", c.Access, Accesses}, {"flow", c.Flow, Flows},
		{"below", c.Below, Belows}, {"spare", c.Spare, Spares}, {"without", c.Without, Withouts},
	} {
		w.words.Check(f, w.field, w.code)
	}
	between(f, "nps", c.NPS, 0.125, 60, "in")
	between(f, "service", c.ServiceC, -40, 95, "°C")
	between(f, "pressure", c.PressureBar, 0, 100, "bar")
	between(f, "nominal_wall", c.NominalWallMM, 0.3, 60, "mm")
	between(f, "height", c.Height, -50, 200, "m")
	if c.Class < 0 || c.Class > 4 {
		f.Add("class", "must be 1, 2, 3 or 4")
	}
	if c.People < 0 || c.People > 10 {
		f.Add("people", "must be between 1 and 10")
	}
	checkLen(f, "where", c.Where, 400)
	checkLen(f, "permit", c.Permit, 120)
	checkLen(f, "note", c.Note, 4000)
}

// ModelKind is the component's kind as the wetness model groups it: valve,
// strainer, flange, pump, flex, fitting, or empty where not known.
func (c Component) ModelKind() string {
	switch c.Kind {
	case "gate_valve", "butterfly_valve", "check_valve", "control_valve":
		return "valve"
	case "flange_pair":
		return "flange"
	case "flexible_connector":
		return "flex"
	case "elbow", "fitting":
		return "fitting"
	}
	return c.Kind
}

// StakeClass is the class of what is at stake, 1 to 4; 4 where nobody chose.
func (c Component) StakeClass() int {
	if c.Class == 0 {
		return 4
	}
	return c.Class
}
