package server

import (
	"net/url"
	"strings"

	"drylag/models/reckon"
	"drylag/models/unit"
)

// ready is a question as a sentence: {t} a field to fill in, {=t_dp} an answer;
// and values to begin with, invented, for each system.
type ready struct {
	Name   string
	Text   string
	SI, IP map[string]string
}

// readyMade are the six questions that are asked most.
var readyMade = []ready{
	{"dew_point", "Air at {t} and {rh} has its dew point at {=t_dp}: metal that is colder sweats.",
		map[string]string{"t": "29", "rh": "85"}, map[string]string{"t": "85", "rh": "85"}},
	{"covered_cylinder", "A pipe of {d_pipe} at {t_fluid} under {layers_1_t} of insulation of {layers_1_k0}, its outside of emissivity {emissivity}, in air at {t_air} and {rh}: the outside comes to {=t_s}, the dew point is {=t_dp}, the pipe gains {=q_m}. Does it sweat? {=condenses}.",
		map[string]string{"d_pipe": "168.3", "t_fluid": "6", "layers_1_t": "25", "layers_1_k0": "0.038", "emissivity": "0.9", "t_air": "27", "rh": "70"},
		map[string]string{"d_pipe": "6.625", "t_fluid": "44", "layers_1_t": "1", "layers_1_k0": "0.26", "emissivity": "0.9", "t_air": "80", "rh": "70"}},
	{"min_thickness_no_condensation", "In air at {t_air} and {rh} a pipe of {d_pipe} at {t_fluid} needs {=t} of insulation of {k0}, its outside of emissivity {emissivity}, so that the outside does not sweat.",
		map[string]string{"t_air": "29", "rh": "80", "d_pipe": "168.3", "t_fluid": "6", "k0": "0.038", "emissivity": "0.9"},
		map[string]string{"t_air": "85", "rh": "80", "d_pipe": "6.625", "t_fluid": "44", "k0": "0.26", "emissivity": "0.9"}},
	{"bare_cylinder", "Bare metal of {d} at {t_s}, emissivity {emissivity}, in air at {t_air} and {rh} gains {=q_total} and gathers {=m_cond} of water.",
		map[string]string{"d": "168.3", "t_s": "6", "emissivity": "0.8", "t_air": "27", "rh": "60"},
		map[string]string{"d": "6.625", "t_s": "44", "emissivity": "0.8", "t_air": "80", "rh": "60"}},
	{"cover_stretch_out", "Around a part of {d}, a blanket {t_eff} thick as installed and {length} long goes {=circumference} around and takes {=area}.",
		map[string]string{"d": "280", "t_eff": "40", "length": "0.4"}, map[string]string{"d": "11", "t_eff": "1.5", "length": "1.5"}},
	{"thickness_trend", "The wall in {year_first}: {t_first}; in {year_previous}: {t_previous}; in {year_last}: {t_last}. If {t_required} must stay, {=remaining_life} are left by plain arithmetic.",
		map[string]string{"t_first": "7.1", "year_first": "2012", "t_previous": "6.9", "year_previous": "2019", "t_last": "6.7", "year_last": "2025", "t_required": "3"},
		map[string]string{"t_first": "0.280", "year_first": "2012", "t_previous": "0.272", "year_previous": "2019", "t_last": "0.264", "year_last": "2025", "t_required": "0.12"}},
}

// saying is a question to fill in on the first page.
type saying struct {
	Quantity reckon.Quantity
	Units    string
	Pieces   []piece
}

// piece is a part of a sentence: words, a field, or an answer.
type piece struct {
	Text   string
	Field  *field
	ID     string // of the field: the page has many sentences
	Output string // name of the answer
	Answer string // of an output; of a field what is typed
}

// readySentences are the six with their answers.
func readySentences(s unit.System) []saying {
	var out []saying
	for _, r := range readyMade {
		q, ok := reckon.Named(r.Name)
		if !ok {
			continue
		}
		p := &quantityPage{Quantity: q, system: s}
		p.Form = &form{values: url.Values{}}
		for name, v := range r.values(s) {
			p.Form.set(name, v)
		}
		p.answer(nil)
		pieces := p.pieces(r.Text, func(name string) piece {
			f := p.named(name)
			return piece{Field: &f, ID: r.Name + "-" + name, Answer: p.Form.text(name)}
		})
		out = append(out, saying{Quantity: q, Units: unitsWord(s), Pieces: pieces})
	}
	return out
}

func (r ready) values(s unit.System) map[string]string {
	if s == unit.SI {
		return r.SI
	}
	return r.IP
}

// named is the field of a name in a sentence.
func (p *quantityPage) named(name string) field {
	for _, in := range p.Quantity.Inputs {
		if in.Name == name {
			return p.fieldFor(in, name, capital(in.Label))
		}
		for _, part := range in.Fields {
			if name == reckon.Place(in.Name, 1, part.Name) {
				return p.fieldFor(part, name, capital(part.Label))
			}
		}
	}
	return field{Name: name}
}

// said is the answer as a sentence, with what was understood in the place of
// the fields; nil where the question has no sentence or more was typed than it
// says.
func (p *quantityPage) said() []piece {
	for _, r := range readyMade {
		if r.Name == p.Quantity.Name && p.only(r) {
			return p.pieces(r.Text, func(name string) piece { return piece{Text: p.typedIn(name)} })
		}
	}
	return nil
}

// only tells whether nothing was typed but what the sentence has.
func (p *quantityPage) only(r ready) bool {
	for name := range p.Form.values {
		_, has := r.SI[name]
		if !has && p.fieldOf(name) && p.Form.text(name) != "" {
			return false
		}
	}
	return true
}

// typedIn is what was typed into a field, with the unit in which it was read.
func (p *quantityPage) typedIn(name string) string {
	text, f := p.Form.text(name), p.named(name)
	if f.UnitText == "" || strings.Trim(text, "-+.0123456789/ ") != "" {
		return tight(text)
	}
	return tight(text + " " + f.UnitText)
}

// pieces cuts a sentence into words, fields and answers.
func (p *quantityPage) pieces(text string, fill func(name string) piece) []piece {
	var out []piece
	for text != "" {
		before, rest, found := strings.Cut(text, "{")
		if before != "" {
			out = append(out, piece{Text: before})
		}
		if !found {
			break
		}
		name, after, _ := strings.Cut(rest, "}")
		if output, answer := strings.CutPrefix(name, "="); answer {
			out = append(out, piece{Output: output, Answer: p.briefly(output)})
		} else {
			out = append(out, fill(name))
		}
		text = after
	}
	return out
}

// briefly is an answer by its name.
func (p *quantityPage) briefly(output string) string {
	for _, t := range p.Told {
		if t.Name == output {
			return p.Brief(t)
		}
	}
	return "…"
}
