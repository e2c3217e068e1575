package server

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/gin-gonic/gin"

	"drylag/models"
	"drylag/models/register"
)

// recordPage is the recording form, new or amending.
type recordPage struct {
	shell
	Sheet    models.CoverSheet
	Today    models.Date
	Cautions cautions
	For      *models.FollowUp // what the record is for, nil: nothing asked
	Kept     string           // when the room's air in the form was read: "10:12 today"; "" not
	Stored   models.ID        // this form was recorded already, with other content

	Root     models.ID                 // the opening that is amended
	Versions []register.OpeningVersion // of it
}

// Amending tells whether the form amends an opening.
func (p *recordPage) Amending() bool { return p.Root != models.None }

// recordOn begins a form about a cover: what is underneath, the cautions, and
// the follow-up that it is for, if any.
func (s *Server) recordOn(c *gin.Context, cover, followUp models.ID) (recordPage, error) {
	sheet, err := s.register.Cover(c.Request.Context(), actor(c), cover)
	if err != nil {
		return recordPage{}, err
	}
	p := recordPage{shell: titled("Record an opening of "+sheet.Component.Tag, "/covers"), Sheet: sheet,
		Today: s.register.Today(sheet.Building), Cautions: cautionsOf(sheet)}
	p.Gloves = true
	p.Actor = actor(c) // its units are needed before the page is dressed
	p.For, err = s.openFollowUp(c, cover, followUp)
	return p, err
}

// airKept puts the room's air of the last two hours into a new form.
func (s *Server) airKept(c *gin.Context, p *recordPage) error {
	air, err := s.register.LastAir(c.Request.Context(), actor(c), p.Sheet.Room.ID)
	if err != nil || air == nil {
		return err
	}
	fillAir(p.Form, *air, p.Actor.Units)
	p.Form.set("kept", airTyped(p.Form))
	p.Form.set("kept_at", s.sayAt(p.Sheet.Building, air.At))
	p.Kept = p.Form.text("kept_at")
	return nil
}

// sayAt is an instant as a person in the building says it: "10:12 today".
func (s *Server) sayAt(b models.Building, at time.Time) string {
	local := at.In(b.Zone())
	day := models.DateOf(at, b.Zone())
	if day == s.register.Today(b) {
		return local.Format("15:04") + " today"
	}
	return local.Format("15:04") + " on " + day.Say()
}

// Outcomes are the answers offered: stopping has a button of its own, and is an
// answer only where it was given before.
func (p *recordPage) Outcomes() models.Vocabulary {
	if p.Amending() {
		return models.Outcomes
	}
	return slices.DeleteFunc(slices.Clone(models.Outcomes), func(w models.Word) bool { return w.Code == "stopped" })
}

// Paths are the two lengths of the form.
func (p *recordPage) Paths() models.Vocabulary {
	return models.Vocabulary{{Code: "short", Say: "dry and sound"}, {Code: "full", Say: "everything"}}
}

// place is one place of the seal with the names of its two questions.
type place struct{ Say, Found, Left string }

// Places are the places of the cover's seal.
func (p *recordPage) Places() []place {
	var out []place
	for _, pl := range placesOf(p.Form, p.Sheet.Cover) {
		out = append(out, place{pl.Say(), "found_" + string(pl), "left_" + string(pl)})
	}
	return out
}

// FoundAll are the answers for the whole seal as found.
func (p *recordPage) FoundAll() models.Vocabulary {
	return models.Vocabulary{{Code: "sound", Say: "sound at every place"}, {Code: "each", Say: "place by place"}}
}

// LeftAll are the answers for the whole seal as left, in the words of its closure.
func (p *recordPage) LeftAll() models.Vocabulary {
	made := "re-made"
	if p.Sheet.Cover.Taped() {
		made = "tape renewed"
	}
	return models.Vocabulary{
		{Code: "renewed", Say: made + " at every place"},
		{Code: "opened", Say: made + " at the seam and both ends, every other place undisturbed and sound"},
		{Code: "undisturbed", Say: "undisturbed and sound at every place"},
		{Code: "each", Say: "place by place"},
	}
}

// Clock is the clock position of the water. A recorded position between the
// hours is offered as well, so that amending does not lose it.
func (p *recordPage) Clock() field {
	f := p.Field("water_clock", "Where is the water?").Hint("Looking along the flow, 12 is the top.").Optional()
	words := models.Vocabulary{{Code: "12", Say: "12"}}
	for h := 1; h < 12; h++ {
		words = append(words, models.Word{Code: strconv.Itoa(h), Say: strconv.Itoa(h)})
	}
	if v := f.Value(); v != "" && !words.Has(v) {
		words = append(words, models.Word{Code: v, Say: v})
	}
	return f.From(words)
}

// Rust is the question for the grade, on whichever scale.
func (p *recordPage) Rust() field {
	f := p.Field("rust", "How rusted is the metal?").Hint("Hold the picture beside the metal. Ri 0 is clean.")
	for _, name := range []string{"rust_scale", "rust_grade"} {
		if f.Fault == "" {
			f.Fault = p.Form.fault(name)
		}
	}
	return f
}

// grade is one answer to the question for the grade.
type grade struct {
	register.RustGrade
	Code    string // scale and grade in one
	Picture string // of rust.svg
}

// Grades are the answers on one scale.
func (p *recordPage) Grades(scale string) []grade {
	var out []grade
	for _, g := range register.RustGrades(scale) {
		picture := strings.ToLower(strings.ReplaceAll(g.Grade, " ", "-"))
		if scale == "d610" {
			picture = "d610-" + picture
		}
		out = append(out, grade{g, g.Scale + ":" + g.Grade, picture})
	}
	return out
}

// OtherScale tells whether the answer is not on the Ri scale, so that the other
// scales stand open.
func (p *recordPage) OtherScale() bool {
	code := p.Form.text("rust")
	return (code != "" && !strings.HasPrefix(code, "ri:")) || p.Form.text("area") != "" || p.Form.fault("area") != ""
}

// AreaSays is what an area typed means on the other scales.
func (p *recordPage) AreaSays() string {
	m := models.MetalFinding{Scale: "area", AreaPct: (&form{values: p.Form.values}).percent("area", p.Actor.Units)}
	if _, derived := register.RustSaid(m); derived != "" {
		return "Derived: " + derived + "."
	}
	return "Such as 2.5; 0 is clean."
}

// Carried are the fields that the page carries along unseen.
func (p *recordPage) Carried() []field {
	var out []field
	for _, name := range []string{"id", "cover", "for", "kept", "kept_at", "version"} {
		if p.Form.text(name) != "" {
			out = append(out, p.Field(name, ""))
		}
	}
	for _, name := range []string{"place", "reading_id"} {
		for _, v := range p.Form.values[name] {
			out = append(out, field{Name: name, values: []string{v}})
		}
	}
	return out
}
