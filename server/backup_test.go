package server

import (
	"net/http"
	"net/url"
	"regexp"
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models"
)

func TestBackupsPage(t *testing.T) {
	w := newWorld(t)
	c := w.as(models.Admin)
	require.Contains(t, c.get("/backups").body, "There is no backup yet.")

	require.Equal(t, http.StatusSeeOther, c.post("/backups", nil).status)
	page := c.get("/backups").body
	require.Contains(t, page, "and read back whole", "what was done is said once")
	require.Contains(t, page, "read back and found whole is of 25 Nov 2026")
	require.NotContains(t, c.get("/backups").body, "Backed up to")

	name := regexp.MustCompile(`name="name" value="([^"]+)"`).FindStringSubmatch(page)
	require.NotNil(t, name)
	require.Equal(t, http.StatusSeeOther, c.post("/backups/read", url.Values{"name": {name[1]}}).status)
	require.Contains(t, c.get("/backups").body, name[1]+" was read back and is whole.")
	require.Equal(t, http.StatusNotFound, c.post("/backups/read", url.Values{"name": {"../drylag.db"}}).status)

	require.Contains(t, c.post("/backups/verify", nil).body, "The database is whole.")
}

func TestLogPage(t *testing.T) {
	w := newWorld(t)
	w.cover(w.here, "CHW-V-1", models.InPlace)
	c := w.as(models.Admin)
	page := c.get("/log").body
	for _, want := range []string{"Ada Admin", "Pat engineer", "cover added", `href="/covers/`, "account added", `href="/people/`} {
		require.Contains(t, page, want)
	}
	require.NotContains(t, page, "Older", "all of it fits")
	require.Contains(t, c.get("/log?before=1").body, "does not go back further")
}

func TestLogPagesByKey(t *testing.T) {
	w := newWorld(t)
	admin := w.users[models.Admin].Actor()
	for range logLines {
		require.NoError(t, w.register.EndSessions(t.Context(), admin, w.users[models.Crew].ID))
	}
	c := w.as(models.Admin)
	page := c.get("/log").body
	next := regexp.MustCompile(`href="(/log\?before=\d+)" rel="next"`).FindStringSubmatch(page)
	require.NotNil(t, next)
	seen := regexp.MustCompile(`class="num">(\d+)</td>`)
	newest, older := seen.FindAllStringSubmatch(page, -1), seen.FindAllStringSubmatch(c.get(next[1]).body, -1)
	require.Len(t, newest, logLines)
	require.NotEmpty(t, older)
	last, first := newest[len(newest)-1][1], older[0][1]
	require.Equal(t, "/log?before="+last, next[1])
	require.NotEqual(t, last, first, "no line twice")
}
