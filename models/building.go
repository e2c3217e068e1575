package models

import "time"

// Building is a house with plant rooms. Money is in the site's own currency.
type Building struct {
	ID       ID
	Name     string
	TimeZone string // IANA name; dates of this building are days in this zone
	Currency string // as written before an amount, such as "$"

	YearBuilt        *int   // 1980 or before: insulation is presumed asbestos until shown otherwise
	AsbestosRegister string // where the register is kept
	AltitudeM        *float64

	LaborRate   *float64 // per crew hour
	TapePrice   *float64 // per meter
	COP         *float64 // of the chilled-water plant, kW cooling per kW electric
	Tariff      *float64 // per kWh electric
	TonHourCost *float64 // per ton-hour of chilled water, instead of COP and tariff

	LimitYears     *float64 // the owner's longest time between openings; nil: by class, else Policy.LimitYears
	FirstLookYears *float64 // the first-look program; nil: Policy.FirstLookYears
	Note           string
	Version        int
}

// Validate reports every fault at once.
func (b Building) Validate() error {
	var f Faults
	f.Need("name", b.Name != "", "Give the building a name.")
	checkLen(&f, "name", b.Name, 120)
	if _, err := time.LoadLocation(b.TimeZone); err != nil || b.TimeZone == "" {
		f.Add("time_zone", "%q is not a time zone: use a name such as America/New_York", b.TimeZone)
	}
	if b.YearBuilt != nil && (*b.YearBuilt < 1700 || *b.YearBuilt > 2200) {
		f.Add("year_built", "a year between 1700 and 2200")
	}
	between(&f, "altitude", b.AltitudeM, -500, 11000, "m")
	between(&f, "labor_rate", b.LaborRate, 0, 1e5, "per hour")
	between(&f, "tape_price", b.TapePrice, 0, 1e4, "per meter")
	between(&f, "cop", b.COP, 0.1, 30, "")
	between(&f, "tariff", b.Tariff, 0, 1e3, "per kWh")
	between(&f, "ton_hour_cost", b.TonHourCost, 0, 1e3, "per ton-hour")
	between(&f, "limit_years", b.LimitYears, 0.5, 30, "years")
	between(&f, "first_look_years", b.FirstLookYears, 0.5, 30, "years")
	checkLen(&f, "note", b.Note, 4000)
	return f.Err()
}

// Zone is the building's time zone, UTC if its name is not known here.
func (b Building) Zone() *time.Location {
	loc, err := time.LoadLocation(b.TimeZone)
	if err != nil {
		return time.UTC
	}
	return loc
}

// PresumedAsbestos tells whether old lagging must be taken for asbestos until
// tested: built in 1980 or before, or not known.
func (b Building) PresumedAsbestos() bool { return b.YearBuilt == nil || *b.YearBuilt <= 1980 }

// RoomKinds says how a room's air is tied to the weather.
var RoomKinds = Vocabulary{
	{"open", "open to outdoor air"},
	{"closed", "closed"},
	{"conditioned", "conditioned"},
	{"steam", "has steam or an open sump"},
}

// Room is a plant (mechanical) room.
type Room struct {
	ID       ID
	Building ID
	Name     string
	Kind     string   // RoomKinds
	TempC    *float64 // usual air temperature; nil: 24 °C assumed, and said so
	Order    int      // place in the walking order
	Note     string
	Version  int
}

// AssumedRoomC is the room temperature taken where nobody entered one, in °C
// (judgement), always shown as assumed.
const AssumedRoomC = 24.0

// AssumedRH is the relative humidity taken where none was ever recorded, as a
// fraction (judgement; with AssumedRoomC the reference room of the wetness
// model), always shown as assumed.
const AssumedRH = 0.5

// Validate reports every fault at once.
func (r Room) Validate() error {
	var f Faults
	f.Need("name", r.Name != "", "Give the room a name.")
	checkLen(&f, "name", r.Name, 120)
	RoomKinds.Check(&f, "kind", r.Kind)
	between(&f, "temp", r.TempC, -30, 60, "°C")
	checkLen(&f, "note", r.Note, 4000)
	return f.Err()
}

// LoopKinds are the sorts of piping loop.
var LoopKinds = Vocabulary{{"chilled", "chilled water"}, {"dual", "dual-temperature water"}}

// Loop is a piping loop. A dual-temperature loop carries hot water in its hot
// season; both loops may be stopped for part of the year.
type Loop struct {
	ID       ID
	Building ID
	Name     string
	Kind     string // LoopKinds
	SupplyC  *float64
	ReturnC  *float64
	HotC     *float64 // supply in the hot season
	Hot      Season   // empty: none
	Stopped  Season   // empty: runs all year
	Version  int
}

// Season is a yearly span of days, both ends included, as month and day
// ("10-15" to "04-14"); it may run over New Year. Empty is no season.
type Season struct{ From, To string }

// Empty tells whether there is no such season.
func (s Season) Empty() bool { return s.From == "" && s.To == "" }

// Holds tells whether the month and day lie in the season.
func (s Season) Holds(month, day int) bool {
	if s.Empty() {
		return false
	}
	d := monthDay(month, day)
	if s.From <= s.To {
		return s.From <= d && d <= s.To
	}
	return d >= s.From || d <= s.To
}

// Validate reports every fault at once.
func (l Loop) Validate() error {
	var f Faults
	f.Need("name", l.Name != "", "Give the loop a name.")
	checkLen(&f, "name", l.Name, 120)
	LoopKinds.Check(&f, "kind", l.Kind)
	between(&f, "supply", l.SupplyC, -40, 95, "°C")
	between(&f, "return", l.ReturnC, -40, 95, "°C")
	between(&f, "hot", l.HotC, 0, 95, "°C")
	l.Hot.check(&f, "hot_season")
	l.Stopped.check(&f, "stopped_season")
	if l.Kind == "dual" {
		f.Need("hot_season", !l.Hot.Empty(), "A dual-temperature loop needs the days of its hot season.")
		f.Need("hot", l.HotC != nil, "A dual-temperature loop needs its hot supply temperature.")
	}
	return f.Err()
}
