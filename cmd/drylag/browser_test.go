package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"drylag/models"
)

// browserOrSkip finds Chromium and axe-core. On a person's machine the test is
// skipped without them; CI sets DRYLAG_BROWSER=required and fails.
func browserOrSkip(t *testing.T) (chromium, axe string) {
	t.Helper()
	need := os.Getenv("DRYLAG_BROWSER") == "required"
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			chromium = path
			break
		}
	}
	if file := os.Getenv("DRYLAG_AXE"); file != "" {
		body, err := os.ReadFile(file)
		require.NoError(t, err)
		axe = string(body)
	}
	if chromium == "" || (need && axe == "") {
		require.False(t, need, "Chromium and axe-core (DRYLAG_AXE) are required here")
		t.Skip("no Chromium on this machine: pages are not driven")
	}
	return chromium, axe
}

// output is what a command printed so far.
type output struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (o *output) Write(p []byte) (int, error) {
	o.mu.Lock()
	defer o.mu.Unlock()
	return o.b.Write(p)
}

func (o *output) String() string {
	o.mu.Lock()
	defer o.mu.Unlock()
	return o.b.String()
}

// startDemo runs the demo as a newcomer does and gives its address.
func startDemo(t *testing.T) string {
	t.Helper()
	ctx, stop := context.WithCancel(context.Background())
	var out, errOut output
	done := make(chan int, 1)
	go func() {
		done <- run(ctx, []string{"demo", "--addr", "127.0.0.1:0", "--dir", filepath.Join(t.TempDir(), "data")}, &out, &errOut)
	}()
	t.Cleanup(func() {
		stop()
		require.Equal(t, exitDone, <-done, errOut.String())
	})
	address := regexp.MustCompile(`http://[0-9.:]+`)
	require.Eventually(t, func() bool { return address.MatchString(out.String()) }, 3*time.Minute, 100*time.Millisecond, "%s", &errOut)
	return address.FindString(out.String())
}

// sentBack is what the console says when a form comes back with its faults.
var sentBack = regexp.MustCompile(`responded with a status of (401|422) `)

// newTab opens a browser whose console must stay clean.
func newTab(t *testing.T, chromium string) context.Context {
	t.Helper()
	opts := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(chromium), chromedp.NoSandbox,
		chromedp.UserDataDir(t.TempDir()), chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true))
	ctx, cancel := chromedp.NewExecAllocator(context.Background(), opts...)
	t.Cleanup(cancel)
	ctx, cancel = chromedp.NewContext(ctx)
	t.Cleanup(cancel)
	ctx, cancel = context.WithTimeout(ctx, 8*time.Minute)
	t.Cleanup(cancel)
	require.NoError(t, chromedp.Do(ctx, chromedp.Navigate("about:blank")))
	go func() {
		for m := range chromedp.Console(ctx) {
			if sentBack.MatchString(m.Text) {
				continue // Chromium says so of every form that is refused
			}
			if m.IsException() || m.Type == "error" || m.Type == "warning" {
				t.Errorf("console: %s (%s)", m.Text, m.URL)
			}
		}
	}()
	return ctx
}

// view is one size and scheme in which pages are looked at.
type view struct {
	width, height int64
	scheme        string
}

var views = []view{{360, 740, "light"}, {1440, 900, "light"}, {360, 740, "dark"}, {1440, 900, "dark"}}

func (v view) String() string { return fmt.Sprintf("%d %s", v.width, v.scheme) }

func (v view) set(t *testing.T, ctx context.Context) {
	t.Helper()
	require.NoError(t, chromedp.Do(ctx, chromedp.EmulateViewport(v.width, v.height)))
	_, err := chromedp.Call(ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
		Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: v.scheme}}})
	require.NoError(t, err)
}

// script runs a script in the page and gives its value.
func script[T any](t *testing.T, ctx context.Context, js string) T {
	t.Helper()
	v, err := chromedp.Run(ctx, chromedp.Evaluate[T](js, chromedp.EvalAwaitPromise))
	require.NoError(t, err, js)
	return v
}

// visit opens a page and holds it to what every page must keep.
func visit(t *testing.T, ctx context.Context, url, axe string) {
	t.Helper()
	require.NoError(t, chromedp.Do(ctx, chromedp.Navigate(url)))
	hold(t, ctx, axe)
}

// hold checks the page that is open: no sideways scrolling, no violation that
// axe-core knows of.
func hold(t *testing.T, ctx context.Context, axe string) {
	t.Helper()
	where := script[string](t, ctx, `location.pathname + location.search`)
	over := script[int](t, ctx, `document.documentElement.scrollWidth - document.documentElement.clientWidth`)
	require.LessOrEqual(t, over, 0, "%s scrolls sideways", where)
	if axe == "" {
		return
	}
	script[bool](t, ctx, axe+"; true")
	found := script[[]string](t, ctx, `axe.run().then(r => r.violations.map(v => v.id + ": " + v.nodes.map(n => n.html).join(" | ")))`)
	require.Empty(t, found, where)
}

// click presses the first element that a selector finds and waits for the next
// page.
func click(t *testing.T, ctx context.Context, selector string) {
	t.Helper()
	before := script[float64](t, ctx, `performance.timeOrigin`)
	require.True(t, script[bool](t, ctx, fmt.Sprintf(`(e => { if (e) e.click(); return !!e })(document.querySelector(%q))`, selector)), "nothing is %s", selector)
	require.Eventually(t, func() bool {
		now, err := chromedp.Run(ctx, chromedp.Evaluate[float64](`document.readyState == "complete" ? performance.timeOrigin : 0`))
		return err == nil && now > before
	}, 30*time.Second, 20*time.Millisecond, "no page came after %s", selector)
}

// loginAs chooses a person on the demo's log-in page.
func loginAs(t *testing.T, ctx context.Context, base, who string) {
	t.Helper()
	require.NoError(t, chromedp.Do(ctx, chromedp.Navigate(base+"/login")))
	click(t, ctx, `button[name=choice][value=`+who+`]`)
}

// answerAll gives the answers of a record form as a person taps them.
func answerAll(t *testing.T, ctx context.Context, answers map[string]string) {
	t.Helper()
	for name, value := range answers {
		ok := script[bool](t, ctx, fmt.Sprintf(`((name, value) => {
			const all = [...document.getElementsByName(name)];
			const tile = all.find(e => (e.type == "radio" || e.type == "checkbox") && e.value == value);
			if (tile) { tile.click(); return true }
			if (all.length == 0) return false;
			all[0].value = value; all[0].dispatchEvent(new Event("input", {bubbles: true})); return true
		})(%q, %q)`, name, value))
		require.True(t, ok, "no field %s takes %s", name, value)
	}
}

func TestEveryPageInEveryView(t *testing.T) {
	chromium, axe := browserOrSkip(t)
	base := startDemo(t)
	ctx := newTab(t, chromium)
	for _, v := range views {
		v.set(t, ctx)
		visit(t, ctx, base+"/login", axe)
		loginAs(t, ctx, base, "engineer")
		for _, path := range pagesToSee(t, ctx, base) {
			visit(t, ctx, base+path, axe)
		}
		click(t, ctx, `form[action="/logout"] button`)
		loginAs(t, ctx, base, "admin")
		for _, path := range []string{"/people", "/people/new", "/backups", "/log"} {
			visit(t, ctx, base+path, axe)
		}
		click(t, ctx, `form[action="/logout"] button`)
	}
}

// On paper a page is black on white, whatever the screen's scheme; it says that
// it is a demo and when it stood so, and offers nothing to press.
func TestPapers(t *testing.T) {
	chromium, _ := browserOrSkip(t)
	base := startDemo(t)
	ctx := newTab(t, chromium)
	require.NoError(t, chromedp.Do(ctx, chromedp.EmulateViewport(700, 1000))) // A4 within its margins
	loginAs(t, ctx, base, "engineer")
	cover := firstLink(t, ctx, base, "/covers?sort=risk&condition=estimated&state=in_place", `main a[href^="/covers/0"]`)
	building := firstLink(t, ctx, base, "/buildings", `main a[href^="/buildings/0"]`)
	_, err := chromedp.Call(ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print",
		Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: "dark"}}})
	require.NoError(t, err)
	for _, path := range []string{"/", "/covers", cover, "/due", "/follow-ups", building} {
		require.NoError(t, chromedp.Do(ctx, chromedp.Navigate(base+path)))
		shown := script[[]string](t, ctx, `[...document.querySelectorAll("nav, button, input, select, textarea, summary, .strip")].filter(e => e.checkVisibility() && e.getClientRects().length).map(e => e.outerHTML.slice(0, 120))`)
		require.Empty(t, shown, "%s prints what can only be pressed", path)
		require.Equal(t, []string{"rgb(0, 0, 0)", "rgb(255, 255, 255)"}, script[[]string](t, ctx, `(s => [s.color, s.backgroundColor])(getComputedStyle(document.body))`), path)
		text := script[string](t, ctx, `document.body.innerText`)
		require.Contains(t, text, "Demo data.", path)
		require.Contains(t, text, "As it stood on ", path)
		cut := script[[]string](t, ctx, `[...document.querySelectorAll("main table, main svg")].filter(e => e.checkVisibility() && e.getBoundingClientRect().right > innerWidth + 1).map(e => e.outerHTML.slice(0, 120))`)
		require.Empty(t, cut, "%s is cut at the right", path)
	}
}

// A form that is sent back is a page like any other: with its summary, its
// faults at their fields, and everything that was typed.
func TestFormsSentBackInEveryView(t *testing.T) {
	chromium, axe := browserOrSkip(t)
	base := startDemo(t)
	ctx := newTab(t, chromium)
	for _, v := range views {
		v.set(t, ctx)
		require.NoError(t, chromedp.Do(ctx, chromedp.Navigate(base+"/login")))
		sendBack(t, ctx, base, axe, sent{path: "/login", button: `form[action="/login"] button`})
		loginAs(t, ctx, base, "engineer")
		for _, s := range formsToSend(t, ctx, base) {
			sendBack(t, ctx, base, axe, s)
		}
		click(t, ctx, `form[action="/logout"] button`)
		loginAs(t, ctx, base, "admin")
		sendBack(t, ctx, base, axe, sent{path: "/people/new"})
		click(t, ctx, `form[action="/logout"] button`)
	}
}

// sent is a form with answers that are refused.
type sent struct {
	path    string
	answers map[string]string
	button  string // a selector; the form's own where empty
}

// formsToSend are the engineer's forms, each with faults of every sort.
func formsToSend(t *testing.T, ctx context.Context, base string) []sent {
	t.Helper()
	cover := firstLink(t, ctx, base, "/covers?sort=risk&condition=estimated&state=in_place", `main a[href^="/covers/0"]`)
	building := firstLink(t, ctx, base, "/buildings", `main a[href^="/buildings/0"]`)
	opening := firstLink(t, ctx, base, cover, `main a[href^="/openings/0"]`)
	return []sent{
		{path: cover + "/openings/new"},
		{path: cover + "/openings/new", answers: map[string]string{"outcome": "opened", "on": "2100-01-01", "tape": "x", "water_share": "120"}},
		{path: cover + "/openings/new", answers: map[string]string{"outcome": "could_not_open"}},
		{path: cover + "/looks/new", answers: map[string]string{"by": ""}},
		{path: cover + "/readings/new", answers: map[string]string{"reading_1_value": "710 mm", "by": ""}},
		{path: cover + "/follow-ups/new"},
		{path: opening + "/amend"},
		{path: cover + "/edit", answers: map[string]string{"tag": "", "nps": "six"}},
		{path: "/covers/new?building=" + building[len("/buildings/"):]},
		{path: "/deferrals/new?cover=" + cover[len("/covers/"):]},
		{path: firstLink(t, ctx, base, building, `main a[href^="/rooms/0"]`), answers: map[string]string{"name": "", "temp": "x"}},
		{path: firstLink(t, ctx, base, building, `main a[href^="/loops/0"]`), answers: map[string]string{"name": "", "supply": "x"}},
		{path: building + "/edit", answers: map[string]string{"name": "", "year_built": "x"}},
		{path: "/constants", answers: map[string]string{"limit_years": "99", "look_years": "x"}},
		{path: "/import", answers: map[string]string{"kind": "covers", "columns": "nonsense"}},
		{path: "/account", button: `form[action="/account/password"] button`},
	}
}

// sendBack sends a form with faults and holds the page that comes to the rules.
func sendBack(t *testing.T, ctx context.Context, base, axe string, s sent) {
	t.Helper()
	require.NoError(t, chromedp.Do(ctx, chromedp.Navigate(base+s.path)))
	answerAll(t, ctx, s.answers)
	if s.button == "" {
		s.button = `main form.form .buttons button.button`
	}
	click(t, ctx, s.button)
	require.True(t, script[bool](t, ctx, `document.querySelector("#faults") != null`), "%s was not sent back: %s", s.path, mainText(t, ctx)[:200])
	lost := script[[]string](t, ctx, `[...document.querySelectorAll("#faults a")].filter(a => !document.getElementById(a.hash.slice(1))).map(a => a.hash)`)
	require.Empty(t, lost, "%s: the summary leads nowhere", s.path)
	hold(t, ctx, axe)
}

// firstLink is the first address on a page that a selector finds.
func firstLink(t *testing.T, ctx context.Context, base, path, selector string) string {
	t.Helper()
	require.NoError(t, chromedp.Do(ctx, chromedp.Navigate(base+path)))
	found := script[string](t, ctx, fmt.Sprintf(`(e => e ? e.getAttribute("href") : "")(document.querySelector(%q))`, selector))
	require.NotEmpty(t, found, "%s has no %s", path, selector)
	return found
}

// pagesToSee are the engineer's pages, one of each kind.
func pagesToSee(t *testing.T, ctx context.Context, base string) []string {
	t.Helper()
	first := func(path, selector string) string { return firstLink(t, ctx, base, path, selector) }
	cover := first("/covers?sort=risk&condition=estimated", `main a[href^="/covers/0"]`)
	building := first("/buildings", `main a[href^="/buildings/0"]`)
	opening := first(cover, `main a[href^="/openings/0"]`)
	room, loop := first(building, `main a[href^="/rooms/0"]`), first(building, `main a[href^="/loops/0"]`)
	return []string{opening, opening + "/amend", room, loop, cover + "/edit", "/covers/new", "/constants", "/deferrals/new?cover=" + cover[len("/covers/"):],
		"/", "/covers", "/covers?sort=risk", cover, cover + "/openings/new", cover + "/looks/new", cover + "/readings/new", "/held", "/due",
		"/follow-ups", "/buildings", building, building + "/edit", "/import", "/account",
		"/reckoner", "/reckoner/dew_point?t=85&rh=85&units=IP", "/reckoner/covered_cylinder?layers_2_t=1&rh=120", "/reckoner/hours_metal_below_dew_point"}
}

// The main job by hand: an inspector finds a cover, records that it was wet,
// and sees risk, due date and the building's trend change, with the reason.
func TestMainJobInTheBrowser(t *testing.T) {
	chromium, axe := browserOrSkip(t)
	base := startDemo(t)
	ctx := newTab(t, chromium)
	for i, v := range []view{views[0], views[3]} {
		v.set(t, ctx)
		loginAs(t, ctx, base, "inspector")
		visit(t, ctx, base+"/covers?state=in_place&condition=estimated&sort=tag", axe)
		cover := script[string](t, ctx, fmt.Sprintf(`[...document.querySelectorAll('main a[href^="/covers/0"]')][%d].getAttribute("href")`, i))
		visit(t, ctx, base+cover, axe)
		building := "/buildings/" + script[string](t, ctx, `document.querySelector(".trail a").getAttribute("href").match(/[0-9a-f-]{36}/)[0]`)
		before := mainText(t, ctx)
		opened, wet := lastQuarter(t, ctx, base+building)
		recordWet(t, ctx, base, cover, axe)
		hold(t, ctx, axe)
		after := mainText(t, ctx)
		require.Contains(t, after, "Opening recorded.")
		require.Regexp(t, `[Rr]isk`, after[:600], "what changed is said first")
		require.NotEqual(t, before, after)
		openedNow, wetNow := lastQuarter(t, ctx, base+building)
		require.Equal(t, []int{opened + 1, wet + 1}, []int{openedNow, wetNow}, "the building's trend counts it")
		click(t, ctx, `form[action="/logout"] button`)
	}
}

// mainText is what a person reads on the page.
func mainText(t *testing.T, ctx context.Context) string {
	t.Helper()
	return script[string](t, ctx, `document.querySelector("main").innerText`)
}

// lastQuarter is how many covers a building's page counts as opened, and found
// wet, in the present quarter; none where it has no line yet.
func lastQuarter(t *testing.T, ctx context.Context, url string) (opened, wet int) {
	t.Helper()
	require.NoError(t, chromedp.Do(ctx, chromedp.Navigate(url)))
	now := time.Now().In(models.Building{TimeZone: "America/New_York"}.Zone()) // the demo's
	quarter := fmt.Sprintf("%d Q%d", now.Year(), (int(now.Month())+2)/3)
	n := script[[]int](t, ctx, fmt.Sprintf(`(r => r ? [...r.querySelectorAll("td")].slice(0, 2).map(d => +d.textContent) : [0, 0])(
		[...document.querySelectorAll("main tr")].find(r => r.querySelector("th")?.textContent == %q))`, quarter))
	return n[0], n[1]
}

// recordWet fills the form in the order of the work and saves it.
func recordWet(t *testing.T, ctx context.Context, base, cover, axe string) {
	t.Helper()
	visit(t, ctx, base+cover+"/openings/new", axe)
	answerAll(t, ctx, map[string]string{"outcome": "opened", "reason": "periodic", "moisture": "wet", "blanket": "wet",
		"rust": "ri:Ri 4", "fresh_rust": "yes", "closing_metal": "dry", "closing_blanket": "replaced",
		"closing_water": "running", "closing_cover": "same"})
	places := script[[]string](t, ctx, `[...new Set([...document.querySelectorAll('[name^="left_"]')].map(e => e.name))]`)
	require.NotEmpty(t, places)
	for _, name := range places {
		answerAll(t, ctx, map[string]string{name: "renewed"})
	}
	click(t, ctx, `main form.opening .buttons button.button`)
	require.Equal(t, cover, script[string](t, ctx, `location.pathname`), script[string](t, ctx, `document.querySelector("main").innerText.slice(0, 600)`))
}
