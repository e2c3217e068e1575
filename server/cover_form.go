package server

import (
	"fmt"
	"math"
	"strconv"

	"drylag/models"
	"drylag/models/unit"
)

// asNPS reads a nominal pipe size, a number of inches in either system; a
// fraction may be typed.
var asNPS = measure{unit.Thickness, 1 / 0.0254}

var asConductivity = measure{unit.Conductivity, 1} // W/(m K)

func (sh *shell) ConductivityUnit() string { return asConductivity.unit(sh.Actor.Units) }

// In begins the hint of a measure: "In inches".
func (sh *shell) In(unit string) string {
	switch unit {
	case "in":
		unit = "inches"
	case "ft":
		unit = "feet"
	}
	return "In " + unit
}

// nps is a nominal pipe size, free of what converting inches leaves.
func (f *form) nps(name string) *float64 {
	before := len(f.Faults)
	v := f.measured(name, asNPS, "IP")
	for i := range f.Faults[before:] {
		f.Faults[before+i].Msg = fmt.Sprintf("%q is not a nominal pipe size: write it as 6 or 1 1/2", f.text(name))
	}
	if v != nil {
		*v = math.Round(*v*1e6) / 1e6
	}
	return v
}

// bar is a pressure in bar, free of what converting pascals leaves.
func (f *form) bar(name, units string) *float64 {
	v := f.measured(name, asPressure, units)
	if v != nil {
		*v = round(*v, 12)
	}
	return v
}

// readCover reads a cover and its component as typed.
func readCover(f *form, units string) models.CoverSheet {
	return models.CoverSheet{Component: readComponent(f, units), Cover: models.Cover{
		ID: f.id("id"), Version: f.version(), Label: f.text("label"), State: models.CoverState(f.text("state")),
		Insulation: f.text("insulation"), ThicknessMM: f.thick("thickness", units),
		Conductivity: f.measured("conductivity", asConductivity, units), Facing: f.text("facing"),
		PermeancePerm: f.number("permeance"), Closure: f.text("closure"), Penetrations: f.whole("penetrations"),
		SeamClock: f.number("seam_clock"), SightPort: f.has("sight_port"), Inhibitor: f.text("inhibitor"), Pattern: f.text("pattern"),
		Fitted: f.date("fitted"), CoatedOn: f.date("coated_on"), CoatQuality: f.text("coat_quality"), Note: f.text("cover_note"),
		OffSince: f.date("off_since"),
	}}
}

func readComponent(f *form, units string) models.Component {
	return models.Component{
		Room: f.id("room"), Loop: f.id("loop"), Tag: f.text("tag"), Kind: f.text("kind"), NPS: f.nps("nps"), Material: f.text("material"),
		Connection: f.text("connection"), Side: f.text("side"), ServiceC: f.temp("service", units),
		PressureBar: f.bar("pressure", units), NominalWallMM: f.thick("nominal_wall", units), Schedule: f.text("schedule"),
		Class: f.wholeOr("class"), Where: f.text("where"), Height: f.length("height", units), Access: f.text("access"),
		People: f.wholeOr("people"), Permit: f.text("permit"), Flow: f.text("flow"), Order: f.wholeOr("order"),
		Below: f.text("below"), Spare: f.text("spare"), Without: f.text("without"), Pools: f.has("pools"), Note: f.text("note"),
	}
}

// wholeOr is 0 where nothing was typed.
func (f *form) wholeOr(name string) int {
	if v := f.whole(name); v != nil {
		return *v
	}
	return 0
}

// setWholeOr leaves 0 empty.
func (f *form) setWholeOr(name string, v int) {
	if v != 0 {
		f.set(name, strconv.Itoa(v))
	}
}

func (f *form) setTick(name string, v bool) {
	if v {
		f.set(name, "yes")
	}
}

// coverForm is the form filled from the record.
func coverForm(s models.CoverSheet, units string) *form {
	f := blank()
	fillComponent(f, s.Component, units)
	v := s.Cover
	for name, text := range map[string]string{"id": string(v.ID), "label": v.Label, "state": string(v.State), "insulation": v.Insulation,
		"facing": v.Facing, "closure": v.Closure, "inhibitor": v.Inhibitor, "pattern": v.Pattern, "fitted": string(v.Fitted),
		"coated_on": string(v.CoatedOn), "coat_quality": v.CoatQuality, "cover_note": v.Note, "off_since": string(v.OffSince)} {
		f.set(name, text)
	}
	f.setWhole("version", &v.Version)
	f.setExact("thickness", v.ThicknessMM, asThick, units)
	f.setExact("conductivity", v.Conductivity, asConductivity, units)
	f.setNumber("permeance", v.PermeancePerm)
	f.setWhole("penetrations", v.Penetrations)
	f.setNumber("seam_clock", v.SeamClock)
	f.setTick("sight_port", v.SightPort)
	return f
}

func fillComponent(f *form, c models.Component, units string) {
	for name, text := range map[string]string{"room": string(c.Room), "loop": string(c.Loop), "tag": c.Tag, "kind": c.Kind,
		"material": c.Material, "connection": c.Connection, "side": c.Side, "schedule": c.Schedule, "where": c.Where, "access": c.Access,
		"permit": c.Permit, "flow": c.Flow, "below": c.Below, "spare": c.Spare, "without": c.Without, "note": c.Note} {
		f.set(name, text)
	}
	if c.NPS != nil {
		f.set("nps", models.SayNPS(*c.NPS))
	}
	f.setExact("service", c.ServiceC, asTemp, units)
	f.setExact("pressure", c.PressureBar, asPressure, units)
	f.setExact("nominal_wall", c.NominalWallMM, asThick, units)
	f.setExact("height", c.Height, asLength, units)
	f.setWholeOr("class", c.Class)
	f.setWholeOr("people", c.People)
	f.setWholeOr("order", c.Order)
	f.setTick("pools", c.Pools)
}
