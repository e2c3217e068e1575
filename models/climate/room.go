package climate

import (
	"fmt"
	"math"
	"slices"
	"time"

	"drylag/models/air"
	"drylag/models/unit"
)

// AssumedRoomTemp is the temperature of a room where neither a logger nor a
// person gave one (a judgement of this project, no source).
const AssumedRoomTemp unit.Celsius = 24

// What it takes for a room to have an offset of its own (judgements of this
// project, no source).
const (
	monthHours   = 24 // logged hours of a month
	handReadings = 3  // readings by hand, for all months
)

// HandReading is a vapor pressure in the room, from a temperature and humidity
// read by hand.
type HandReading struct {
	At    time.Time
	Vapor unit.Pascal
}

// RoomInput is all that is known about the air of a room.
type RoomInput struct {
	Logs     []Log   // a later hour replaces an earlier one of the same month, day and hour
	Building *Hourly // weather or air of the building; nil: none
	Hand     []HandReading
	Temp     *unit.Celsius  // usual room temperature as entered; nil: not entered
	Location *time.Location // of the building; nil: UTC
}

// OffsetFrom says what an Offset rests on.
type OffsetFrom string

// What an Offset can rest on.
const (
	OffsetNone   OffsetFrom = "none"   // too little known: 0
	OffsetLogger OffsetFrom = "logger" // at least 24 logged hours in the month
	OffsetHand   OffsetFrom = "hand"   // at least 3 readings by hand, all year
)

// Offset is how much more vapor a room holds than the building's air: the
// median of room minus building over a month.
type Offset struct {
	Vapor unit.Pascal
	From  OffsetFrom
}

// TempFrom says where the temperature of hours without a logger comes from.
type TempFrom string

// Where the temperature of a room can come from.
const (
	TempLogger  TempFrom = "logger"  // median of the month's or, failing that, of all logged hours
	TempEntered TempFrom = "entered" // by a person
	TempAssumed TempFrom = "assumed" // AssumedRoomTemp
)

// RoomYear is the typical year of a room's air with its source.
type RoomYear struct {
	Hourly
	Logged       int        // hours the logger gave
	Interpolated int        // hours between them
	Estimated    int        // hours made from the building's air
	Newest       *time.Time // end of the last logged hour; nil: no logger
	Offsets      [12]Offset // of the estimated hours, January first
	TempFrom     TempFrom
}

// Room works out a room's typical year. Logged hours go to the same month, day
// and hour of the year in local standard time; 29 February is left out of a
// common year. Every other hour has the vapor pressure of the building's air
// plus the median offset of its month, clamped to 0 and saturation at the
// room's temperature, which is the logger's median, else the entered one, else
// 24 °C. Without the building's air the means of logged months stand in as they
// are, marked coarse. The error is a *FileError: CLIMATE_MONTHS lists months of
// which nothing is known, CLIMATE_ROWS is a building's year that is not whole.
func Room(in RoomInput) (RoomYear, error) {
	if in.Building != nil {
		if err := checkLength(*in.Building); err != nil {
			return RoomYear{}, err
		}
	}
	room := newRoom(in)
	for _, log := range in.Logs {
		room.place(log)
	}
	building := in.Building
	if building != nil {
		room.setOffsets(building.Hours, in.Hand)
	} else {
		means, err := room.monthMeans()
		if err != nil {
			return RoomYear{}, err
		}
		building = &means
	}
	room.Zone, room.Elevation, room.Pressure = building.Zone, building.Elevation, building.Pressure
	room.estimate(building, in.Temp)
	room.Source = room.words(building)
	return room.RoomYear, nil
}

// roomWork is a room's year while it is worked out.
type roomWork struct {
	RoomYear
	loc *time.Location
}

func newRoom(in RoomInput) *roomWork {
	hours := CommonYear
	if in.Building != nil && len(in.Building.Hours) == LeapYear {
		hours = LeapYear
	}
	room := &roomWork{loc: in.Location}
	if room.loc == nil {
		room.loc = time.UTC
	}
	room.Hours = emptyYear(hours)
	for m := range room.Offsets {
		room.Offsets[m].From = OffsetNone
	}
	return room
}

// place puts the known hours of a log into the year.
func (r *roomWork) place(log Log) {
	for i, h := range log.Hours {
		if !h.known() {
			continue
		}
		at := log.At(i)
		if k, ok := r.indexOf(at); ok {
			r.Hours[k] = h
		}
		if end := at.Add(time.Hour); h.Origin == Measured && (r.Newest == nil || end.After(*r.Newest)) {
			r.Newest = &end
		}
	}
}

// indexOf returns the hour of the year of an instant, in local standard time.
func (r *roomWork) indexOf(at time.Time) (int, bool) {
	local := at.UTC().Add(StandardOffset(at, r.loc))
	return HourOfYear(local.Month(), local.Day(), local.Hour(), len(r.Hours))
}

// StandardOffset returns local standard time minus UTC in loc in the year of at:
// the smaller of the offsets in January and July.
func StandardOffset(at time.Time, loc *time.Location) time.Duration {
	_, january := time.Date(at.Year(), time.January, 1, 12, 0, 0, 0, loc).Zone()
	_, july := time.Date(at.Year(), time.July, 1, 12, 0, 0, 0, loc).Zone()
	return time.Duration(min(january, july)) * time.Second
}

// measured calls f for each hour the logger measured.
func (r *roomWork) measured(f func(i int, month time.Month, h Hour)) {
	for i, h := range r.Hours {
		if h.Origin == Measured {
			f(i, MonthOfHour(i, len(r.Hours)), h)
		}
	}
}

// setOffsets takes the median difference to the building's air by month, or
// over the readings by hand.
func (r *roomWork) setOffsets(building []Hour, hand []HandReading) {
	var months [12][]float64
	r.measured(func(i int, month time.Month, h Hour) {
		months[month-1] = append(months[month-1], float64(h.Vapor-building[i].Vapor))
	})
	var all []float64
	for _, reading := range hand {
		if i, ok := r.indexOf(reading.At); ok && reading.Vapor >= 0 {
			all = append(all, float64(reading.Vapor-building[i].Vapor))
		}
	}
	for m := range r.Offsets {
		switch {
		case len(months[m]) >= monthHours:
			r.Offsets[m] = Offset{unit.Pascal(median(months[m])), OffsetLogger}
		case len(all) >= handReadings:
			r.Offsets[m] = Offset{unit.Pascal(median(all)), OffsetHand}
		}
	}
}

// estimate fills every hour the logger did not give and counts the hours by origin.
func (r *roomWork) estimate(building *Hourly, entered *unit.Celsius) {
	temps := r.temperatures(entered)
	for i := range r.Hours {
		month := MonthOfHour(i, len(r.Hours)) - 1
		switch r.Hours[i].Origin {
		case Measured:
			r.Logged++
			continue
		case Interpolated:
			r.Interpolated++
			continue
		}
		r.Estimated++
		r.Coarse = r.Coarse || building.Coarse
		vapor := building.Hours[i].Vapor + r.Offsets[month].Vapor
		r.Hours[i] = Hour{
			T:      temps[month],
			Vapor:  min(max(0, vapor), air.SatPressure(temps[month])),
			Origin: Estimated,
		}
	}
	r.Filled = r.Interpolated
}

// temperatures returns the room temperature of hours without a logger by month.
func (r *roomWork) temperatures(entered *unit.Celsius) [12]unit.Celsius {
	var months [12][]float64
	var all []float64
	r.measured(func(_ int, month time.Month, h Hour) {
		months[month-1] = append(months[month-1], float64(h.T))
		all = append(all, float64(h.T))
	})
	usual := AssumedRoomTemp
	switch r.TempFrom = TempAssumed; {
	case len(all) >= monthHours:
		r.TempFrom, usual = TempLogger, unit.Celsius(median(all))
	case entered != nil:
		r.TempFrom, usual = TempEntered, *entered
	}
	var temps [12]unit.Celsius
	for m := range temps {
		temps[m] = usual
		if len(months[m]) >= monthHours {
			temps[m] = unit.Celsius(median(months[m]))
		}
	}
	return temps
}

// monthMeans makes a coarse year of the means of logged months.
func (r *roomWork) monthMeans() (Hourly, error) {
	var sum [12]struct{ dry, vapor, n float64 }
	r.measured(func(_ int, month time.Month, h Hour) {
		s := &sum[month-1]
		s.dry, s.vapor, s.n = s.dry+float64(h.T), s.vapor+float64(h.Vapor), s.n+1
	})
	var means [12]MonthMean
	var faults []Fault
	for m, s := range sum {
		if s.n < monthHours {
			faults = append(faults, Fault{Field: time.Month(m + 1).String(),
				Msg: fmt.Sprintf("has %.0f logged hours, needs %d where the building has no hourly file", s.n, monthHours)})
			continue
		}
		dry := unit.Celsius(s.dry / s.n)
		means[m] = MonthMean{T: dry, DewPoint: min(dry, air.DewPointFromPressure(unit.Pascal(s.vapor/s.n)))}
	}
	if len(faults) > 0 {
		return Hourly{}, &FileError{Code: CodeMonths, Faults: faults}
	}
	return FromMonths("", "monthly means of the logger", means)
}

// median sorts values in place; NaN for none.
func median(values []float64) float64 {
	n := len(values)
	if n == 0 {
		return math.NaN()
	}
	slices.Sort(values)
	return (values[(n-1)/2] + values[n/2]) / 2
}
