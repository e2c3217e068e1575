package server

import (
	"net/http"
	"strconv"

	"github.com/gin-gonic/gin"

	"drylag/models"
)

// coverJSON is one row of the register as the API gives it.
type coverJSON struct {
	ID         models.ID   `json:"id"`
	Building   models.ID   `json:"building_id"`
	Room       models.ID   `json:"room_id"`
	BuildingIs string      `json:"building"`
	RoomIs     string      `json:"room"`
	Tag        string      `json:"tag"`
	Label      string      `json:"label,omitempty"`
	Kind       string      `json:"kind"`
	NPS        *float64    `json:"nps,omitempty"`
	Where      string      `json:"where,omitempty"`
	State      string      `json:"state"`
	LastOpened models.Date `json:"last_opened,omitempty"`
	LastWet    *bool       `json:"last_wet,omitempty"`
	Score      *scoreJSON  `json:"score,omitempty"` // absent while pending
}

// scoreJSON is what a score says in short.
type scoreJSON struct {
	Condition string      `json:"condition"`
	PWet      rangeJSON   `json:"chance_wet"`
	Risk      int         `json:"risk"`
	Action    string      `json:"action"`
	DueOn     models.Date `json:"due_on,omitempty"`
	Rule      string      `json:"rule,omitempty"`
	Why       string      `json:"why,omitempty"`
	Overdue   bool        `json:"overdue"`
}

// rangeJSON is an estimate with its 90 % interval.
type rangeJSON struct {
	Mid float64 `json:"mid"`
	Lo  float64 `json:"low"`
	Hi  float64 `json:"high"`
}

func (s *Server) apiCovers(c *gin.Context) error {
	limit, err := strconv.Atoi(c.DefaultQuery("limit", "50"))
	if err != nil || limit < 1 || limit > 500 {
		return faultAt("limit", "a whole number from 1 to 500")
	}
	page, err := s.register.Covers(c.Request.Context(), actor(c), models.CoverFilter{
		Text: c.Query("text"), Building: models.ID(c.Query("building")), Room: models.ID(c.Query("room")),
		Kind: c.Query("kind"), State: c.Query("state"), Action: c.Query("action"), Condition: c.Query("condition"),
		Rule: c.Query("rule"), Sort: c.Query("sort"), After: c.Query("after"), Limit: limit})
	if err != nil {
		return err
	}
	out := struct {
		Covers []coverJSON `json:"covers"`
		Total  int         `json:"total"`
		Next   string      `json:"next,omitempty"`
	}{Covers: make([]coverJSON, len(page.Rows)), Total: page.Total, Next: page.Next}
	for i, r := range page.Rows {
		out.Covers[i] = coverFrom(r)
	}
	return s.answer(c, http.StatusOK, out)
}

func coverFrom(r models.CoverRow) coverJSON {
	out := coverJSON{ID: r.ID, Building: r.Building, Room: r.Room, BuildingIs: r.BuildingName, RoomIs: r.RoomName, Tag: r.Tag,
		Label: r.Label, Kind: r.Kind, NPS: r.NPS, Where: r.Where, State: string(r.State), LastOpened: r.LastOpened, LastWet: r.LastWet}
	if r.Scored {
		out.Score = &scoreJSON{string(r.Condition), rangeJSON(r.PWet), r.Risk, string(r.Action), r.DueOn, string(r.Rule), r.Why, r.Overdue}
	}
	return out
}

// coverFileJSON is one cover with its reasons and what follows from them.
type coverFileJSON struct {
	ID        models.ID   `json:"id"`
	Version   int         `json:"version"`
	Building  string      `json:"building"`
	Room      string      `json:"room"`
	Tag       string      `json:"tag"`
	Label     string      `json:"label,omitempty"`
	Part      string      `json:"part"`
	State     string      `json:"state"`
	ServiceC  float64     `json:"service_c"`
	Assumed   bool        `json:"service_assumed,omitempty"`
	Score     *scoreJSON  `json:"score,omitempty"`
	Sentences []string    `json:"sentences,omitempty"`
	Why       []termJSON  `json:"why,omitempty"`
	Openings  []models.ID `json:"openings"`
}

type termJSON struct {
	Name   string `json:"name"`
	Value  string `json:"value"`
	Method string `json:"method"`
	Source string `json:"source"`
}

func (s *Server) apiCover(c *gin.Context) error {
	file, err := s.register.CoverFile(c.Request.Context(), actor(c), param(c, "id"))
	if err != nil {
		return err
	}
	if notModified(c, file.Sheet.Cover.Version) {
		return nil
	}
	return s.answer(c, http.StatusOK, coverFileFrom(file))
}

func coverFileFrom(file models.CoverFile) coverFileJSON {
	sh := file.Sheet
	out := coverFileJSON{ID: sh.Cover.ID, Version: sh.Cover.Version, Building: sh.Building.Name, Room: sh.Room.Name, Tag: sh.Component.Tag,
		Label: sh.Cover.Label, Part: sh.Title(), State: string(sh.Cover.State), Openings: []models.ID{}}
	out.ServiceC, out.Assumed = sh.ServiceC()
	if sc := file.Score; sc != nil {
		out.Score = &scoreJSON{string(sc.Condition), rangeJSON(sc.PWet), sc.Risk, string(sc.Action), sc.Due.On, string(sc.Due.Rule), sc.Due.Why, sc.Overdue}
		out.Sentences = sc.Sentences
		for _, t := range sc.Why {
			out.Why = append(out.Why, termJSON(t))
		}
	}
	for _, item := range file.History {
		if item.Opening != nil {
			out.Openings = append(out.Openings, item.Opening.Root)
		}
	}
	return out
}

func (s *Server) apiBuildings(c *gin.Context) error {
	all, err := s.register.Buildings(c.Request.Context(), actor(c))
	if err != nil {
		return err
	}
	type row struct {
		ID        models.ID `json:"id"`
		Name      string    `json:"name"`
		Covers    int       `json:"covers"`
		Off       int       `json:"off"`
		WetOpen   int       `json:"found_wet_open"`
		NeverSeen int       `json:"never_seen"`
		Overdue   int       `json:"past_limit"`
		Due       int       `json:"due"`
		Hours     float64   `json:"crew_hours_to_clear"`
	}
	rows := make([]row, len(all))
	for i, n := range all {
		rows[i] = row{n.Building.ID, n.Building.Name, n.Covers, n.Off, n.WetOpen, n.NeverSeen, n.Overdue, n.Due, n.Clear.Hours}
	}
	return s.answer(c, http.StatusOK, map[string][]row{"buildings": rows})
}
