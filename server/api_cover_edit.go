package server

import "drylag/models"

// coverJSON is a cover with the component under it, as it is edited.
type coverJSON struct {
	kept
	Room  models.ID `json:"room_id"`
	Loop  models.ID `json:"loop_id,omitempty"`
	Label string    `json:"label,omitempty"`
	State string    `json:"state"`

	Tag         string   `json:"tag"`
	Kind        string   `json:"kind"`
	NPS         *float64 `json:"nps,omitempty"` // nominal pipe size, in inches
	Material    string   `json:"material,omitempty"`
	Connection  string   `json:"connection,omitempty"`
	Side        string   `json:"side,omitempty"`
	Service     *float64 `json:"service_c,omitempty"`
	Pressure    *float64 `json:"pressure_bar,omitempty"`
	NominalWall *float64 `json:"nominal_wall_mm,omitempty"`
	Schedule    string   `json:"schedule,omitempty"`
	Class       int      `json:"class,omitempty"`
	Where       string   `json:"where,omitempty"`
	Height      *float64 `json:"height_m,omitempty"`
	Access      string   `json:"access,omitempty"`
	People      int      `json:"people,omitempty"`
	Permit      string   `json:"permit,omitempty"`
	Flow        string   `json:"flow,omitempty"`
	Order       int      `json:"order,omitempty"`
	Below       string   `json:"below,omitempty"`
	Spare       string   `json:"spare,omitempty"`
	Without     string   `json:"without,omitempty"`
	Pools       bool     `json:"pools,omitempty"`
	Note        string   `json:"note,omitempty"`

	Insulation   string      `json:"insulation,omitempty"`
	Thickness    *float64    `json:"thickness_mm,omitempty"`
	Conductivity *float64    `json:"conductivity_w_per_m_k,omitempty"`
	Facing       string      `json:"facing,omitempty"`
	Permeance    *float64    `json:"permeance_perm,omitempty"`
	Closure      string      `json:"closure,omitempty"`
	Penetrations *int        `json:"penetrations,omitempty"`
	SeamClock    *float64    `json:"seam_clock,omitempty"`
	SightPort    bool        `json:"sight_port,omitempty"`
	Inhibitor    string      `json:"inhibitor,omitempty"`
	Pattern      string      `json:"pattern,omitempty"`
	Fitted       models.Date `json:"fitted,omitempty"`
	CoatedOn     models.Date `json:"coated_on,omitempty"`
	CoatQuality  string      `json:"coat_quality,omitempty"`
	CoverNote    string      `json:"cover_note,omitempty"`
	OffSince     models.Date `json:"off_since,omitempty"`
}

// coverNames are the fields that models names otherwise.
var coverNames = map[string]string{"room": "room_id", "loop": "loop_id", "service": "service_c", "pressure": "pressure_bar",
	"nominal_wall": "nominal_wall_mm", "height": "height_m", "thickness": "thickness_mm", "conductivity": "conductivity_w_per_m_k",
	"permeance": "permeance_perm"}

// sheet reads what was sent. The building is the room's; whether the cover is in
// place or off is for records to say once it is there (register.SaveCover).
func (j coverJSON) sheet(id models.ID, version int) models.CoverSheet {
	return models.CoverSheet{
		Component: models.Component{Room: j.Room, Loop: j.Loop, Tag: j.Tag, Kind: j.Kind, NPS: j.NPS, Material: j.Material,
			Connection: j.Connection, Side: j.Side, ServiceC: j.Service, PressureBar: j.Pressure, NominalWallMM: j.NominalWall,
			Schedule: j.Schedule, Class: j.Class, Where: j.Where, Height: j.Height, Access: j.Access, People: j.People, Permit: j.Permit,
			Flow: j.Flow, Order: j.Order, Below: j.Below, Spare: j.Spare, Without: j.Without, Pools: j.Pools, Note: j.Note},
		Cover: models.Cover{ID: id, Version: version, Label: j.Label, State: models.CoverState(j.State), Insulation: j.Insulation,
			ThicknessMM: j.Thickness, Conductivity: j.Conductivity, Facing: j.Facing, PermeancePerm: j.Permeance, Closure: j.Closure,
			Penetrations: j.Penetrations, SeamClock: j.SeamClock, SightPort: j.SightPort, Inhibitor: j.Inhibitor, Pattern: j.Pattern,
			Fitted: j.Fitted, CoatedOn: j.CoatedOn, CoatQuality: j.CoatQuality, Note: j.CoverNote, OffSince: j.OffSince},
	}
}

func coverFrom(s models.CoverSheet) coverJSON {
	p, v := s.Component, s.Cover
	return coverJSON{kept: kept{v.ID, v.Version}, Room: p.Room, Loop: p.Loop, Label: v.Label, State: string(v.State),
		Tag: p.Tag, Kind: p.Kind, NPS: p.NPS, Material: p.Material, Connection: p.Connection, Side: p.Side, Service: p.ServiceC,
		Pressure: p.PressureBar, NominalWall: p.NominalWallMM, Schedule: p.Schedule, Class: p.Class, Where: p.Where, Height: p.Height,
		Access: p.Access, People: p.People, Permit: p.Permit, Flow: p.Flow, Order: p.Order, Below: p.Below, Spare: p.Spare,
		Without: p.Without, Pools: p.Pools, Note: p.Note,
		Insulation: v.Insulation, Thickness: v.ThicknessMM, Conductivity: v.Conductivity, Facing: v.Facing, Permeance: v.PermeancePerm,
		Closure: v.Closure, Penetrations: v.Penetrations, SeamClock: v.SeamClock, SightPort: v.SightPort, Inhibitor: v.Inhibitor,
		Pattern: v.Pattern, Fitted: v.Fitted, CoatedOn: v.CoatedOn, CoatQuality: v.CoatQuality, CoverNote: v.Note, OffSince: v.OffSince}
}
