package register

import (
	"context"
	"reflect"
	"strings"
	"time"

	"drylag/models"
	"drylag/models/sheet"
	"drylag/models/unit"
)

// airTable are readings of rooms' air by hand.
var airTable = tableKind{cause: "import", record: "room air readings", taker: takeAir, fields: []sheet.Field{
	{Name: "building", Title: "Building", Synonyms: []string{"house", "building name"}, Required: true},
	{Name: "room", Title: "Room", Synonyms: []string{"plant room", "mechanical room", "room name"}, Required: true},
	{Name: "time", Title: "Time", Synonyms: []string{"date", "date and time", "read at", "timestamp"}, Required: true},
	{Name: "temp", Title: "Temperature", Synonyms: []string{"room temperature", "air temperature", "temp", "dry bulb"}, Required: true},
	{Name: "rh", Title: "Relative humidity", Synonyms: []string{"humidity", "rh"}},
	{Name: "dew_point", Title: "Dew point", Synonyms: []string{"dewpoint"}},
	{Name: "by", Title: "By", Synonyms: []string{"read by"}},
}}

// takeAir takes rows of room air. One room has one reading at a time.
func takeAir(t *tableImport) func(context.Context, []*row) error {
	seen := map[models.ID]map[time.Time]models.RoomReading{}
	return func(ctx context.Context, rows []*row) error {
		for _, x := range rows {
			if len(x.faults) > 0 {
				continue
			}
			rm, p, err := t.roomNamed(ctx, x)
			if err != nil || len(x.faults) > 0 {
				if err != nil {
					return err
				}
				continue
			}
			if err := t.loadAir(ctx, seen, rm.ID); err != nil {
				return err
			}
			if err := t.addAir(ctx, x, p, rm, seen[rm.ID]); err != nil {
				return err
			}
		}
		return nil
	}
}

// roomNamed finds the room of a row among those that are there.
func (t *tableImport) roomNamed(ctx context.Context, x *row) (models.Room, *place, error) {
	p, err := t.building(ctx, x, false)
	if err != nil || p == nil {
		return models.Room{}, nil, err
	}
	if err := t.load(ctx, p); err != nil {
		return models.Room{}, nil, err
	}
	rm, ok := p.rooms[nameKey(x.cell("room"))]
	if !ok {
		x.fault("room", "is no room of %s; write its name as drylag has it", p.Name)
	}
	return rm, p, nil
}

func (t *tableImport) loadAir(ctx context.Context, seen map[models.ID]map[time.Time]models.RoomReading, room models.ID) error {
	if seen[room] != nil {
		return nil
	}
	list, err := t.tx.RoomReadings(ctx, room, time.Time{})
	seen[room] = map[time.Time]models.RoomReading{}
	for _, h := range list {
		seen[room][h.At.UTC()] = h
	}
	return err
}

// addAir stores one reading of a room's air, unless it is there already.
func (t *tableImport) addAir(ctx context.Context, x *row, p *place, rm models.Room, seen map[time.Time]models.RoomReading) error {
	reading := models.RoomReading{ID: t.r.newID(), Room: rm.ID, By: "import", EnteredAt: t.r.Now(), Recorder: t.a.ID}
	x.readAir(&reading, p.Zone())
	if reading.At.After(t.r.Now()) {
		x.fault("time", "lies in the future")
	}
	if len(x.faults) > 0 {
		return nil
	}
	if err := reading.Validate(); err != nil {
		for _, f := range faultList(err) {
			x.fault(map[string]string{"room_temp": "temp", "room_rh": "rh", "room_dew_point": "dew_point"}[f.Field], "%s", f.Msg)
		}
		return nil
	}
	if have, ok := seen[reading.At]; ok {
		reading.ID, reading.EnteredAt, reading.Recorder = have.ID, have.EnteredAt, have.Recorder
		if !reflect.DeepEqual(have, reading) {
			x.fault("time", "has another reading of this room already; what is recorded stays")
		}
		return nil
	}
	if _, err := t.tx.AddRoomReading(ctx, reading); err != nil {
		return err
	}
	seen[reading.At], x.became = reading, isNew
	return t.tx.MarkStaleRoom(ctx, rm.ID)
}

func (x *row) readAir(r *models.RoomReading, zone *time.Location) {
	x.text("by", &r.By)
	if x.need("time", "the day and the time") {
		r.At = x.instant("time", zone)
	}
	var temp *float64
	if x.need("temp", "the air temperature") {
		x.quantity("temp", tempKind, "degC", &temp)
	}
	if temp != nil {
		r.TempC = *temp
	}
	x.humidity("rh", &r.RH)
	x.quantity("dew_point", tempKind, "degC", &r.DewPointC)
	if r.RH != nil && r.DewPointC != nil {
		r.RH = nil // the dew point says it without a second conversion
	}
}

// humidity takes a relative humidity over as a fraction. A bare number above 1
// is percent, one up to 1 a fraction, since no room is as dry as 1 %.
func (x *row) humidity(field string, to **float64) {
	if !x.given(field) {
		return
	}
	var v *float64
	cell := x.cell(field)
	if r, err := unit.Parse(field, x.point(cell), unit.Share, unit.SI); err == nil && r.Unit == "%" {
		v = &r.Value
	}
	if v == nil {
		x.fault(field, "is not a humidity; write it in percent, as 55")
		return
	}
	c, _ := x.t.match.Of(field)
	if *v > 1 || strings.Contains(cell+c.Unit, "%") {
		*v /= 100
	}
	*to = v
}

// instant reads a day and a time, in the building's zone where it names none.
func (x *row) instant(field string, zone *time.Location) time.Time {
	cell := x.cell(field)
	if at, err := time.Parse(time.RFC3339, cell); err == nil {
		return at.UTC()
	}
	for _, form := range []string{"2006-01-02 15:04", "2006-01-02 15:04:05", "2006-01-02T15:04", "2006-01-02T15:04:05"} {
		if at, err := time.ParseInLocation(form, cell, zone); err == nil {
			return at.UTC()
		}
	}
	x.fault(field, "is not a day with a time; write it as 2026-11-25 14:05")
	return time.Time{}
}
