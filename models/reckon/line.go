package reckon

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"
)

// MaxLine is the longest line that is read, in bytes.
const MaxLine = 1 << 20

// line is one line of questions. Keys that are not named here are passed over,
// so that a line may carry its own notes.
type line struct {
	ID       json.RawMessage `json:"id"`
	Quantity json.RawMessage `json:"quantity"`
	Inputs   json.RawMessage `json:"inputs"`
	Want     json.RawMessage `json:"want"`
}

// answerLine is one line of answers: outputs or an error.
type answerLine struct {
	ID       json.RawMessage `json:"id"`             // null where the line has none
	Line     int             `json:"line,omitempty"` // where the line itself cannot be read
	Quantity string          `json:"quantity,omitempty"`
	Outputs  map[string]Got  `json:"outputs,omitempty"`
	Defaults map[string]Got  `json:"defaults,omitempty"`
	Method   string          `json:"method,omitempty"`
	Source   string          `json:"source,omitempty"`
	Error    *Fault          `json:"error,omitempty"`
}

// Lines answers JSON lines until in ends: each line that is not blank gives one
// line, in order, an error for one that cannot be answered. What is answered is
// written before more is waited for. The error is that in cannot be read, out
// cannot be written, or ctx ended.
func Lines(ctx context.Context, in io.Reader, out io.Writer, climates *Shelf) error {
	from, to := bufio.NewReaderSize(in, 64<<10), bufio.NewWriter(out)
	for number := 1; ; number++ {
		text, long, err := readLine(from)
		if err != nil && !errors.Is(err, io.EOF) {
			return errors.Join(fmt.Errorf("line %d: %w", number, err), to.Flush())
		}
		if long || len(bytes.TrimSpace(text)) > 0 {
			answer := answerLine{Line: number, Error: fault(LineLong, "", "line %d has more than %d bytes", number, MaxLine)}
			if !long {
				answer = answerTo(text, number, climates)
			}
			if err := write(to, answer); err != nil {
				return err
			}
		}
		if err != nil {
			return to.Flush()
		}
		if from.Buffered() == 0 {
			if err := to.Flush(); err != nil {
				return err
			}
		}
		if err := ctx.Err(); err != nil {
			return errors.Join(err, to.Flush())
		}
	}
}

// readLine reads up to the next line feed. Of a line that is too long nothing
// is kept. The error is io.EOF with the last line.
func readLine(from *bufio.Reader) (text []byte, long bool, err error) {
	for {
		part, err := from.ReadSlice('\n')
		if len(text)+len(part) > MaxLine {
			text, long = nil, true
		}
		if !long {
			text = append(text, part...)
		}
		if !errors.Is(err, bufio.ErrBufferFull) {
			return text, long, err
		}
	}
}

// answerTo answers the text of one line.
func answerTo(text []byte, number int, climates *Shelf) answerLine {
	text = bytes.ToValidUTF8(bytes.TrimPrefix(text, []byte("\uFEFF")), []byte("\uFFFD"))
	if !json.Valid(text) {
		text = quoteNaN(text)
	}
	var asked line
	var notJSON *json.SyntaxError
	switch err := json.Unmarshal(text, &asked); {
	case errors.As(err, &notJSON):
		return answerLine{Line: number, Error: fault(NotJSON, "", "line %d is not JSON: %v", number, err)}
	case err != nil:
		return answerLine{Line: number, Error: fault(WrongShape, "", `line %d is no object like {"quantity": ..., "inputs": {...}}`, number)}
	}
	q, err := asked.question()
	answer := Answer{Quantity: q.Quantity}
	if err == nil {
		answer, err = Ask(q, climates)
	}
	if err != nil {
		return answerLine{ID: asked.ID, Quantity: q.Quantity, Error: faultOf(err)}
	}
	return answerLine{ID: asked.ID, Quantity: answer.Quantity, Outputs: answer.Outputs, Defaults: answer.Defaults, Method: answer.Method, Source: answer.Source}
}

// question reads the parts of a line.
func (l line) question() (Question, error) {
	var q Question
	if err := json.Unmarshal(orNull(l.Quantity), &q.Quantity); err != nil {
		return q, fault(WrongShape, "quantity", "the quantity is a word such as \"dew_point\", not %s", said(l.Quantity))
	}
	var err error
	if q.Inputs, err = ReadInputs(l.Inputs); err != nil {
		return q, err
	}
	q.Want, err = ReadWant(l.Want)
	return q, err
}

// ReadInputs reads {"t": {"value": 25, "unit": "degC"}}. The error is a *Fault
// that names the input.
func ReadInputs(raw json.RawMessage) (map[string]Given, error) {
	var each map[string]json.RawMessage
	if err := json.Unmarshal(orNull(raw), &each); err != nil {
		return nil, fault(WrongShape, "inputs", `the inputs are an object like {"t": {"value": 25, "unit": "degC"}}, not %s`, said(raw))
	}
	inputs := make(map[string]Given, len(each))
	for _, name := range slices.Sorted(maps.Keys(each)) {
		var g Given
		d := json.NewDecoder(bytes.NewReader(each[name]))
		d.DisallowUnknownFields()
		if err := d.Decode(&g); err != nil || isNull(each[name]) {
			return nil, fault(WrongShape, shorten(name), `an input is an object like {"value": 25, "unit": "degC"}, not %s`, said(each[name]))
		}
		inputs[name] = g
	}
	return inputs, nil
}

// ReadWant reads {"t_dp": "degF"}. The error is a *Fault.
func ReadWant(raw json.RawMessage) (map[string]string, error) {
	var want map[string]string
	if err := json.Unmarshal(orNull(raw), &want); err != nil {
		return nil, fault(WrongShape, "want", `what is wanted is an object like {"t_dp": "degF"}, not %s`, said(raw))
	}
	return want, nil
}

func orNull(raw json.RawMessage) json.RawMessage {
	if len(raw) == 0 {
		return json.RawMessage("null")
	}
	return raw
}

// faultOf is the fault that an error of this package is.
func faultOf(err error) *Fault {
	var f *Fault
	if errors.As(err, &f) {
		return f
	}
	return fault(NoAnswer, "", "%v", err)
}

func write(to *bufio.Writer, answer answerLine) error {
	enc := json.NewEncoder(to)
	enc.SetEscapeHTML(false)
	return enc.Encode(answer)
}

// quoteNaN puts NaN and the infinities, which JSON does not have but programs
// write all the same, into quotes, so that they are refused as values of their
// field and not as a line.
func quoteNaN(text []byte) []byte {
	var out []byte
	inString := false
	for i := 0; i < len(text); i++ {
		switch c := text[i]; {
		case inString && c == '\\' && i+1 < len(text):
			out = append(out, c, text[i+1])
			i++
			continue
		case c == '"':
			inString = !inString
		case !inString:
			if word := notNumber(text[i:]); word != "" {
				out = append(append(append(out, '"'), word...), '"')
				i += len(word) - 1
				continue
			}
		}
		out = append(out, text[i])
	}
	return out
}

func notNumber(text []byte) string {
	for _, word := range []string{"NaN", "-NaN", "Infinity", "-Infinity"} {
		if bytes.HasPrefix(text, []byte(word)) {
			return word
		}
	}
	return ""
}
