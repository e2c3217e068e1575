package server

import (
	"net/http"
	"net/url"
	"regexp"
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models"
)

// summary is what the error summary of a page says, in its order.
func summary(body string) []string {
	var out []string
	for _, m := range regexp.MustCompile(`<li><a href="#f-[^"]*">([^<]*)</a></li>`).FindAllStringSubmatch(body, -1) {
		out = append(out, m[1])
	}
	return out
}

func TestSummaryIsInTheOrderOfTheForm(t *testing.T) {
	w := newWorld(t)
	c := w.as(models.Engineer)
	form := inputs(t, c.get("/constants").body, "/constants")
	got := c.post("/constants", with(form, map[string]string{"limit_years": "99", "look_years": "x", "round_days": "1000"}))
	require.Equal(t, http.StatusUnprocessableEntity, got.status)
	require.Equal(t, []string{
		"Longest time between openings: must be between 0.5 and 30 years",
		"Between looks from outside: &#34;x&#34; is not a number: write it as 12.5",
		"Span of a round: must be between 7 and 400 days",
	}, summary(got.body), "what cannot be read is not first, and each is named")

	s := w.taped(w.here, "V-1")
	edit := "/covers/" + string(s.Cover.ID) + "/edit"
	got = c.post("/covers", with(inputs(t, c.get(edit).body, "/covers"), map[string]string{"tag": "", "nps": "six"}))
	require.Equal(t, []string{"Give the site&#39;s own tag.", "NPS: &#34;six&#34; is not a nominal pipe size: write it as 6 or 1 1/2"}, summary(got.body))
}

func TestAPasswordIsAskedForAgain(t *testing.T) {
	w := newWorld(t)
	got := w.nobody().post("/login", url.Values{"login": {"admin"}, "password": {"wrong"}})
	require.Contains(t, got.body, "Type the password again; nothing else is lost.")
	require.NotContains(t, got.body, "Nothing that you typed is lost.")
}

func TestDeadLinksSaySoBeforeAnythingIsTyped(t *testing.T) {
	w := newWorld(t)
	for _, path := range []string{"/setup", "/setup?key=NEVER", "/reset", "/reset?key=NEVER"} {
		got := w.nobody().get(path)
		require.Equal(t, http.StatusNotFound, got.status, path)
		require.Contains(t, got.body, "This link has been used or has ended. Ask for a new one.", path)
		require.NotContains(t, got.body, `type="password"`, path)
	}
	token, err := w.register.ResetLink(t.Context(), w.users[models.Admin].Actor(), w.users[models.Crew].ID)
	require.NoError(t, err)
	for range 2 { // looking does not use it up
		got := w.nobody().get(resetPath(token))
		require.Equal(t, http.StatusOK, got.status)
		require.Contains(t, got.body, "You log in as <b>crew</b>.")
		require.Contains(t, got.body, "10 characters or more", "the hint says what the rule is")
	}
}
