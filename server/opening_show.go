package server

import (
	"strconv"

	"github.com/gin-gonic/gin"

	"drylag/models"
	"drylag/models/register"
	"drylag/models/unit"
)

// openingPage is one opening as it was recorded, in one of its versions.
type openingPage struct {
	shell
	register.OpeningFile
	Version register.OpeningVersion // shown
}

func (s *Server) showOpening(c *gin.Context) error {
	file, err := s.register.OpeningFile(c.Request.Context(), actor(c), param(c, "id"))
	if err != nil {
		return err
	}
	p := &openingPage{shell: titled("Opening of "+file.Sheet.Component.Tag, "/covers"), OpeningFile: file, Version: file.Now()}
	p.Actor = actor(c)
	for _, v := range file.Versions {
		if strconv.Itoa(v.Version) == c.Query("version") {
			p.Version = v
		}
	}
	return s.show(c, "opening", p)
}

// Root is the opening.
func (p *openingPage) Root() models.ID { return p.Version.Root }

// Last is the number of the version that holds.
func (p *openingPage) Last() int { return p.Now().Version }

// Old tells whether the version that is shown has been amended.
func (p *openingPage) Old() bool { return p.Version.Version < p.Last() }

// sealWord is the state of one place of the seal.
type sealWord struct {
	Say    string
	Broken bool
}

// Found and Left are how a place was found and left.
func (p *openingPage) Found(f models.PlaceFinding) sealWord {
	return placeState(models.FoundWords, string(f.Found))
}
func (p *openingPage) Left(f models.PlaceFinding) sealWord {
	return placeState(models.LeftWords, string(f.Left))
}

func placeState(words models.Vocabulary, code string) sealWord {
	if code == "" {
		return sealWord{Say: notRecorded}
	}
	return sealWord{words.Say(code), code == "lifting" || code == "open" || code == "missing"}
}

// AsRead is a wall reading digit for digit.
func (p *openingPage) AsRead(r models.ThicknessReading) string {
	return tight(unit.Reading{Value: r.Value, Unit: r.Unit}.String())
}

// YesNo says an answer.
func (p *openingPage) YesNo(v *bool) string { return sayYesNo(v) }

func sayYesNo(v *bool) string {
	switch {
	case v == nil:
		return notRecorded
	case *v:
		return "yes"
	}
	return "no"
}

// fact is one answer of the record.
type fact struct{ Name, Value, Note string }

// facts are the answers of one part of the work; those not given are left out.
type facts struct {
	ID, Title string
	Facts     []fact
}

func (f *facts) word(name string, words models.Vocabulary, code string) {
	if code != "" {
		f.add(name, words.Say(code))
	}
}

func (f *facts) yesNo(name string, v *bool) {
	if v != nil {
		f.add(name, sayYesNo(v))
	}
}

func (f *facts) number(name string, v *float64, unit string) {
	if v != nil {
		f.add(name, num(*v, -1)+"\u00a0"+unit)
	}
}

// add leaves out what is not recorded.
func (f *facts) add(name, value string) {
	if value != "" && value != notRecorded {
		f.Facts = append(f.Facts, fact{Name: name, Value: value})
	}
}

// Parts are the answers in the order of the work.
func (p *openingPage) Parts() []facts {
	var out []facts
	for _, part := range []facts{p.before(), p.first(), p.metal(), p.treatment(), p.closing(), p.used()} {
		if len(part.Facts) > 0 {
			out = append(out, part)
		}
	}
	return out
}

func (p *openingPage) before() facts {
	o, f := p.Version, facts{ID: "before", Title: "Before cutting"}
	f.word("Why then", models.OpeningReasons, o.Reason)
	f.yesNo("Dripping", o.Drips)
	f.yesNo("Label there", o.Label)
	return f
}

func (p *openingPage) first() facts {
	o, f := p.Version, facts{ID: "first", Title: "The first half minute"}
	f.word("Moisture", models.Moistures, o.Moisture)
	f.number("Where", o.WaterClock, "o’clock")
	if o.WaterShare != nil {
		f.add("Share of the area", num(*o.WaterShare*100, 0)+"\u00a0%")
	}
	f.add("Stain", o.Stain)
	f.word("Blanket", models.BlanketStates, o.Blanket)
	f.yesNo("Mold", o.Mold)
	return f
}

func (p *openingPage) metal() facts {
	m, f := p.Version.Metal, facts{ID: "metal", Title: "Metal"}
	f.word("Coating", models.CoatingStates, m.Coating)
	if said, derived := register.RustSaid(m); said != "" {
		f.add("Rust", said)
		if derived != "" {
			f.Facts[len(f.Facts)-1].Note = derived + ", derived"
		}
	}
	f.word("Form", models.RustForms, m.Form)
	f.yesNo("Fresh rust since closing", m.FreshRust)
	f.add("Deepest pit", p.Thick(m.PitMM))
	return f
}

func (p *openingPage) treatment() facts {
	o, f := p.Version, facts{ID: "treatment", Title: "Treatment"}
	f.word("Dried", models.DryMethods, o.Dried)
	f.word("Prepared", models.Preparations, o.Prepared)
	f.word("Coated", models.CoatClasses, o.Coated)
	f.add("Dry film", p.Film(o.FilmUM))
	f.yesNo("Cure seen", o.Cured)
	return f
}

func (p *openingPage) closing() facts {
	c, f := p.Version.Closing, facts{ID: "closing", Title: "Closing"}
	f.word("Cover", models.ClosingCovers, c.Cover)
	f.add("Why left off", c.OffWhy)
	f.word("Metal", models.ClosingMetals, c.Metal)
	f.word("Blanket", models.ClosingBlanket, c.Blanket)
	f.word("Chilled water", models.ClosingWater, c.Water)
	f.yesNo("Label on", c.Label)
	return f
}

func (p *openingPage) used() facts {
	m, f := p.Version.Materials, facts{ID: "used", Title: "Used"}
	f.number("Time at the part", m.Minutes, "min")
	f.add("Tape", p.Length(m.TapeM))
	f.number("Sealant", m.SealantML, "mL")
	f.number("Coating", m.CoatingML, "mL")
	f.add("Blanket", p.Area(m.BlanketM2))
	return f
}
