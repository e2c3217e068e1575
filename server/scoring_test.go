package server

import (
	"net/url"
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models"
)

func TestScoringIsSeenAskedForAndStopped(t *testing.T) {
	w := newWorld(t)
	engineer := w.as(models.Engineer)
	page := engineer.get("/constants")
	require.Equal(t, 200, page.status)
	require.Contains(t, page.body, "Score every cover again")

	require.Equal(t, 303, engineer.post("/constants/scores", url.Values{}).status)
	page = engineer.get("/constants")
	require.Contains(t, page.body, "Scoring begins in a moment.")
	require.Contains(t, page.body, "Look again", "works without script")
	require.NotContains(t, page.body, "Score every cover again")

	require.Equal(t, 409, engineer.post("/constants/scores/stop", url.Values{}).status, "none runs")
	require.Equal(t, 403, w.as(models.Inspector).post("/constants/scores", url.Values{}).status)
}

func TestScoringOverTheAPI(t *testing.T) {
	w := newWorld(t)
	engineer := w.as(models.Engineer)
	require.Contains(t, engineer.api("GET", api+"scoring", "").body, `"running":false`)
	answer := engineer.api("POST", api+"scoring", "")
	require.Equal(t, 200, answer.status)
	require.Contains(t, answer.body, `"asked":true`)
	require.Equal(t, 409, engineer.api("POST", api+"scoring/stop", "").status)
	require.Equal(t, 403, w.as(models.Owner).api("GET", api+"scoring", "").status)
}

func TestScoringSays(t *testing.T) {
	for name, c := range map[string]struct {
		state models.Scoring
		want  string
	}{
		"learning": {models.Scoring{Running: true}, "Learning from the openings; the scores follow."},
		"running":  {models.Scoring{Running: true, Done: 41200, Total: 100000}, "Scores are being worked out again: 41,200 of 100,000 covers."},
		"none yet": {models.Scoring{}, "The covers have not been scored since the service began."},
	} {
		t.Run(name, func(t *testing.T) { require.Equal(t, c.want, scoringSays(c.state)) })
	}
}
