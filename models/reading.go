package models

import (
	"math"
	"strconv"
	"strings"
	"time"
)

// ThicknessReading is one wall reading at one named point. The value stays in
// the unit in which it was read; MM converts it for computing.
type ThicknessReading struct {
	ID         ID
	Cover      ID
	Opening    ID // None: read without an opening
	On         Date
	Point      string // name of the point, such as "6 o'clock, near flange"
	Value      float64
	Unit       string // "mm" or "in"
	Gauge      string // instrument
	CheckBlock *bool  // gauge checked on a block that day
	By         string
	EnteredAt  time.Time
	Recorder   ID
}

// MM is the reading in millimeters.
func (r ThicknessReading) MM() float64 {
	if r.Unit == "in" {
		return r.Value * 25.4
	}
	return r.Value
}

func (r ThicknessReading) check(f *Faults, i int) {
	field := func(name string) string { return "reading_" + strconv.Itoa(i+1) + "_" + name }
	if r.Unit != "mm" && r.Unit != "in" {
		f.Add(field("value"), "give the unit, mm or in")
	} else if mm := r.MM(); math.IsNaN(mm) || mm < 0.1 || mm > 100 {
		f.Add(field("value"), "a wall between 0.1 and 100 mm (0.004 to 3.9 in)")
	}
	f.Need(field("point"), strings.TrimSpace(r.Point) != "", "Name the point that was read.")
	checkLen(f, field("point"), r.Point, 80)
	checkLen(f, field("gauge"), r.Gauge, 80)
}

// RoomReading is the air of a room read by hand, once per room and visit.
type RoomReading struct {
	ID        ID
	Room      ID
	At        time.Time
	TempC     float64
	RH        *float64 // fraction
	DewPointC *float64 // instead of RH
	By        string
	EnteredAt time.Time
	Recorder  ID
}

// Validate reports every fault at once.
func (r RoomReading) Validate() error {
	var f Faults
	f.Need("room", r.Room != None, "Say which room.")
	between(&f, "room_temp", &r.TempC, -30, 60, "°C")
	between(&f, "room_rh", r.RH, 0.01, 1, "(1 to 100 %)")
	between(&f, "room_dew_point", r.DewPointC, -40, 60, "°C")
	f.Need("room_rh", r.RH != nil || r.DewPointC != nil, "Give the humidity or the dew point.")
	if r.DewPointC != nil && *r.DewPointC > r.TempC {
		f.Add("room_dew_point", "The dew point cannot be above the air temperature.")
	}
	return f.Err()
}

// Look is what was seen from outside, nothing cut. It satisfies the yearly
// outside look and never moves the opening clock.
type Look struct {
	ID        ID
	Cover     ID
	Building  ID // set by register
	On        Date
	By        string
	InPlace   *bool
	Places    []PlaceFinding // Found only
	Drips     *bool
	Port      string // PortStates: sight port or moisture indicator
	Note      string
	EnteredAt time.Time
	Recorder  ID
}

// PortStates are what a sight port or moisture indicator can show.
var PortStates = Vocabulary{{"dry", "dry"}, {"wet", "wet"}}

// SealBroken tells whether any place is lifting, open or missing.
func (l Look) SealBroken() bool { return sealFound(l.Places) == SealPoor }

// Validate reports every fault at once.
func (l Look) Validate(today Date) error {
	var f Faults
	if _, err := ParseDate(string(l.On)); err != nil {
		f.Add("on", "Give the day of the look, as 2026-11-25.")
	} else if l.On > today {
		f.Add("on", "The day of the look is in the future.")
	}
	f.Need("by", strings.TrimSpace(l.By) != "", "Say who looked.")
	f.Need("in_place", l.InPlace != nil, "Is the cover in place or off?")
	PortStates.Check(&f, "port", l.Port)
	for _, p := range l.Places {
		if !p.Place.Valid() {
			f.Add("places", "%q is not a place of the seal", p.Place)
		}
		FoundWords.Check(&f, "found_"+string(p.Place), string(p.Found))
	}
	checkLen(&f, "by", l.By, 80)
	checkLen(&f, "note", l.Note, 4000)
	return f.Err()
}

// EarlierRecord is an opening from before drylag: a day, an answer, a note.
// Those with both teach the model.
type EarlierRecord struct {
	ID     ID
	Cover  ID
	On     Date
	Answer string // Answers
	Dried  bool   // the record says it was dried before closing
	Note   string
}

// Wet tells whether it was found wet; nil where the record does not say.
func (e EarlierRecord) Wet() *bool {
	if e.Answer != "wet" && e.Answer != "dry" {
		return nil
	}
	return new(e.Answer == "wet")
}

// Answers of an earlier record.
var Answers = Vocabulary{{"wet", "wet"}, {"dry", "dry"}, {"unknown", "unknown"}}

// FollowUpKinds are what a finding can need.
var FollowUpKinds = Vocabulary{
	{"dry", "dry the metal and close again"}, {"tape", "make the seal good"}, {"cover", "new cover"},
	{"reading", "thickness reading"}, {"coat", "coat the metal"}, {"engineer", "the engineer looks"},
	{"look", "look at it"},
}

// FollowUp is what a finding still needs. It closes only by a record.
type FollowUp struct {
	ID        ID
	Cover     ID
	Building  ID
	Kind      string // FollowUpKinds
	Why       string
	From      ID // opening or look that asked for it, None if by hand
	By        Date
	OpenedAt  time.Time
	Opener    ID
	ClosedBy  ID // the opening or look that closed it, None while open
	ClosedAt  time.Time
	ClosedWhy string
}

// Open tells whether it is still to be done.
func (f FollowUp) Open() bool { return f.ClosedAt.IsZero() }

// Deferral puts a due date off once, at most 90 days, with reason and name.
type Deferral struct {
	ID        ID
	Cover     ID
	DueOn     Date // the date that was put off
	Until     Date
	Reason    string
	By        ID
	EnteredAt time.Time
}

// MaxDeferralDays is the most by which a due date can be put off (judgement).
const MaxDeferralDays = 90

// ClimateSources are where an hourly climate came from.
var ClimateSources = Vocabulary{{"epw", "hourly weather file (EPW)"}, {"logger", "room logger"}}

// HourlyClimate is a series of hourly air. A weather file belongs to a
// building and is a typical year (hour 0 = the hour ending 01:00 on 1 January,
// local standard time); a logger belongs to a room and starts at Start (UTC).
// A missing hour is NaN in both series.
type HourlyClimate struct {
	ID         ID
	Building   ID
	Room       ID // None for a building's weather
	Source     string
	Name       string
	Start      time.Time // loggers only
	UTCOffsetH float64   // weather files: hours from GMT of the local standard time
	AltitudeM  float64
	TempC      []float64
	DewPointC  []float64
	Gaps       []string // hours that are missing, in words
	ImportedAt time.Time
	Importer   ID
	SHA256     string // of the file, so that importing it twice changes nothing
}
