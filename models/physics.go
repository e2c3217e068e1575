package models

// Physics is what air, heat and vapor do at one cover over a typical year of
// its own room, with the seasons of its loop. What could not be worked out is
// nil, and Gaps says what is missing. Heat and water are estimates.
type Physics struct {
	Answer string // the hours in a sentence
	Drying string // whether the cover can dry, in a sentence

	Air          string // in words: which file or logger, its age, what was filled
	AirAssumed   bool   // no humidity is known: 24 °C and 50 % all year
	MetalC       float64
	MetalAssumed bool
	Hours        float64 // in the year
	Hot          float64 // of them with hot water
	Stopped      float64 // of them with the loop stopped
	Months       [12]PhysicsMonth

	BareBelow float64 // hours with bare metal below the dew point
	BareDamp  float64 // hours with air over 80 % at the metal, those included
	DrivePaH  float64 // Σ max(0, p_room − p_sat(metal)), Pa·h
	NetPaH    float64 // Σ (p_room − p_sat(metal)), Pa·h

	Part    *PhysicsPart  // nil: its size is not recorded
	Cover   *PhysicsCover // nil: its thickness or the part's size is not recorded
	Dry     []StayDry     // empty: the part's size is not recorded
	Water   *WaterGain
	Heat    *HeatYear
	Closing Reclosing // made anew and coated, all that a re-closing can take

	Gaps []Gap
	Why  []Formula
}

// PhysicsMonth is one month, January first. Of a range, Mid is the mean of the
// hours, Lo and Hi the least and the greatest.
type PhysicsMonth struct {
	DewC, MetalC Range
	Hours        float64
	Below, Damp  float64 // as Physics.BareBelow and BareDamp
	Stopped      float64
}

// Sweats tells whether bare metal is below the dew point for half of the month
// or more.
func (m PhysicsMonth) Sweats() bool { return m.Hours > 0 && 2*m.Below >= m.Hours }

// PhysicsPart is the part as its heat sees it: a cylinder of the same length and
// area.
type PhysicsPart struct {
	DiameterM, LengthM, BareM2 float64
	Assumed                    []Assumption
}

// PhysicsCover is the cover that is fitted.
type PhysicsCover struct {
	ThicknessMM  float64
	Conductivity float64 // W/(m K) at 24 °C
	Emissivity   float64
	Below        float64 // hours with its outside below the dew point
	Assumed      []Assumption
}

// StayDry is the least thickness that keeps the outside dry in one air.
type StayDry struct {
	Own          bool // the room's own damp air: the hour that 1 % of its cold hours exceed; else the published design air
	AirC, DewC   float64
	LeastMM      *float64 // nil: unattainable
	Unattainable bool     // not even 500 mm do
	SurfaceC     *float64 // of the fitted cover in this air
}

// MarginK is how far the fitted cover's surface is above the dew point.
func (d StayDry) MarginK() *float64 {
	if d.SurfaceC == nil {
		return nil
	}
	return new(*d.SurfaceC - d.DewC)
}

// WaterGain is the water that comes in by diffusion in a year. Air that is
// pumped through a seam is not bounded by it.
type WaterGain struct {
	IntactKg float64  // facing and seams whole
	LowKg    float64  // one seam open: least
	HighKg   float64  // and most
	Intact   *float64 // years to 5 % by volume; nil: never by diffusion
	Late     *float64 // with the seam open, at the latest
	Early    *float64 // at the earliest
	Perm     float64  // of the facing, US perm
	SeamM    float64
	GapMM    float64
	VolumeM3 float64 // of the insulation
	Assumed  []Assumption
}

// HeatYear is the heat that the cold water takes up in a year and what that
// costs. The cost is nil where a price is not recorded.
type HeatYear struct {
	Bare     HeatCost
	Covered  *HeatCost // nil: the cover's thickness is not recorded
	Price    string    // what the money rests on, in words; "" nothing
	TonHours bool      // that is the price of a ton-hour
	Assumed  []Assumption
}

// HeatCost is heat and its cost, give or take Tolerance of it.
type HeatCost struct {
	KWh         float64  // of heat
	Electricity *float64 // kWh; nil: no COP is recorded
	Money       *float64 // in the building's currency; nil: a price is missing or hidden
	Tolerance   float64  // 0.3: ±30 %
}

// Gap is what the record does not say and what stays unknown by it.
type Gap struct {
	Of      string // "cover", "building"
	Field   string // of its edit page; "" no one field
	Missing string // "the thickness of the insulation"
	For     string // "how long its surface sweats"
}

// Formula says how a number was worked out.
type Formula struct {
	Name, How, Source string
}
