package main

import (
	"bufio"
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

const checkFolder = "../../testdata/check"

// The command answers every line of a file, errors included, and says with its
// exit code only whether it could read the file.
func TestReckonCommand(t *testing.T) {
	file := filepath.Join(t.TempDir(), "lines.jsonl")
	require.NoError(t, os.WriteFile(file, []byte(`{"id":1,"quantity":"dew_point","inputs":{"t":{"value":75,"unit":"degF"},"rh":{"value":50,"unit":"%"}},"want":{"t_dp":"degF"}}
nonsense
{"id":2,"quantity":"dew_point","inputs":{"t":{"value":25,"unit":"degC"},"rh":{"value":0,"unit":"1"}}}
{"id":3,"quantity":"hours_metal_below_dew_point","inputs":{"climate":{"value":"climates/room_open.csv","unit":"file"},"t_metal":{"value":4,"unit":"degC"}}}
{"id":4,"quantity":"hours_metal_below_dew_point","inputs":{"climate":{"value":"../import_test.go","unit":"file"},"t_metal":{"value":4,"unit":"degC"}}}
`), 0o600))
	code, out, errOut := drylag(t, "reckon", "--climates", checkFolder, file)
	require.Equal(t, exitDone, code, errOut)
	require.Empty(t, errOut)
	lines := strings.Split(strings.TrimSpace(out), "\n")
	require.Len(t, lines, 5)
	require.JSONEq(t, `{"id":2,"quantity":"dew_point","error":{"code":"RH_RANGE","field":"rh","message":"relative humidity must be above 0 and at most 1, not 0"}}`, lines[2])
	require.Contains(t, lines[0], `{"t_dp":{"value":55.11`, "55.11990433 °F, PsychroLib 2.5.0")
	require.Contains(t, lines[1], `"NOT_JSON"`)
	require.Contains(t, lines[1], "line 2")
	require.Contains(t, lines[3], `{"hours":{"value":8625,"unit":"h"}}`, "counted apart from this program, see testdata/check/physics.json")
	require.Contains(t, lines[4], `"CLIMATE_FILE"`)
}

func TestReckonCommandFails(t *testing.T) {
	for _, c := range []struct {
		code int
		args []string
		want string
	}{
		{exitFailed, []string{"reckon", filepath.Join(t.TempDir(), "none.jsonl")}, "no such file"},
		{exitFailed, []string{"reckon", t.TempDir()}, "is a directory"},
		{exitFailed, []string{"reckon", "--climates", filepath.Join(t.TempDir(), "none"), "x"}, "climates:"},
		{exitUsage, []string{"reckon", "--furlongs"}, "unknown flag"},
		{exitUsage, []string{"reckon", "a", "b"}, "unexpected argument"},
	} {
		code, out, errOut := drylag(t, c.args...)
		require.Equal(t, c.code, code, c.args)
		require.Empty(t, out)
		require.Contains(t, errOut, c.want)
	}
}

// Every published and computed case through the command itself answers with
// the outputs or the code that it expects; their tolerances are held in
// models/reckon.
func TestReckonCommandAnswersEveryCheck(t *testing.T) {
	var in strings.Builder
	var wanted []map[string]struct{ Value any }
	for _, name := range []string{"physics.json", "standards.json"} {
		text, err := os.ReadFile(filepath.Join(checkFolder, name))
		require.NoError(t, err)
		var cases []json.RawMessage
		require.NoError(t, json.Unmarshal(text, &cases))
		for _, c := range cases {
			var expected struct {
				Expected map[string]struct{ Value any }
			}
			require.NoError(t, json.Unmarshal(c, &expected))
			wanted = append(wanted, expected.Expected)
			var line bytes.Buffer
			require.NoError(t, json.Compact(&line, c))
			in.WriteString(line.String() + "\n")
		}
	}
	file := filepath.Join(t.TempDir(), "all.jsonl")
	require.NoError(t, os.WriteFile(file, []byte(in.String()), 0o600))
	code, out, errOut := drylag(t, "reckon", "--climates", checkFolder, file)
	require.Equal(t, exitDone, code, errOut)
	scanner := bufio.NewScanner(strings.NewReader(out))
	n := 0
	for ; scanner.Scan(); n++ {
		var a struct {
			Outputs map[string]any
			Error   *struct{ Code string }
		}
		require.NoError(t, json.Unmarshal(scanner.Bytes(), &a))
		if bad, ok := wanted[n]["error"]; ok {
			require.NotNil(t, a.Error, scanner.Text())
			require.Equal(t, bad.Value, a.Error.Code)
			continue
		}
		for name := range wanted[n] {
			require.Contains(t, a.Outputs, name, scanner.Text())
		}
	}
	require.Len(t, wanted, n)
}
