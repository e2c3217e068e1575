package server

import (
	"net/http"

	"github.com/gin-gonic/gin"

	"drylag/models"
)

// coverRowJSON is one row of the register as lists give it.
type coverRowJSON struct {
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
	Access     string      `json:"access,omitempty"`
	State      string      `json:"state"`
	LastOpened models.Date `json:"last_opened,omitempty"`
	LastWet    *bool       `json:"last_wet,omitempty"`
	LastRust   string      `json:"last_rust,omitempty"`
	FollowUps  int         `json:"follow_ups"`
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

// apiCovers lists the register with the filters of the page.
func (s *Server) apiCovers(c *gin.Context) error {
	f := &form{values: c.Request.URL.Query()}
	filter, err := apiCoverFilter(f)
	if err != nil {
		return err
	}
	if filter.Limit, err = limited(c, 50, 500); err != nil {
		return err
	}
	page, err := s.register.Covers(c.Request.Context(), actor(c), filter)
	if err != nil {
		return err
	}
	return s.answer(c, http.StatusOK, struct {
		Covers []coverRowJSON `json:"covers"`
		Total  int            `json:"total"`
		Next   string         `json:"next,omitempty"`
	}{each(page.Rows, coverRowFrom), page.Total, page.Next})
}

// apiCoverFilter is the page's filter; a word that does not exist is refused
// rather than answered with an empty list.
func apiCoverFilter(f *form) (models.CoverFilter, error) {
	filter := coverFilter(f)
	oneOf(f, "kind", models.ComponentKinds)
	oneOf(f, "state", models.CoverStates)
	oneOf(f, "action", models.Actions)
	oneOf(f, "condition", wetConditions)
	oneOf(f, "rule", models.DueRules)
	oneOf(f, "sort", models.CoverSorts)
	return filter, f.Faults.Err()
}

func coverRowFrom(r models.CoverRow) coverRowJSON {
	out := coverRowJSON{ID: r.ID, Building: r.Building, Room: r.Room, BuildingIs: r.BuildingName, RoomIs: r.RoomName, Tag: r.Tag,
		Label: r.Label, Kind: r.Kind, NPS: r.NPS, Where: r.Where, Access: r.Access, State: string(r.State), LastOpened: r.LastOpened,
		LastWet: r.LastWet, LastRust: r.LastRust, FollowUps: r.FollowUps}
	if r.Scored {
		out.Score = &scoreJSON{string(r.Condition), rangeJSON(r.PWet), r.Risk, string(r.Action), r.DueOn, string(r.Rule), r.Why, r.Overdue}
	}
	return out
}

func (s *Server) apiCover(c *gin.Context) error {
	sheet, err := s.register.Cover(c.Request.Context(), actor(c), param(c, "id"))
	if err != nil {
		return err
	}
	return s.version(c, sheet.Cover.Version, coverFrom(sheet))
}

func (s *Server) apiAddCover(c *gin.Context) error {
	var sent coverJSON
	if err := add(c, &sent, &sent.kept); err != nil {
		return err
	}
	sheet, err := s.register.SaveCover(c.Request.Context(), actor(c), sent.sheet(models.None, 0))
	if err != nil {
		return named(err, coverNames)
	}
	return s.added(c, "covers", sheet.Cover.ID, sheet.Cover.Version, coverFrom(sheet))
}

func (s *Server) apiSaveCover(c *gin.Context) error {
	var sent coverJSON
	version, err := edit(c, &sent, &sent.kept)
	if err != nil {
		return err
	}
	sheet, err := s.register.SaveCover(c.Request.Context(), actor(c), sent.sheet(param(c, "id"), version))
	if err != nil {
		return named(err, coverNames)
	}
	return s.saved(c, sheet.Cover.Version, coverFrom(sheet))
}
