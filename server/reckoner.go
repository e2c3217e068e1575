package server

import (
	"net/url"
	"strings"
	"time"

	"github.com/gin-gonic/gin"

	"drylag/models"
	"drylag/models/reckon"
	"drylag/models/unit"
)

// reckonerPage lists the questions, the most used as sentences to fill in.
type reckonerPage struct {
	shell
	Sentences []saying
	Groups    []questionGroup
	Found     int
	All       int
}

// questionGroup is the questions under one heading.
type questionGroup struct {
	Group     reckon.Group
	Questions []reckon.Quantity
}

func (s *Server) showReckoner(c *gin.Context) error {
	p := &reckonerPage{shell: titled("Reckoner", "/reckoner"), All: len(reckon.All())}
	p.Form = &form{values: c.Request.URL.Query()}
	words := p.Form.text("q")
	found := reckon.Search(words)
	p.Found, p.Groups = len(found), grouped(found)
	if words == "" {
		p.Sentences = readySentences(systemOf(actor(c).Units))
	}
	return s.show(c, "reckoner", p)
}

// grouped puts questions under their headings, in the order of the groups.
func grouped(all []reckon.Quantity) []questionGroup {
	var out []questionGroup
	for _, q := range all {
		if n := len(out); n == 0 || out[n-1].Group != q.Group {
			out = append(out, questionGroup{Group: q.Group})
		}
		last := &out[len(out)-1]
		last.Questions = append(last.Questions, q)
	}
	return out
}

// quantityPage is one question with its fields and, once asked, its answer.
type quantityPage struct {
	shell
	Quantity reckon.Quantity
	Asks     []ask
	Asked    bool
	Entered  []reckon.Entered
	Told     []reckon.Told     // nil: not answered
	Sentence []piece           // the answer as a sentence, nil where there is none
	Link     string            // the address that gives this answer again
	When     time.Time         // it was reckoned
	Years    models.Vocabulary // climates that can be named

	system unit.System
	other  bool // numbers are not read in the person's own units
}

func (s *Server) showQuantity(c *gin.Context) error {
	q, ok := reckon.Named(c.Param("quantity"))
	if !ok {
		return &models.Error{Kind: models.Missing, Msg: "There is no such question in the Reckoner."}
	}
	p := &quantityPage{shell: titled(q.Title, "/reckoner"), Quantity: q, When: s.register.Now()}
	p.Form = &form{values: c.Request.URL.Query()}
	p.keepUnits(actor(c).Units)
	var err error
	var climates *reckon.Shelf
	if p.Years, climates, err = s.years(c, q, p.Form.text("climate")); err != nil {
		return err
	}
	if p.Asked = p.asked(); p.Asked {
		p.answer(climates)
	}
	p.Asks = p.asks()
	return s.show(c, "reckon", p)
}

// keepUnits reads numbers in the units that the address names, so that a link
// means the same to everyone, else in the person's own.
func (p *quantityPage) keepUnits(own string) {
	units := p.Form.text("units")
	if units != "SI" && units != "IP" {
		units = own
	}
	p.system = systemOf(units)
	p.Actor.Units, p.other = unitsWord(p.system), p.system != systemOf(own)
	p.Form = &form{values: clone(p.Form.values)}
	p.Form.set("units", p.Actor.Units)
}

// unitsWord is the word of a system in an account and an address.
func unitsWord(s unit.System) string {
	if s == unit.SI {
		return "SI"
	}
	return "IP"
}

func clone(values url.Values) url.Values {
	out := url.Values{}
	for k, v := range values {
		out[k] = v
	}
	return out
}

// asked tells whether the address has any field of the question.
func (p *quantityPage) asked() bool {
	for name := range p.Form.values {
		if p.fieldOf(name) {
			return true
		}
	}
	return false
}

// fieldOf tells whether a name is that of a field of the question.
func (p *quantityPage) fieldOf(name string) bool {
	for _, in := range p.Quantity.Inputs {
		if name == in.Name || hasPlaces(in) && strings.HasPrefix(name, in.Name+"_") {
			return true
		}
	}
	return name == reckon.Want && p.Quantity.AnyUnit()
}

func hasPlaces(in reckon.Input) bool { return in.Shape == reckon.Rows || in.Shape == reckon.Numbers }

// answer reckons; what is wrong stands at its field.
func (p *quantityPage) answer(climates *reckon.Shelf) {
	entry := p.Quantity.Entry(p.Form.text, p.system, climates)
	p.Entered = entry.Entered
	for _, f := range entry.Faults {
		p.Form.Faults.Add(f.Field, "%s", sentenceOf(f.Message))
	}
	told, err := entry.Answer(climates)
	if err == nil {
		p.Told, p.Link = told, p.link()
		p.Sentence = p.said()
		return
	}
	if len(entry.Faults) == 0 {
		f := faultIn(err)
		p.Form.Faults.Add(f.Field, "%s", sentenceOf(f.Message))
	}
}

// faultIn is what is wrong with an answer.
func faultIn(err error) reckon.Fault {
	code, field := codeOf(err)
	message := err.Error()
	if f, ok := err.(*reckon.Fault); ok {
		message = f.Message
	}
	return reckon.Fault{Code: code, Field: field, Message: message}
}

// sentenceOf makes a sentence of a message.
func sentenceOf(text string) string { return capital(tight(strings.TrimSuffix(text, "."))) + "." }

// link is the address of this answer: what was typed and in which units.
func (p *quantityPage) link() string {
	kept := url.Values{"units": {p.Actor.Units}}
	for name, v := range p.Form.values {
		if p.fieldOf(name) && len(v) > 0 && strings.TrimSpace(v[0]) != "" {
			kept.Set(name, v[0])
		}
	}
	return "/reckoner/" + p.Quantity.Name + "?" + kept.Encode()
}

// OtherUnits says in which units the link is read where they are not the
// person's own, "" where they are.
func (p *quantityPage) OtherUnits() string {
	if !p.other {
		return ""
	}
	return p.ReadIn()
}

// ReadIn names the units of a plain number.
func (p *quantityPage) ReadIn() string {
	if p.system == unit.SI {
		return "SI units"
	}
	return "inch-pound units"
}

// First and Second are a value in the person's units and in the others.
func (p *quantityPage) First(v said) string  { return tight(v.In(p.system)) }
func (p *quantityPage) Second(v said) string { return tight(v.In(1 - p.system)) }

// said is a value in both systems.
type said interface{ In(unit.System) string }

// FirstUnits and SecondUnits head the columns of both systems.
func (p *quantityPage) FirstUnits() string  { return columnUnits(p.system) }
func (p *quantityPage) SecondUnits() string { return columnUnits(1 - p.system) }

func columnUnits(s unit.System) string {
	if s == unit.SI {
		return "SI"
	}
	return "Inch-pound"
}

// Brief is an output as a sentence has it.
func (p *quantityPage) Brief(t reckon.Told) string { return tight(t.Brief(p.system)) }

// Exact is an output for programs: all its figures.
func (p *quantityPage) Exact(t reckon.Told) any { return t.Got(p.system).Value }

// tagWords say how firm a source is.
var tagWords = map[unit.Tag]string{
	unit.Read:      "read in the named text, or in one that quotes it",
	unit.Library:   "read, and compared with a general-purpose library",
	unit.Derived:   "derived here and checked by a test",
	unit.Practice:  "common practice, no source",
	unit.Memory:    "from memory: confirm it in your own copy before you rely on it",
	unit.Judgement: "this program’s own judgment, no source",
}

// TagSays says how firm the source is.
func (p *quantityPage) TagSays() string { return tagWords[p.Quantity.Source.Tag] }

// Near are the other questions of the group.
func (p *quantityPage) Near() []reckon.Quantity {
	var out []reckon.Quantity
	for _, q := range reckon.All() {
		if q.Group == p.Quantity.Group && q.Name != p.Quantity.Name {
			out = append(out, q)
		}
	}
	return out
}
