package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Whatever the table holds, the command answers with JSON of finite numbers or
// with one line that says what is wrong.
func FuzzLearn(f *testing.F) {
	f.Add("building,drive,seal,L,R\n1,2,poor,0,1\n2,,unknown,1.5,\n", false, "")
	f.Add("L,R,g\n1,,a\n0,3,b\n1,2,a\n", true, "g")
	f.Add("L,R\n1e300,\n0,1e-300\n", false, "")
	f.Add("service_c,age_y,n_open,drive,L,R\n-900,1e308,999999,1e308,0,1\n", false, "")
	f.Add("L;R\r\n;\r\n\"", true, "L")
	f.Fuzz(func(t *testing.T, text string, mle bool, group string) {
		dir := t.TempDir()
		data := filepath.Join(dir, "data.csv")
		require.NoError(t, os.WriteFile(data, []byte(text), 0o600))
		args := []string{"learn", "--data", data, "--predict", data, "--at", "0,1,40"}
		if mle {
			args = append(args, "--mle")
		}
		if group != "" {
			args = append(args, "--group="+group)
		}
		var out, errOut bytes.Buffer
		switch code := run(t.Context(), args, &out, &errOut); code {
		case exitDone:
			require.Empty(t, errOut.String())
			require.True(t, json.Valid(out.Bytes()))
		case exitFailed:
			require.Empty(t, out.String())
			require.Equal(t, 1, strings.Count(errOut.String(), "\n"), errOut.String())
		default:
			require.Equal(t, exitUsage, code)
		}
	})
}
