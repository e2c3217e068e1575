package server

import (
	"fmt"
	"strconv"
	"strings"

	"drylag/models"
	"drylag/models/register"
)

// The fields of the room's air. Those that came filled from a reading of the
// last two hours are kept as text in "kept": unchanged, they are no new reading.
var airFields = []string{"room_temp", "room_rh", "room_dew_point"}

func airTyped(f *form) string {
	var texts []string
	for _, name := range airFields {
		texts = append(texts, f.text(name))
	}
	return strings.Join(texts, "|")
}

// keptAt is when the air in the form was read, "" if it was typed anew.
func keptAt(f *form) string {
	if kept := f.text("kept"); kept != "" && kept == airTyped(f) {
		return f.text("kept_at")
	}
	return ""
}

func fillAir(f *form, rr models.RoomReading, units string) {
	f.setTemp("room_temp", &rr.TempC, units)
	f.setShare("room_rh", rr.RH)
	f.setTemp("room_dew_point", rr.DewPointC, units)
}

// readAir reads the room's air; nil where nothing was typed or it stands from
// before.
func readAir(f *form, units string) *models.RoomReading {
	if strings.Trim(airTyped(f), "|") == "" || keptAt(f) != "" {
		return nil
	}
	rr := models.RoomReading{RH: f.share("room_rh", units), DewPointC: f.temp("room_dew_point", units)}
	if t := f.temp("room_temp", units); t != nil {
		rr.TempC = *t
	} else if f.fault("room_temp") == "" {
		f.Faults.Add("room_temp", "Give the air temperature with it.")
	}
	return &rr
}

// AirSays sets the air in the form against the metal, in a sentence.
func (p *recordPage) AirSays() string {
	try := &form{values: p.Form.values}
	units := p.Actor.Units
	rr := models.RoomReading{RH: try.share("room_rh", units), DewPointC: try.temp("room_dew_point", units)}
	t := try.temp("room_temp", units)
	switch {
	case strings.Trim(airTyped(try), "|") == "":
		return "Nobody has read this room’s air in the last two hours. Read it: the page then says whether bare metal sweats at once."
	case t == nil || len(try.Faults) > 0:
		return airAsks
	}
	rr.TempC = *t
	n, ok := register.AirOn(p.Sheet, p.Today, rr)
	if !ok {
		return airAsks
	}
	return fmt.Sprintf("Dew point %s, metal %s%s: %s", p.Temp(n.DewPointC), p.Temp(n.MetalC), metalFrom(n), p.Verdict(n.Sweats))
}

const airAsks = "Give the air temperature and its humidity or dew point: the page then says whether bare metal sweats at once."

func metalFrom(n register.AirNow) string {
	switch {
	case n.Stopped:
		return " while the loop stands still"
	case n.Hot:
		return " in the hot season"
	case n.Assumed:
		return ", assumed"
	}
	return ""
}

// Verdict is what bared metal will do.
func (p *recordPage) Verdict(sweats bool) string {
	if sweats {
		return "bare metal will sweat at once."
	}
	return "bare metal will stay dry."
}

// Ladder is what the page's script looks dew points up in: saturation pressures
// in Pa at whole degrees from LadderFrom on.
func (p *recordPage) Ladder() string {
	var out []string
	for _, pa := range register.Saturation(p.LadderFrom(), 60) {
		out = append(out, strconv.FormatFloat(pa, 'f', 1, 64))
	}
	return strings.Join(out, " ")
}

// LadderFrom is the coldest whole degree of the ladder, in °C.
func (p *recordPage) LadderFrom() int { return -40 }

// Metal is the metal's temperature today in °C for the page's script, "" where
// it is that of the air.
func (p *recordPage) Metal() string {
	n, ok := register.AirOn(p.Sheet, p.Today, models.RoomReading{TempC: models.AssumedRoomC, DewPointC: new(0.0)})
	if !ok || n.Stopped {
		return ""
	}
	return strconv.FormatFloat(n.MetalC, 'f', -1, 64)
}

// MetalFrom is where the metal's temperature comes from, as the sentence says it.
func (p *recordPage) MetalFrom() string {
	n, _ := register.AirOn(p.Sheet, p.Today, models.RoomReading{TempC: models.AssumedRoomC, DewPointC: new(0.0)})
	return metalFrom(n)
}

// Service is the service temperature of what is underneath.
func (p *recordPage) Service() string {
	c, _ := p.Sheet.ServiceC()
	return p.Temp(c)
}

// ServiceNote says that it is assumed, or how hot it gets.
func (p *recordPage) ServiceNote() string {
	if p.Sheet.Dual() && p.Sheet.Loop.HotC != nil {
		return "up to " + p.Temp(p.Sheet.Loop.HotC) + " in the hot season"
	}
	if _, assumed := p.Sheet.ServiceC(); assumed {
		return "assumed: nobody entered it"
	}
	return ""
}
