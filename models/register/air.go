package register

import (
	"context"
	"errors"
	"math"
	"time"

	"drylag/models"
	moist "drylag/models/air"
	"drylag/models/climate"
	"drylag/models/risk"
	"drylag/models/unit"
)

// RoomAir is a room's typical year in short, against its own coldest metal.
type RoomAir struct {
	Source  string  // in words: which file or logger, its age, what was filled
	Assumed bool    // no humidity known at all
	MetalC  float64 // the metal it is held against, °C
	Hours   float64 // in the year
	Below   float64 // hours with the metal below the room's dew point
	Months  [12]RoomMonth
	Last    *models.RoomReading // read by hand within AirKept, nil: none
}

// RoomMonth is one month of a RoomAir.
type RoomMonth struct {
	Hours, Dry float64 // Dry: bare metal stays dry
	Sweats     bool    // the metal is below the dew point for half of the month or more
}

// Air is what is known about a room's air. The metal is the coldest supply of
// the building's loops, assumed at models.AssumedServiceC where none is given.
func (r *Register) Air(ctx context.Context, a models.Actor, id models.ID) (RoomAir, error) {
	if err := a.May(models.ActRead); err != nil {
		return RoomAir{}, err
	}
	rm, b, err := room(ctx, r.store.Reader, a, id)
	if err != nil {
		return RoomAir{}, err
	}
	loops, err := r.store.Loops(ctx, b.ID)
	if err != nil {
		return RoomAir{}, err
	}
	s := models.CoverSheet{Room: rm, Building: b}
	for _, l := range loops {
		if l.SupplyC != nil && (s.Loop.SupplyC == nil || *l.SupplyC < *s.Loop.SupplyC) {
			s.Loop = models.Loop{SupplyC: l.SupplyC}
		}
	}
	year, err := r.airs().of(ctx, s)
	if err != nil {
		return RoomAir{}, err
	}
	metal, _ := s.ServiceC()
	last, err := r.lastAir(ctx, id)
	return shortAir(year, metal, last), err
}

func shortAir(a risk.Air, metalC float64, last *models.RoomReading) RoomAir {
	out := RoomAir{Source: a.Source, Assumed: a.Assumed, MetalC: metalC, Hours: a.Hours, Below: a.Below, Last: last}
	for i, m := range a.Months {
		out.Months[i] = RoomMonth{Hours: m.Hours, Dry: m.Dry, Sweats: m.Dry < m.Hours/2}
	}
	return out
}

// roomYear is a room's air prepared for questions, with where it came from.
type roomYear struct {
	year    *climate.Summary
	source  string
	assumed bool
}

// airs prepares the air of rooms, each once while they come in walking order.
// It serves one run and is not for concurrent use.
type airs struct {
	r        *Register
	building models.ID
	weather  *climate.Hourly
	room     models.ID
	last     roomYear
	steady   *climate.Summary // where nothing is known
}

func (r *Register) airs() *airs { return &airs{r: r} }

// of is the year of a cover's room against the cover's own metal.
func (a *airs) of(ctx context.Context, s models.CoverSheet) (risk.Air, error) {
	if a.room != s.Room.ID || a.last.year == nil {
		y, err := a.prepare(ctx, s)
		if err != nil {
			return risk.Air{}, err
		}
		a.room, a.last = s.Room.ID, y
	}
	out := risk.AirOver(a.last.year, s, a.last.source)
	out.Assumed = a.last.assumed
	return out, nil
}

// prepare works a room's year out and sorts it for questions.
func (a *airs) prepare(ctx context.Context, s models.CoverSheet) (roomYear, error) {
	year, source, err := a.hourly(ctx, s)
	var file *climate.FileError
	if errors.As(err, &file) {
		return a.assumed()
	}
	if err != nil {
		return roomYear{}, err
	}
	sum, err := climate.Prepare(year)
	if err != nil {
		return roomYear{}, err
	}
	return roomYear{year: sum, source: source}, nil
}

// hourly works a room's year out from its loggers, its building's weather and
// what was read by hand, and says in words where it comes from. The error is a
// *climate.FileError where that is too little.
func (a *airs) hourly(ctx context.Context, s models.CoverSheet) (year climate.Hourly, source string, err error) {
	in, imported, err := a.input(ctx, s)
	if err != nil {
		return year, "", err
	}
	room, err := climate.Room(in)
	if err != nil {
		return year, "", err
	}
	source = room.Source
	if room.Newest != nil {
		source += "; newest logged hour " + models.DateOf(*room.Newest, s.Building.Zone()).Say()
	}
	if imported != "" {
		source += "; weather file brought in " + imported.Say()
	}
	return room.Hourly, source, nil
}

// input gathers all that is known about a room's air.
func (a *airs) input(ctx context.Context, s models.CoverSheet) (in climate.RoomInput, imported models.Date, err error) {
	list, err := a.r.store.Climates(ctx, s.Building.ID, models.None)
	if err != nil {
		return in, "", err
	}
	in.Location = s.Building.Zone()
	if s.Room.TempC != nil {
		t := unit.Celsius(*s.Room.TempC)
		in.Temp = &t
	}
	for i := len(list) - 1; i >= 0; i-- { // oldest first: a newer one replaces it
		c := list[i]
		switch {
		case c.Room == models.None:
			imported = models.DateOf(c.ImportedAt, in.Location)
			in.Building, err = a.weatherOf(ctx, c)
		case c.Room == s.Room.ID:
			err = addLog(ctx, a.r, &in, c.ID)
		}
		if err != nil {
			return in, "", err
		}
	}
	in.Hand, err = a.r.handReadings(ctx, s.Room.ID)
	return in, imported, err
}

// weatherOf loads a building's weather, once while the building stays the same.
func (a *airs) weatherOf(ctx context.Context, c models.HourlyClimate) (*climate.Hourly, error) {
	if a.building == c.ID {
		return a.weather, nil
	}
	full, err := a.r.store.Climate(ctx, c.ID)
	if err != nil {
		return nil, err
	}
	a.building, a.weather = c.ID, &climate.Hourly{Name: full.Name, Zone: time.Duration(full.UTCOffsetH * float64(time.Hour)),
		Elevation: unit.Meter(full.AltitudeM), Pressure: moist.PressureAtAltitude(unit.Meter(full.AltitudeM)),
		Hours: climate.HoursOf(full.TempC, full.DewPointC)}
	return a.weather, nil
}

func addLog(ctx context.Context, r *Register, in *climate.RoomInput, id models.ID) error {
	full, err := r.store.Climate(ctx, id)
	if err != nil {
		return err
	}
	in.Logs = append(in.Logs, climate.Log{Start: full.Start, Hours: climate.HoursOf(full.TempC, full.DewPointC)})
	return nil
}

// handReadings are a room's readings by hand as vapor pressures.
func (r *Register) handReadings(ctx context.Context, room models.ID) ([]climate.HandReading, error) {
	list, err := r.store.RoomReadings(ctx, room, time.Time{})
	if err != nil {
		return nil, err
	}
	var out []climate.HandReading
	for _, x := range list {
		if v := vaporOf(x); !math.IsNaN(float64(v)) {
			out = append(out, climate.HandReading{At: x.At, Vapor: v})
		}
	}
	return out, nil
}

// vaporOf is the vapor pressure of a reading, NaN where it cannot be one.
func vaporOf(x models.RoomReading) unit.Pascal {
	switch {
	case x.DewPointC != nil:
		return moist.SatPressure(unit.Celsius(*x.DewPointC))
	case x.RH != nil:
		return moist.VaporPressure(unit.Celsius(x.TempC), unit.Fraction(*x.RH))
	}
	return unit.Pascal(math.NaN())
}

func (a *airs) assumed() (roomYear, error) {
	if a.steady == nil {
		year, err := risk.AssumedYear()
		if err != nil {
			return roomYear{}, err
		}
		a.steady = year
	}
	return roomYear{year: a.steady, source: risk.AssumedSource, assumed: true}, nil
}
