package server

import (
	"net/http"
	"time"

	"github.com/gin-gonic/gin"

	"drylag/models"
)

// openingJSON is one opening as it is sent and given. Words are the codes of
// the record's own lists; numbers are SI.
type openingJSON struct {
	ID        models.ID   `json:"id,omitempty"`
	Opening   models.ID   `json:"opening_id,omitempty"`
	Version   int         `json:"version,omitempty"`
	Cover     models.ID   `json:"cover_id,omitempty"`
	Outcome   string      `json:"outcome"`
	NotOpened string      `json:"not_opened,omitempty"`
	Reason    string      `json:"reason,omitempty"`
	On        models.Date `json:"on"`
	OpenedBy  string      `json:"opened_by"`
	EnteredAt *time.Time  `json:"entered_at,omitempty"`
	Amends    string      `json:"amends,omitempty"`

	Drips  *bool       `json:"drips,omitempty"`
	Label  *bool       `json:"label,omitempty"`
	Places []placeJSON `json:"places,omitempty"`

	Moisture   string   `json:"moisture,omitempty"`
	WaterClock *float64 `json:"water_clock,omitempty"`
	WaterShare *float64 `json:"water_share,omitempty"`
	Blanket    string   `json:"blanket,omitempty"`
	Mold       *bool    `json:"mold,omitempty"`
	Stain      string   `json:"stain,omitempty"`
	Wet        *bool    `json:"wet,omitempty"` // given, never taken

	Coating   string        `json:"coating,omitempty"`
	RustScale string        `json:"rust_scale,omitempty"`
	RustGrade string        `json:"rust_grade,omitempty"`
	Area      *float64      `json:"area_pct,omitempty"`
	RustForm  string        `json:"rust_form,omitempty"`
	FreshRust *bool         `json:"fresh_rust,omitempty"`
	Pit       *float64      `json:"pit_mm,omitempty"`
	Readings  []readingJSON `json:"readings,omitempty"`

	Dried    string   `json:"dried,omitempty"`
	Prepared string   `json:"prepared,omitempty"`
	Coated   string   `json:"coated,omitempty"`
	Film     *float64 `json:"film_um,omitempty"`
	Cured    *bool    `json:"cured,omitempty"`

	ClosingMetal   string `json:"closing_metal,omitempty"`
	ClosingBlanket string `json:"closing_blanket,omitempty"`
	ClosingWater   string `json:"closing_water,omitempty"`
	ClosingCover   string `json:"closing_cover,omitempty"`
	OffWhy         string `json:"off_why,omitempty"`
	ClosingLabel   *bool  `json:"closing_label,omitempty"`

	Tape    *float64 `json:"tape_m,omitempty"`
	Sealant *float64 `json:"sealant_ml,omitempty"`
	Coat    *float64 `json:"coating_ml,omitempty"`
	Fill    *float64 `json:"blanket_m2,omitempty"`
	Minutes *float64 `json:"minutes,omitempty"`
	Note    string   `json:"note,omitempty"`
}

type placeJSON struct {
	Place models.Place `json:"place"`
	Found models.Found `json:"found,omitempty"`
	Left  models.Left  `json:"left,omitempty"`
}

type readingJSON struct {
	ID         models.ID `json:"id,omitempty"`
	Point      string    `json:"point"`
	Value      float64   `json:"value"`
	Unit       string    `json:"unit"`
	Gauge      string    `json:"gauge,omitempty"`
	CheckBlock *bool     `json:"check_block,omitempty"`
}

// openingNames are the fields that models names otherwise.
var openingNames = map[string]string{"cover": "cover_id", "area": "area_pct", "pit": "pit_mm", "film": "film_um", "tape": "tape_m",
	"sealant": "sealant_ml", "coating_used": "coating_ml", "blanket_used": "blanket_m2"}

func (j readingJSON) reading() models.ThicknessReading {
	return models.ThicknessReading{ID: j.ID, Point: j.Point, Value: j.Value, Unit: j.Unit, Gauge: j.Gauge, CheckBlock: j.CheckBlock}
}

func readingFrom(r models.ThicknessReading) readingJSON {
	return readingJSON{r.ID, r.Point, r.Value, r.Unit, r.Gauge, r.CheckBlock}
}

// recordedJSON is the answer to a record: the same whenever it is sent again.
type recordedJSON struct {
	ID    models.ID `json:"id"`
	Cover models.ID `json:"cover_id"`
}

// opening reads what was sent. Who entered it, when, and in which building is
// never taken from the sender.
func (j openingJSON) opening() models.Opening {
	o := models.Opening{Cover: j.Cover, Outcome: j.Outcome, NotOpened: j.NotOpened, Reason: j.Reason, On: j.On, OpenedBy: j.OpenedBy,
		Amends: j.Amends, Drips: j.Drips, Label: j.Label, Moisture: j.Moisture, WaterClock: j.WaterClock, WaterShare: j.WaterShare,
		Blanket: j.Blanket, Mold: j.Mold, Stain: j.Stain, Dried: j.Dried, Prepared: j.Prepared, Coated: j.Coated,
		FilmUM: j.Film, Cured: j.Cured, Note: j.Note,
		Metal: models.MetalFinding{Seen: j.RustScale != "", Coating: j.Coating, Scale: j.RustScale, Grade: j.RustGrade,
			AreaPct: j.Area, Form: j.RustForm, FreshRust: j.FreshRust, PitMM: j.Pit},
		Closing: models.Closing{Metal: j.ClosingMetal, Blanket: j.ClosingBlanket, Water: j.ClosingWater, Cover: j.ClosingCover,
			OffWhy: j.OffWhy, Label: j.ClosingLabel},
		Materials: models.Materiel{TapeM: j.Tape, SealantML: j.Sealant, CoatingML: j.Coat, BlanketM2: j.Fill, Minutes: j.Minutes}}
	for _, p := range j.Places {
		o.Places = append(o.Places, models.PlaceFinding(p))
	}
	for _, r := range j.Readings {
		o.Readings = append(o.Readings, r.reading())
	}
	return o
}

func openingFrom(o models.Opening) openingJSON {
	wet := o.Wet()
	j := openingJSON{ID: o.ID, Opening: o.Root, Version: o.Version, Cover: o.Cover, Outcome: o.Outcome, NotOpened: o.NotOpened,
		Reason: o.Reason, On: o.On, OpenedBy: o.OpenedBy, EnteredAt: instant(o.EnteredAt), Amends: o.Amends, Drips: o.Drips, Label: o.Label,
		Moisture: o.Moisture, WaterClock: o.WaterClock, WaterShare: o.WaterShare, Blanket: o.Blanket, Mold: o.Mold, Stain: o.Stain,
		Wet: &wet, Coating: o.Metal.Coating, RustScale: o.Metal.Scale, RustGrade: o.Metal.Grade, Area: o.Metal.AreaPct,
		RustForm: o.Metal.Form, FreshRust: o.Metal.FreshRust, Pit: o.Metal.PitMM, Dried: o.Dried, Prepared: o.Prepared,
		Coated: o.Coated, Film: o.FilmUM, Cured: o.Cured, ClosingMetal: o.Closing.Metal, ClosingBlanket: o.Closing.Blanket,
		ClosingWater: o.Closing.Water, ClosingCover: o.Closing.Cover, OffWhy: o.Closing.OffWhy, ClosingLabel: o.Closing.Label,
		Tape: o.Materials.TapeM, Sealant: o.Materials.SealantML, Coat: o.Materials.CoatingML, Fill: o.Materials.BlanketM2,
		Minutes: o.Materials.Minutes, Note: o.Note}
	for _, p := range o.Places {
		j.Places = append(j.Places, placeJSON(p))
	}
	for _, r := range o.Readings {
		j.Readings = append(j.Readings, readingFrom(r))
	}
	return j
}

// apiRecordOpening stores an opening exactly once: the Idempotency-Key is the
// UUID that the sender made for it. The same key and content again gives the
// same answer, the same key with other content 422.
func (s *Server) apiRecordOpening(c *gin.Context) error {
	var sent openingJSON
	if err := readJSON(c, &sent); err != nil {
		return err
	}
	key, err := ownID(c, "opening")
	if err != nil {
		return err
	}
	if sent.Wet != nil || sent.EnteredAt != nil || sent.Version != 0 || sent.Opening != models.None || (sent.ID != models.None && sent.ID != key) {
		return faultAt("id", "id, opening_id, version, wet and entered_at are set by the service.")
	}
	o := sent.opening()
	o.ID = key
	receipt, err := s.register.RecordOpening(c.Request.Context(), actor(c), o, nil)
	if err != nil {
		return named(err, openingNames)
	}
	return s.created(c, "openings/"+string(key), recordedJSON{receipt.ID, receipt.Cover})
}

func (s *Server) apiOpening(c *gin.Context) error {
	o, _, err := s.register.Opening(c.Request.Context(), actor(c), param(c, "id"))
	if err != nil {
		return err
	}
	return s.version(c, o.Version, openingFrom(o))
}

// apiOpeningVersions lists every version of an opening, oldest first.
func (s *Server) apiOpeningVersions(c *gin.Context) error {
	list, err := s.register.OpeningVersions(c.Request.Context(), actor(c), param(c, "id"))
	if err != nil {
		return err
	}
	return s.answer(c, http.StatusOK, map[string][]openingJSON{"versions": each(list, openingFrom)})
}

// apiAmendOpening stores a further version; If-Match says which one it follows.
func (s *Server) apiAmendOpening(c *gin.Context) error {
	version, err := ifMatch(c)
	if err != nil {
		return err
	}
	var sent openingJSON
	if err := readJSON(c, &sent); err != nil {
		return err
	}
	if err := (kept{sent.Opening, sent.Version}).check(param(c, "id"), version); err != nil {
		return named(err, map[string]string{"id": "opening_id"})
	}
	o := sent.opening()
	o.Root, o.Version, o.ID = param(c, "id"), version, models.ID(c.GetHeader("Idempotency-Key"))
	if o.ID == models.None {
		o.ID = s.register.NewID()
	}
	receipt, err := s.register.AmendOpening(c.Request.Context(), actor(c), o)
	if err != nil {
		return named(err, openingNames)
	}
	return s.saved(c, version+1, recordedJSON{receipt.ID, receipt.Cover})
}
