package main

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// The same fleet written by other hands gives the same answer.
func TestLearnReadsTablesOfManyHands(t *testing.T) {
	plain := "id,building,drive,seal,method,service_c,L,R\n" +
		"1,north,2,poor,tape,5,0,1\n2,south,,sound,,7,1.5,\n3,north,1,unknown,mechanical,,0.5,2\n4,,0.5,repaired,,6,2,\n"
	want := learnFrom(t, "--data", written(t, "plain.csv", plain))
	require.Equal(t, []int{4, 2, 2}, []int{want.N, want.Wet, want.Buildings})
	require.Contains(t, want.Effects, "north", "a building's name need not be a number")
	for name, text := range map[string]string{
		"windows":             "\ufeff" + strings.ReplaceAll(plain, "\n", "\r\n"),
		"semicolons":          strings.ReplaceAll(plain, ",", ";"),
		"other order":         "R,seal,L,service_c,method,drive,building,id,remark\n1,poor,0,5,tape,2,north,1,\n,sound,1.5,7,,,south,2,x\n2,unknown,.5,,mechanical,1,north,3,\n,repaired,2,6,,0.5,,4,y\n",
		"blank lines":         strings.ReplaceAll(plain, "\n", "\n\n"),
		"NA and Inf":          "id,building,drive,seal,method,service_c,L,R\n1,north,2,poor,tape,5,0,1\n2,south,NA,sound,NA,7,1.5,Inf\n3,north,1,unknown,mechanical,NA,0.5,2\n4,,0.5,repaired,NA,6,2,NA\n",
		"upper case":          strings.Replace(plain, "id,building,drive,seal,method,service_c", "ID,Building,Drive,Seal,Method,Service_C", 1),
		"spaces":              strings.ReplaceAll(plain, ",", " , "),
		"method says unknown": strings.Replace(plain, "south,,sound,,7", "south,,sound,unknown,7", 1),
	} {
		got := learnFrom(t, "--data", written(t, "fleet.csv", text))
		got.Iterations, want.Iterations = 0, 0
		require.Equal(t, want, got, name)
	}
	months := strings.NewReplacer("0,1\n", "0,12\n", "1.5,\n", "18,\n", "0.5,2\n", "6,24\n", "2,\n", "24,\n").Replace(plain)
	got := learnFrom(t, "--data", written(t, "months.csv", months), "--time-scale", "12")
	got.Iterations = 0
	require.Equal(t, want, got, "months")
}

func TestLearnListsWhatItLeavesOut(t *testing.T) {
	data := written(t, "fleet.csv", "id,building,kind,L,R\n"+
		"a,1,valve,0,1\n"+ // superseded by line 6
		"b,1,valve,2,1\n"+
		"c,1,elbow,0,2\n\n"+
		"a,1,valve,1,\n"+
		"d,2,valve,0.001,\n"+
		"e,2,elbow,41,\n"+
		"f,2,pump,,\n"+
		"g,1,pump,-1,2\n")
	got := learnFrom(t, "--data", data, "--predict", written(t, "covers.csv", "id,kind\nV-1,hose\n2,pump\n"))
	require.Equal(t, []int{2, 1, 1}, []int{got.N, got.Wet, got.Buildings})
	require.Equal(t, []rejectedRow{
		{2, "a", "a later one has the same id; the last counts"},
		{3, "b", "found wet at 1, not after it was last known dry at 2"},
		{7, "d", "opened less than a day after closing"},
		{8, "e", "opened more than 40 years after closing"},
		{9, "f", "neither a dry nor a wet look"},
		{10, "g", "an age must be a number, 0 or more"},
	}, got.Rejected)
	require.Equal(t, []string{
		`fleet.csv: kind "elbow" (1 rows, first on line 4) has no column and counts as the reference; a prior row kind_elbow gives it one`,
		`covers.csv: kind "hose" (1 rows, first on line 2) has no column and counts as the reference; a prior row kind_hose gives it one`,
	}, got.Notes)
	require.Equal(t, "V-1", got.Predictions[0].ID)
	require.Equal(t, "2", got.Predictions[1].ID, "one id is no number, so none is")

	prior := written(t, "prior.csv", "name,mean,sd\nkind_elbow,0.5,0.3\nseal_waxed,1,0.3\n")
	waxed := written(t, "waxed.csv", "seal,kind,L,R\nwaxed,elbow,0,1\nsound,elbow,2,\n")
	got = learnFrom(t, "--data", waxed, "--prior", prior)
	require.Empty(t, got.Notes, "a new word needs a prior row and nothing else")
	require.Contains(t, got.Beta, "kind_elbow")

	// Data of any origin may have any unit of time, and an id that is none of an opening.
	got = learnFrom(t, "--data", written(t, "hours.csv", "id,L,R\n1,4000,\n1,0,3000\n1,1000,2000\n"), "--mle")
	require.Equal(t, 3, got.N)
	require.Empty(t, got.Rejected)
}

func TestLearnGroupsOfAFleetPartTheStepsOnly(t *testing.T) {
	text := "site,building,L,R\nA,1,0,1\nB,1,2,\nB,1,0,3\nA,2,1,\n"
	plain := learnFrom(t, "--data", written(t, "fleet.csv", text))
	got := learnFrom(t, "--data", written(t, "fleet.csv", text), "--group", "site")
	require.Equal(t, plain.Beta, got.Beta)
	require.Empty(t, got.Notes)
	var steps map[string]struct{ Mass []mass }
	require.NoError(t, json.Unmarshal(got.Steps, &steps))
	require.Len(t, steps, 2)
	require.Len(t, steps["A"].Mass, 2, "wet by 1 and dry at 1: half before, half beyond")
}

func TestLearnWithoutBuildings(t *testing.T) {
	got := learnFrom(t, "--data", check("sim300.csv"), "--sigma-b", "0")
	require.Nil(t, got.SigmaB)
	require.Empty(t, got.Effects)
	require.Equal(t, 12, got.Buildings)

	mle := learnFrom(t, "--data", check("sim3000.csv"), "--mle", "--predict", check("covers.csv"))
	require.Nil(t, mle.SigmaB)
	require.Contains(t, mle.LeftOut, "seal_unknown", "no row says unknown")
	require.Greater(t, mle.LogLik, -1928.3379881-1000)
}

func TestLearnRefuses(t *testing.T) {
	data := written(t, "fleet.csv", "building,drive,seal,dual,L,R\n1,2,poor,0,0,1\n1,x,poor,0,0,1\n1,2,poor,7,0,1\n")
	for _, c := range []struct {
		name string
		args []string
		code int
		text string
	}{
		{"nothing asked", nil, exitUsage, "needs --data, --predict or --calibrate"},
		{"no such file", []string{"--data", "nowhere.csv"}, exitUsage, "nowhere.csv"},
		{"no data for the likelihood", []string{"--predict", check("covers.csv"), "--mle"}, exitUsage, "--mle needs --data"},
		{"no scale", []string{"--data", data, "--time-scale", "0"}, exitUsage, "--time-scale"},
		{"spread below 0", []string{"--data", data, "--sigma-b=-1"}, exitUsage, "--sigma-b"},
		{"age below 0", []string{"--data", data, "--at=-1"}, exitUsage, "--at"},
		{"two columns", []string{"--data", data, "--current-status", "u,n"}, exitUsage, "three columns"},
		{"weights of counts", []string{"--data", data, "--current-status", "u,n,w", "--weight", "w"}, exitUsage, "--weight"},
		{"bad rows", []string{"--data", data}, exitFailed, `fleet.csv: line 3, column drive: "x" is not a number; type one like 1.25 or leave it blank; line 4, column dual: "7" is neither 0 nor 1`},
		{"no seal", []string{"--data", written(t, "seal.csv", "seal,L,R\nsound,0,1\n\ngood,0,1\n")}, exitFailed, `seal.csv: line 4, column seal: "good" is none of sound`},
		{"seal of a cover", []string{"--predict", written(t, "covers.csv", "id,seal\n1,good\n")}, exitFailed, `covers.csv: line 2, column seal: "good"`},
		{"ragged", []string{"--data", written(t, "ragged.csv", "L,R\n0,1\n1\n")}, exitFailed, "ragged.csv: line 3: the row has 1 cells"},
		{"empty", []string{"--data", written(t, "empty.csv", "")}, exitFailed, "the file is empty"},
		{"no column", []string{"--data", written(t, "l.csv", "L,seal\n1,poor\n")}, exitFailed, `l.csv: the header has no column "R"`},
		{"no group", []string{"--data", data, "--group", "site"}, exitFailed, `no column "site"`},
		{"no group of covers", []string{"--data", check("cosmesis.csv"), "--group", "group", "--predict", check("covers.csv")}, exitFailed, `covers.csv: the header has no column "group"`},
		{"no column of the prior", []string{"--data", check("sim30.csv"), "--prior", written(t, "prior.csv", "name,mean,sd\nsael,1,1\n")}, exitFailed, `prior.csv: line 2, column name: "sael"`},
		{"no probability", []string{"--calibrate", written(t, "calib.csv", "p,y\n0.5,1\n1.5,0\n")}, exitFailed, "calib.csv: line 3, column p: 1.5"},
		{"no maximum", []string{"--data", check("fail_separation.csv"), "--mle"}, exitFailed, "do not determine every column"},
		{"no episode", []string{"--data", written(t, "none.csv", "L,R\n"), "--mle"}, exitFailed, "no episode"},
	} {
		t.Run(c.name, func(t *testing.T) {
			code, out, errOut := drylag(t, append([]string{"learn"}, c.args...)...)
			require.Equal(t, c.code, code, errOut)
			require.Contains(t, errOut, c.text)
			require.Empty(t, out)
			require.Equal(t, 1, strings.Count(errOut, "\n"), "one line: %s", errOut)
		})
	}
}

func TestLearnOfNothingScored(t *testing.T) {
	got := learnFrom(t, "--calibrate", written(t, "calib.csv", "p,y\n")).Calibration
	require.Equal(t, 0.0, got["n"])
	require.Nil(t, got["brier"])
	require.Nil(t, got["cal_slope"])
}
