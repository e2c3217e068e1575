package seal

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestDefaultIsThePublishedTable(t *testing.T) {
	read, err := ParsePrior(checkTable(t, "prior.csv"), Prior{KShape: 11, KRate: 8, Spread: 0.4, SeenAs: 4})
	require.NoError(t, err)
	ours := Default()
	require.Len(t, ours.Columns, len(read.Columns)+1, "seal_unknown is ours alone")
	for _, want := range read.Columns {
		got := ours.Only(want.Name).Columns
		require.Len(t, got, 1, want.Name)
		require.InDelta(t, want.Mean, got[0].Mean, 1e-13, want.Name)
		require.Equal(t, want.SD, got[0].SD, want.Name)
	}
}

func TestParsePriorKeepsWhatIsNotNamed(t *testing.T) {
	p, err := ParsePrior(typed([]string{"name", "mean", "sd"}, []string{"seal_poor", "2", "0.1"}, []string{"method_wax", "0.3", "0.5"}), Default())
	require.NoError(t, err)
	require.Len(t, p.Columns, len(Default().Columns)+1)
	require.Equal(t, Column{"seal_poor", 2, 0.1}, p.Only("seal_poor").Columns[0])
	require.Equal(t, 1.2, Default().Only("seal_poor").Columns[0].Mean, "the default is not touched")

	wax := Expert(p).Outlook(Covariates{Method: "wax"})
	require.InDelta(t, 0.3, wax.eta-Expert(p).Outlook(Covariates{}).eta, 1e-12, "a new category needs a prior row and nothing else")
}

func TestParsePriorFaults(t *testing.T) {
	_, err := ParsePrior(typed([]string{"name", "mean", "sd"}, []string{"sael_poor", "1", "1"}, []string{"seal_poor", "x", "0"}), Default())
	require.ErrorContains(t, err, `line 2, column name: "sael_poor" is no column of the model`)
	require.ErrorContains(t, err, `line 3, column mean: "x" is not a number`)
	require.ErrorContains(t, err, "line 3, column sd: must be above 0")
	_, err = ParsePrior(typed([]string{"name", "mean"}), Default())
	require.EqualError(t, err, `the header has no column "sd"; it has name, mean`)
}
