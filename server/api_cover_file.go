package server

import (
	"net/http"
	"time"

	"github.com/gin-gonic/gin"

	"drylag/models"
)

// coverFileJSON is everything the record holds about one cover. Its content
// moves with scores and records, so it has no version of its own.
type coverFileJSON struct {
	ID         models.ID `json:"id"`
	Building   models.ID `json:"building_id"`
	Room       models.ID `json:"room_id"`
	BuildingIs string    `json:"building"`
	RoomIs     string    `json:"room"`
	Tag        string    `json:"tag"`
	Label      string    `json:"label,omitempty"`
	Part       string    `json:"part"`
	State      string    `json:"state"`
	Since      string    `json:"since,omitempty"`
	ServiceC   float64   `json:"service_c"`
	Assumed    bool      `json:"service_assumed,omitempty"`

	Score     *fullScoreJSON   `json:"score,omitempty"` // absent while pending
	Changes   []changeJSON     `json:"score_changes"`
	Openings  []openingJSON    `json:"openings"`
	Looks     []lookJSON       `json:"looks"`
	Earlier   []earlierJSON    `json:"earlier_records"`
	Deferrals []deferralJSON   `json:"deferrals"`
	Readings  []wallJSON       `json:"readings"`
	FollowUps []followUpJSON   `json:"follow_ups"`
	LastAir   *roomReadingJSON `json:"last_air,omitempty"` // of the room, within two hours
}

// earlierJSON is an opening from before drylag.
type earlierJSON struct {
	On     models.Date `json:"on"`
	Answer string      `json:"answer"`
	Dried  bool        `json:"dried"`
	Note   string      `json:"note,omitempty"`
}

// deferralJSON is a due date that was put off.
type deferralJSON struct {
	DueOn     models.Date `json:"due_on,omitempty"`
	Until     models.Date `json:"until"`
	Reason    string      `json:"reason"`
	By        string      `json:"by,omitempty"`
	EnteredAt time.Time   `json:"entered_at"`
}

func (s *Server) apiCoverFile(c *gin.Context) error {
	file, err := s.register.CoverFile(c.Request.Context(), actor(c), param(c, "id"))
	if err != nil {
		return err
	}
	return s.answer(c, http.StatusOK, coverFileFrom(file))
}

func coverFileFrom(file models.CoverFile) coverFileJSON {
	sh := file.Sheet
	out := coverFileJSON{ID: sh.Cover.ID, Building: sh.Building.ID, Room: sh.Room.ID, BuildingIs: sh.Building.Name, RoomIs: sh.Room.Name,
		Tag: sh.Component.Tag, Label: sh.Cover.Label, Part: sh.Title(), State: string(sh.Cover.State), Since: string(sh.Cover.Since),
		Score: fullScoreFrom(file.Score), Changes: each(file.Changes, changeFrom), Openings: []openingJSON{}, Looks: looksOf(file),
		Earlier: []earlierJSON{}, Deferrals: []deferralJSON{}, Readings: each(file.Readings, wallFrom),
		FollowUps: each(file.FollowUps, followUpFrom)}
	out.ServiceC, out.Assumed = sh.ServiceC()
	for _, item := range file.History {
		switch {
		case item.Opening != nil:
			out.Openings = append(out.Openings, openingFrom(*item.Opening))
		case item.Earlier != nil:
			e := item.Earlier
			out.Earlier = append(out.Earlier, earlierJSON{e.On, e.Answer, e.Dried, e.Note})
		case item.Deferral != nil:
			d := item.Deferral
			out.Deferrals = append(out.Deferrals, deferralJSON{d.DueOn, d.Until, d.Reason, item.By, d.EnteredAt.UTC()})
		}
	}
	if file.LastAir != nil {
		out.LastAir = new(roomReadingFrom(*file.LastAir))
	}
	return out
}

// looksOf are the looks at a cover, newest first.
func looksOf(file models.CoverFile) []lookJSON {
	out := []lookJSON{}
	for _, item := range file.History {
		if item.Look != nil {
			out = append(out, lookFrom(*item.Look))
		}
	}
	return out
}
