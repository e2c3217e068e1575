package server

import (
	"encoding/json"
	"errors"
	"net/http"

	"github.com/gin-gonic/gin"

	"drylag/models"
	"drylag/models/reckon"
	"drylag/models/unit"
)

// quantityJSON is one question that can be asked, as the API lists it.
type quantityJSON struct {
	Name    string       `json:"name"`
	Title   string       `json:"title"`
	Group   reckon.Group `json:"group"`
	Answers string       `json:"answers"`
	Inputs  []askedJSON  `json:"inputs"`
	Outputs []givenJSON  `json:"outputs"`
	Method  string       `json:"method"`
	Source  sourceJSON   `json:"source"`
}

// sourceJSON is where a method comes from, and how: read, from memory, ...
type sourceJSON struct {
	Text string   `json:"text"`
	Tag  unit.Tag `json:"tag"`
}

// askedJSON is one input of a question.
type askedJSON struct {
	Name     string       `json:"name"`
	Label    string       `json:"label"`
	Shape    reckon.Shape `json:"shape"`
	Unit     string       `json:"unit,omitempty"`    // of the range and the default
	UnitSI   string       `json:"unit_si,omitempty"` // as pages show it
	UnitIP   string       `json:"unit_ip,omitempty"`
	Range    *rangedJSON  `json:"range,omitempty"`
	Code     string       `json:"code,omitempty"` // of a value out of the range
	Default  any          `json:"default,omitempty"`
	Optional bool         `json:"optional"`
	Null     string       `json:"null,omitempty"` // what null says
	Words    []string     `json:"words,omitempty"`
	Fields   []askedJSON  `json:"fields,omitempty"` // of one row
}

// rangedJSON is where a value may lie; an open end is itself outside.
type rangedJSON struct {
	Min     float64 `json:"min"`
	Max     float64 `json:"max"`
	MinOpen bool    `json:"min_open"`
	MaxOpen bool    `json:"max_open"`
}

// givenJSON is one output of a question.
type givenJSON struct {
	Name   string `json:"name"`
	Label  string `json:"label"`
	Unit   string `json:"unit,omitempty"`
	UnitSI string `json:"unit_si,omitempty"`
	UnitIP string `json:"unit_ip,omitempty"`
	Null   string `json:"null,omitempty"`
}

// apiQuantities lists what can be asked, and the climates that can be named.
func (s *Server) apiQuantities(c *gin.Context) error {
	all := reckon.All()
	rows := make([]quantityJSON, len(all))
	for i, q := range all {
		rows[i] = quantityFrom(q)
	}
	return s.answer(c, http.StatusOK, struct {
		Quantities []quantityJSON `json:"quantities"`
		Climates   []string       `json:"climates"`
	}{rows, reckon.Climates()})
}

func quantityFrom(q reckon.Quantity) quantityJSON {
	j := quantityJSON{Name: q.Name, Title: q.Title, Group: q.Group, Answers: q.Answers, Inputs: inputsFrom(q.Inputs),
		Method: q.Method, Source: sourceJSON(q.Source)}
	for _, o := range q.Outputs {
		j.Outputs = append(j.Outputs, givenJSON{o.Name, o.Label, o.Unit, o.UnitIn(unit.SI), o.UnitIn(unit.IP), o.Null})
	}
	return j
}

func inputsFrom(inputs []reckon.Input) []askedJSON {
	out := make([]askedJSON, len(inputs))
	for i, in := range inputs {
		out[i] = askedJSON{Name: in.Name, Label: in.Label, Shape: in.Shape, Unit: in.Unit, UnitSI: in.UnitIn(unit.SI), UnitIP: in.UnitIn(unit.IP),
			Code: in.Code, Default: in.Default, Optional: in.Optional, Null: in.Null, Words: in.Words}
		if in.Shape == reckon.Number || in.Shape == reckon.Numbers {
			out[i].Range = &rangedJSON{in.Range.Min, in.Range.Max, in.Range.MinOpen, in.Range.MaxOpen}
		}
		if len(in.Fields) > 0 {
			out[i].Fields = inputsFrom(in.Fields)
		}
	}
	return out
}

// apiReckon answers one question. Climates are those that the service brings
// itself: no file of the machine is read for a request.
func (s *Server) apiReckon(c *gin.Context) error {
	var sent struct {
		ID     json.RawMessage `json:"id"`
		Inputs json.RawMessage `json:"inputs"`
		Want   json.RawMessage `json:"want"`
	}
	if err := readJSON(c, &sent); err != nil {
		return err
	}
	asked := reckon.Question{Quantity: c.Param("quantity")}
	var err error
	if asked.Inputs, err = reckon.ReadInputs(sent.Inputs); err != nil {
		return unanswered(err)
	}
	if asked.Want, err = reckon.ReadWant(sent.Want); err != nil {
		return unanswered(err)
	}
	answer, err := reckon.Ask(asked, nil)
	if err != nil {
		return unanswered(err)
	}
	return s.answer(c, http.StatusOK, struct {
		ID json.RawMessage `json:"id,omitempty"`
		reckon.Answer
	}{sent.ID, answer})
}

// unanswered is the error of a question: not found, or 422 with its field. The
// problem takes its code from the fault within.
func unanswered(err error) error {
	var f *reckon.Fault
	if !errors.As(err, &f) {
		return err
	}
	if f.Code == reckon.UnknownQuantity {
		return &models.Error{Kind: models.Missing, Msg: f.Message, Err: err}
	}
	return &models.Error{Kind: models.Invalid, Msg: f.Message, Faults: models.Faults{{Field: f.Field, Msg: f.Message}}, Err: err}
}

// codeOf is the code and the field of a question that is not answered, nothing
// of any other error.
func codeOf(err error) (code, field string) {
	var f *reckon.Fault
	if errors.As(err, &f) {
		return f.Code, f.Field
	}
	return "", ""
}
