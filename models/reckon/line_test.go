package reckon_test

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"io"
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"

	"drylag/models/reckon"
)

const dewLine = `{"id":"a","quantity":"dew_point","inputs":{"t":{"value":25,"unit":"degC"},"rh":{"value":0.5,"unit":"1"}}}`

// A line that cannot be read is answered with its number; the next goes on.
func TestLinesGoOn(t *testing.T) {
	answers := ask(t, "\uFEFF"+dewLine, "", "not json", "[1]", `{"id":"b","quantity":7}`, `{"quantity":"dew_point","inputs":[]}`,
		`{"quantity":"dew_point","want":{"t_dp":1}}`, "null", strings.Repeat("x", reckon.MaxLine+1), `{"id":"c",`, "  \t", strings.TrimSuffix(dewLine, "}")+`,"note":"kept by its writer"}`)
	codes := []string{"", "NOT_JSON", "WRONG_SHAPE", "WRONG_SHAPE", "WRONG_SHAPE", "WRONG_SHAPE", "UNKNOWN_QUANTITY", "LINE_LONG", "NOT_JSON", ""}
	lines := []int{0, 3, 4, 0, 0, 0, 0, 9, 10, 0}
	require.Len(t, answers, len(codes))
	for i, a := range answers {
		require.Equal(t, lines[i], a.Line)
		if codes[i] == "" {
			require.Nil(t, a.Error)
			require.InDelta(t, 13.863973, a.Outputs["t_dp"].Value, 1e-5)
			continue
		}
		require.NotNil(t, a.Error, i)
		require.Equal(t, codes[i], a.Error.Code)
	}
	require.Contains(t, answers[1].Error.Message, "line 3")
	require.Equal(t, "b", answers[3].ID)
}

// NaN and infinity, which some writers put into JSON, are bad values and not
// bad lines; text that holds the words is left alone.
func TestBareNaN(t *testing.T) {
	for _, bare := range []string{"NaN", "-NaN", "Infinity", "-Infinity"} {
		a := ask(t, strings.Replace(dewLine, "25", bare, 1))[0]
		require.Equal(t, "T_RANGE", a.Error.Code)
		require.Equal(t, "t", a.Error.Field)
		require.Contains(t, a.Error.Message, bare)
	}
	require.Equal(t, `NaN "x`, ask(t, strings.Replace(strings.Replace(dewLine, "25", "NaN", 1), `"a"`, `"NaN \"x"`, 1))[0].ID)
}

// The last line needs no line feed, and an id comes back as it was.
func TestIDComesBack(t *testing.T) {
	for _, id := range []string{`"x<y>&"`, "12345678901234567890", "null", `{"a":[1,2]}`, "true", "\"\xff\""} {
		var out bytes.Buffer
		require.NoError(t, reckon.Lines(t.Context(), strings.NewReader(strings.Replace(dewLine, `"a"`, id, 1)), &out, nil))
		require.True(t, strings.HasPrefix(out.String(), `{"id":`+strings.ToValidUTF8(id, "\uFFFD")+`,`), out.String())
	}
}

// What was answered is out before more is waited for, so that a program can
// talk to the command line by line.
func TestLinesAnswerAtOnce(t *testing.T) {
	in, out := newPipe(), newPipe()
	done := make(chan error)
	go func() { done <- reckon.Lines(t.Context(), in.r, out.w, nil) }()
	answers := json.NewDecoder(out.r)
	for range 3 {
		_, err := io.WriteString(in.w, dewLine+"\n")
		require.NoError(t, err)
		var a answered
		require.NoError(t, answers.Decode(&a))
		require.Equal(t, "a", a.ID)
	}
	require.NoError(t, in.w.Close())
	require.NoError(t, <-done)
}

type pipe struct {
	r *io.PipeReader
	w *io.PipeWriter
}

func newPipe() pipe {
	r, w := io.Pipe()
	return pipe{r, w}
}

var errBroken = errors.New("broken")

type broken struct{}

func (broken) Read([]byte) (int, error)  { return 0, errBroken }
func (broken) Write([]byte) (int, error) { return 0, errBroken }

func TestLinesEnd(t *testing.T) {
	require.ErrorIs(t, reckon.Lines(t.Context(), broken{}, io.Discard, nil), errBroken)
	require.ErrorIs(t, reckon.Lines(t.Context(), strings.NewReader(dewLine), broken{}, nil), errBroken)
	ctx, stop := context.WithCancel(t.Context())
	stop()
	require.ErrorIs(t, reckon.Lines(ctx, strings.NewReader(dewLine+"\n"+dewLine), io.Discard, nil), context.Canceled)
}

// Whatever a line is, the answer is one line of valid JSON with finite numbers,
// and either outputs or an error with a code.
func FuzzReckonLine(f *testing.F) {
	f.Add(dewLine)
	f.Add(`{"quantity":"covered_cylinder","inputs":{"layers":{"value":[{"t":1e-9,"k0":0.034}],"unit":"m, W/(m K)"}}}`)
	f.Add(`{"id":NaN,"quantity":"unit_conversion","inputs":{"value":{"value":1e308,"unit":"km"}},"want":{"value":"in"}}`)
	f.Add(`{"quantity":"hours_metal_below_dew_point","inputs":{"climate":{"value":"steady 24 degC 50 %","unit":"file"},"t_metal":{"value":7,"unit":"degC"}}}`)
	for _, c := range readChecks(f) {
		inputs := bytes.ReplaceAll(c.inputs(f), []byte("climates/room_open.csv"), []byte("steady 24 degC 50 %"))
		text, err := json.Marshal(map[string]any{"id": c.ID, "quantity": c.Quantity, "inputs": json.RawMessage(inputs), "want": c.want()})
		require.NoError(f, err)
		f.Add(string(text))
	}
	f.Fuzz(func(t *testing.T, text string) {
		var out bytes.Buffer
		require.NoError(t, reckon.Lines(t.Context(), strings.NewReader(text), &out, nil))
		for line := range strings.Lines(out.String()) {
			require.True(t, json.Valid([]byte(line)), line)
			require.True(t, utf8.ValidString(line), line)
			var a struct {
				Outputs map[string]reckon.Got
				Error   *reckon.Fault
			}
			require.NoError(t, json.Unmarshal([]byte(line), &a), line)
			require.True(t, (len(a.Outputs) > 0) != (a.Error != nil && a.Error.Code != ""), line)
			for name, got := range a.Outputs {
				if n, number := got.Value.(float64); number {
					require.False(t, math.IsNaN(n) || math.IsInf(n, 0), name)
				}
			}
		}
	})
}
