package models

import "fmt"

// CoverState says whether the cover hides the metal today. An opening is an
// event, not a state.
type CoverState string

// The states of a cover.
const (
	Planned  CoverState = "planned"
	InPlace  CoverState = "in_place"
	Off      CoverState = "off" // bare: it sweats, wastes energy and rusts; comes first
	Replaced CoverState = "replaced"
	Retired  CoverState = "retired"
)

// CoverStates in the order of a cover's life.
var CoverStates = Vocabulary{
	{string(Planned), "planned"}, {string(InPlace), "in place"}, {string(Off), "off"},
	{string(Replaced), "replaced"}, {string(Retired), "retired"},
}

// Insulations are the fillings of a cover.
var Insulations = Vocabulary{
	{"fibrous", "glass or mineral fiber"}, {"nitrile", "nitrile rubber"}, {"polyethylene", "polyethylene"},
	{"cellular_glass", "cellular glass"}, {"foam", "PUR or PIR foam"},
}

// Closures are the ways a cover is held and its seam made tight.
var Closures = Vocabulary{
	{"tape", "tape"}, {"sealant", "sealant"}, {"tape_sealant", "tape and sealant"},
	{"straps", "straps or buckles"}, {"lacing", "lacing"}, {"hook_loop", "hook and loop"},
}

// Cover is one removable insulation cover.
type Cover struct {
	ID        ID
	Component ID
	Label     string // own label code, printed on the cover
	State     CoverState

	Insulation    string // Insulations
	ThicknessMM   *float64
	Conductivity  *float64 // W/(m K) at 24 °C
	Facing        string
	PermeancePerm *float64 // US perm
	Closure       string   // Closures

	Penetrations *int     // stems, drains, vents, gauges, hangers through the cover
	SeamClock    *float64 // clock position of the long seam looking along the flow, 12 = top
	SightPort    bool     // has a sight port or moisture indicator
	Inhibitor    string   // left under it at fitting
	Pattern      string   // pattern number, so that a spare can be made without a visit
	Fitted       Date     // "" not known
	Since        Date     // first known to the record: fitting, else import
	CoatedOn     Date     // coating of the metal before fitting, "" none or not known
	CoatQuality  string   // CoatClasses
	Note         string
	OffSince     Date // day on which it was found off, "" while in place
	Version      int
}

// Validate reports every fault at once.
func (c Cover) Validate() error {
	var f Faults
	c.check(&f)
	return f.Err()
}

func (c Cover) check(f *Faults) {
	CoverStates.Check(f, "state", string(c.State))
	f.Need("state", c.State != "", "Say whether it is in place.")
	checkLen(f, "label", c.Label, 40)
	Insulations.Check(f, "insulation", c.Insulation)
	Closures.Check(f, "closure", c.Closure)
	CoatClasses.Check(f, "coat_quality", c.CoatQuality)
	between(f, "thickness", c.ThicknessMM, 1, 500, "mm")
	between(f, "conductivity", c.Conductivity, 0.005, 500, "W/(m K)")
	between(f, "permeance", c.PermeancePerm, 0, 1000, "perm")
	between(f, "seam_clock", c.SeamClock, 0, 12, "o'clock")
	if c.Penetrations != nil && (*c.Penetrations < 0 || *c.Penetrations > 40) {
		f.Add("penetrations", "must be between 0 and 40")
	}
	checkLen(f, "facing", c.Facing, 120)
	checkLen(f, "pattern", c.Pattern, 60)
	checkLen(f, "note", c.Note, 4000)
}

// Method is how the seam is made tight, as the wetness model groups closures:
// tape, sealant, tape_sealant, mechanical, or empty where not known.
func (c Cover) Method() string {
	switch c.Closure {
	case "straps", "lacing", "hook_loop":
		return "mechanical"
	}
	return c.Closure
}

// Taped tells whether closing this cover uses tape.
func (c Cover) Taped() bool { return c.Closure == "tape" || c.Closure == "tape_sealant" }

// Places are the places of this cover's seal, in the order in which they are
// looked at.
func (c Cover) Places() []Place {
	out := []Place{LongSeam, NearEnd, FarEnd}
	n := 0
	if c.Penetrations != nil {
		n = *c.Penetrations
	}
	for i := 1; i <= n; i++ {
		out = append(out, Penetration(i))
	}
	return append(out, EdgesCorners, FacingPlace)
}

// Place names one place of a vapor seal.
type Place string

// The fixed places; penetrations are numbered from one.
const (
	LongSeam     Place = "long_seam"
	NearEnd      Place = "near_end"
	FarEnd       Place = "far_end"
	EdgesCorners Place = "edges_corners"
	FacingPlace  Place = "facing"
)

// Penetration is the i-th penetration through the cover, from one.
func Penetration(i int) Place { return Place(fmt.Sprintf("penetration_%d", i)) }

// Say is the place in words.
func (p Place) Say() string {
	var n int
	switch p {
	case LongSeam:
		return "long seam"
	case NearEnd:
		return "near end"
	case FarEnd:
		return "far end"
	case EdgesCorners:
		return "edges and corners"
	case FacingPlace:
		return "facing"
	}
	if _, err := fmt.Sscanf(string(p), "penetration_%d", &n); err == nil {
		return fmt.Sprintf("penetration %d", n)
	}
	return string(p)
}

// Valid tells whether p is one of the places.
func (p Place) Valid() bool {
	var n int
	switch p {
	case LongSeam, NearEnd, FarEnd, EdgesCorners, FacingPlace:
		return true
	}
	_, err := fmt.Sscanf(string(p), "penetration_%d", &n)
	return err == nil && n >= 1 && n <= 40 && p == Penetration(n)
}

// CoverSheet is one cover with everything it stands on: the component under
// it, its room, loop and building.
type CoverSheet struct {
	Cover     Cover
	Component Component
	Room      Room
	Loop      Loop // zero where not known
	Building  Building
}

// Validate reports every fault of cover and component at once.
func (s CoverSheet) Validate() error {
	var f Faults
	s.Component.check(&f)
	s.Cover.check(&f)
	return f.Err()
}

// AssumedServiceC is the service temperature taken where neither the component
// nor its loop says one, in °C (common chilled-water supply, 4-7 °C); always
// shown as assumed.
const AssumedServiceC = 7.0

// ServiceC is the cold-season service temperature in °C and whether it had to
// be assumed.
func (s CoverSheet) ServiceC() (c float64, assumed bool) {
	switch {
	case s.Component.ServiceC != nil:
		return *s.Component.ServiceC, false
	case s.Component.Side == "return" && s.Loop.ReturnC != nil:
		return *s.Loop.ReturnC, false
	case s.Loop.SupplyC != nil:
		return *s.Loop.SupplyC, false
	}
	return AssumedServiceC, true
}

// Dual tells whether hot water runs through the part in some season.
func (s CoverSheet) Dual() bool { return s.Loop.Kind == "dual" }

// Water says what runs through the part.
type Water int

// The waters of a loop over the year.
const (
	ColdWater     Water = iota
	HotWater            // the hot season of a dual-temperature loop
	StandingWater       // the loop is stopped: the metal takes the room's temperature
)

// WaterOn is the water in the part on a day of the year. A stop goes before
// the hot season.
func (s CoverSheet) WaterOn(month, day int) Water {
	switch {
	case s.Loop.Stopped.Holds(month, day):
		return StandingWater
	case s.Dual() && s.Loop.HotC != nil && s.Loop.Hot.Holds(month, day):
		return HotWater
	}
	return ColdWater
}

// Title names the part in words: "gate valve NPS 6".
func (s CoverSheet) Title() string { return PartTitle(s.Component.Kind, s.Component.NPS) }

// PartTitle names a part by kind and size: "gate valve NPS 6".
func PartTitle(kind string, nps *float64) string {
	t := ComponentKinds.Say(kind)
	if kind == "" {
		t = "component"
	}
	if nps != nil {
		t += " NPS " + SayNPS(*nps)
	}
	return t
}

// SayNPS writes a nominal pipe size as the trade does: 1 1/2, 6, 3/4.
func SayNPS(nps float64) string {
	whole := int(nps)
	frac := map[float64]string{0.125: "1/8", 0.25: "1/4", 0.375: "3/8", 0.5: "1/2", 0.75: "3/4"}[nps-float64(whole)]
	switch {
	case frac == "":
		return fmt.Sprintf("%g", nps)
	case whole == 0:
		return frac
	}
	return fmt.Sprintf("%d %s", whole, frac)
}
