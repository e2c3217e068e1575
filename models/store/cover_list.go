package store

import (
	"cmp"
	"context"
	"encoding/base64"
	"encoding/json"
	"strings"

	"drylag/models"
)

// Lists of covers have pages of at most maxPage rows.
const (
	defaultPage = 50
	maxPage     = 1000
)

// listRow is a line of a list as the query gives it.
type listRow struct {
	ID, BuildingID, RoomID models.ID
	BuildingName, RoomName string
	Tag, Label, Kind       string
	NPS                    *float64 `gorm:"column:nps"`
	Location, Access       string
	State                  models.CoverState
	Penetrations           *int
	SeamClock              *float64
	LastOpened             models.Date
	LastWet                *bool
	LastRust               string
	LastArea               *float64
	Condition              models.WetCondition
	PWet, PWetLo, PWetHi   *float64
	Risk                   *int
	DueOn, WindowOn        models.Date
	DueRule                models.DueRule
	DueWhy                 string
	Action                 models.Action
	Overdue, ScoreStale    bool
	Worth                  *float64
	Sweat                  int
	FollowUps              int

	// the keys of the keyset
	Rank      int
	DueOrder  string
	RiskOrder int
	TagOrder  string
	Walk      string
}

const listColumns = `c.id, c.building_id, c.room_id, b.name AS building_name, r.name AS room_name,
	p.tag, c.label, p.kind, p.nps, p.location, p.access, c.state, c.penetrations, c.seam_clock,
	c.last_opened, c.last_wet, c.last_rust, c.last_area,
	c.condition, c.p_wet, c.p_wet_lo, c.p_wet_hi, c.risk, c.due_on, c.window_on, c.due_rule, c.due_why,
	c.action, c.overdue, c.score_stale, c.worth, c.sweat,
	(SELECT COUNT(*) FROM follow_ups f WHERE f.cover_id = c.id AND f.closed_at IS NULL) AS follow_ups,
	c.due_order, c.risk_order, c.tag_order, c.walk`

const (
	countTables = ` FROM covers c JOIN components p ON p.id = c.component_id`
	listTables  = countTables + ` JOIN rooms r ON r.id = c.room_id JOIN buildings b ON b.id = c.building_id`
)

// query is SQL under construction: fixed texts and their arguments.
type query struct {
	where []string
	args  []any
}

func (q *query) and(where string, args ...any) {
	q.where = append(q.where, where)
	q.args = append(q.args, args...)
}

// text is the WHERE clause, empty without conditions.
func (q *query) text() string {
	if len(q.where) == 0 {
		return ""
	}
	return " WHERE " + strings.Join(q.where, " AND ")
}

// Covers gives one page of a list of covers with the count of all that match.
// A cursor that this list did not give is Invalid.
func (r Reader) Covers(ctx context.Context, f models.CoverFilter) (models.CoverPage, error) {
	q := coverQuery(f)
	var page models.CoverPage
	err := r.on(ctx).Raw("SELECT COUNT(*)"+countTables+q.text(), q.args...).Scan(&page.Total).Error
	if err != nil {
		return models.CoverPage{}, storeError("cover", err)
	}
	page.Rows, page.Next, err = r.coverRows(ctx, f, q)
	return page, err
}

// EachCover streams every cover of a list in pages, without counting them.
func (r Reader) EachCover(ctx context.Context, f models.CoverFilter, fn func([]models.CoverRow) error) error {
	if f.Limit == 0 {
		f.Limit = maxPage
	}
	for {
		rows, next, err := r.coverRows(ctx, f, coverQuery(f))
		if err != nil {
			return err
		}
		if len(rows) > 0 {
			if err := fn(rows); err != nil {
				return err
			}
		}
		if next == "" {
			return nil
		}
		f.After = next
	}
}

// coverRows gives one page and the cursor of the next.
func (r Reader) coverRows(ctx context.Context, f models.CoverFilter, q query) ([]models.CoverRow, string, error) {
	order, err := orderOf(f)
	if err != nil {
		return nil, "", err
	}
	if f.After != "" {
		after, err := order.read(f)
		if err != nil {
			return nil, "", err
		}
		q.and("("+order.by+") > ("+order.marks()+")", append(append([]any{}, order.args...), after...)...)
	}
	limit := f.Limit
	if limit <= 0 {
		limit = defaultPage
	}
	limit = min(limit, maxPage)
	sql, args := order.sql(q, limit+1)
	var rows []listRow
	err = r.on(ctx).Raw(sql, args...).Scan(&rows).Error
	if err != nil {
		return nil, "", storeError("cover", err)
	}
	next := ""
	if len(rows) > limit {
		rows = rows[:limit]
		next = order.write(f, rows[limit-1])
	}
	out := convert(rows, listRow.row)
	return out, next, r.addPast(ctx, out)
}

// coverQuery turns a filter into conditions: fixed names, values as arguments.
func coverQuery(f models.CoverFilter) query {
	var q query
	if f.Scope != nil {
		if len(*f.Scope) == 0 {
			q.and("1 = 0")
		} else {
			q.and("c.building_id IN ?", *f.Scope)
		}
	}
	for _, eq := range []struct{ column, value string }{
		{"c.building_id", string(f.Building)}, {"c.room_id", string(f.Room)}, {"c.loop_id", string(f.Loop)},
		{"p.kind", f.Kind}, {"c.state", f.State}, {"c.action", f.Action},
		{"c.condition", f.Condition}, {"c.due_rule", f.Rule},
	} {
		if eq.value != "" {
			q.and(eq.column+" = ?", eq.value)
		}
	}
	if f.DueBy != "" {
		q.and("c.due_order <= ? AND c.due_on <> ''", f.DueBy)
	}
	if f.RiskAtLeast > 0 {
		q.and("c.risk_order <= ?", -f.RiskAtLeast)
	}
	if text := lower(f.Text); text != "" {
		q.and(`c.find_text LIKE ? ESCAPE '\'`, "%"+likeEscape.Replace(text)+"%")
	}
	return q
}

var likeEscape = strings.NewReplacer(`\`, `\\`, `%`, `\%`, `_`, `\_`)

// rank is the expression that puts the site's own tag first in a search: 0 the
// tag itself, 1 a tag that begins so, 2 anything else that holds it.
const rank = `CASE WHEN c.tag_key = ? THEN 0 WHEN c.tag_key LIKE ? ESCAPE '\' THEN 1 ELSE 2 END`

// listOrder is an order of the list: keys that no two covers share.
type listOrder struct {
	by   string              // fixed text of the keys
	args []any               // of by, where it searches
	rank string              // selected as rank
	of   func(listRow) []any // the keys of a row
}

// listOrders are the orders of models.CoverSorts.
var listOrders = map[string]listOrder{
	"":     walkOrder,
	"walk": walkOrder,
	"due":  {by: "c.due_order, c.walk, c.id", of: func(r listRow) []any { return []any{r.DueOrder, r.Walk, r.ID} }},
	"risk": {by: "c.risk_order, c.walk, c.id", of: func(r listRow) []any { return []any{r.RiskOrder, r.Walk, r.ID} }},
	"tag":  {by: "c.tag_order, c.walk, c.id", of: func(r listRow) []any { return []any{r.TagOrder, r.Walk, r.ID} }},
}

var walkOrder = listOrder{by: "c.walk, c.id", of: func(r listRow) []any { return []any{r.Walk, r.ID} }}

// orderOf is the order that a filter asks for; a search puts tags first.
func orderOf(f models.CoverFilter) (listOrder, error) {
	o, ok := listOrders[f.Sort]
	if !ok {
		return o, models.Errorf(models.Invalid, "%q is not an order of this list.", f.Sort)
	}
	o.rank = "0"
	if text := lower(f.Text); text != "" {
		keys := o.of
		o.rank, o.by = rank, rank+", "+o.by
		o.args = []any{text, likeEscape.Replace(text) + "%"}
		o.of = func(r listRow) []any { return append([]any{r.Rank}, keys(r)...) }
	}
	return o, nil
}

// sql is the query of one page. The expressions of a search stand in it as
// what is selected and again as what it is ordered by.
func (o listOrder) sql(q query, limit int) (string, []any) {
	args := append(append(append([]any{}, o.args...), q.args...), o.args...)
	return "SELECT " + o.rank + " AS rank, " + listColumns + listTables + q.text() + " ORDER BY " + o.by + " LIMIT ?",
		append(args, limit)
}

// marks are the place holders of the keys.
func (o listOrder) marks() string {
	return strings.TrimSuffix(strings.Repeat("?, ", len(o.of(listRow{}))), ", ")
}

// cursor is where a page ended. It is opaque to everybody else.
type cursor struct {
	Sort string
	Text string
	Keys []any
}

func sortName(f models.CoverFilter) string { return cmp.Or(f.Sort, "walk") }

func (o listOrder) write(f models.CoverFilter, last listRow) string {
	b, err := json.Marshal(cursor{sortName(f), lower(f.Text), o.of(last)})
	if err != nil {
		return "" // texts and whole numbers always marshal
	}
	return base64.RawURLEncoding.EncodeToString(b)
}

func (o listOrder) read(f models.CoverFilter) ([]any, error) {
	bad := models.Errorf(models.Invalid, "This page of the list is not there. Begin again at the first page.")
	b, err := base64.RawURLEncoding.DecodeString(f.After)
	if err != nil {
		return nil, bad
	}
	var c cursor
	want := o.of(listRow{})
	if json.Unmarshal(b, &c) != nil || c.Sort != sortName(f) || c.Text != lower(f.Text) || len(c.Keys) != len(want) {
		return nil, bad
	}
	for i, k := range c.Keys {
		switch want[i].(type) {
		case int:
			n, ok := k.(float64)
			if !ok {
				return nil, bad
			}
			c.Keys[i] = int(n)
		default:
			if _, ok := k.(string); !ok {
				return nil, bad
			}
		}
	}
	return c.Keys, nil
}

// row is the line as the rest of the program knows it.
func (l listRow) row() models.CoverRow {
	return models.CoverRow{
		ID: l.ID, Building: l.BuildingID, Room: l.RoomID, BuildingName: l.BuildingName, RoomName: l.RoomName,
		Tag: l.Tag, Label: l.Label, Kind: l.Kind, NPS: l.NPS, Where: l.Location, Access: l.Access, State: l.State,
		Penetrations: l.Penetrations, SeamClock: l.SeamClock,
		LastOpened: l.LastOpened, LastWet: l.LastWet, LastRust: l.LastRust, AreaPct: l.LastArea, Seal: models.SealUnknown,
		Condition: l.Condition, PWet: models.Range{Mid: value(l.PWet), Lo: value(l.PWetLo), Hi: value(l.PWetHi)},
		Risk: value(l.Risk), DueOn: l.DueOn, Window: l.WindowOn, Rule: l.DueRule, Why: l.DueWhy,
		Action: l.Action, Overdue: l.Overdue, W: value(l.Worth), Scored: !l.ScoreStale,
		FollowUps: l.FollowUps, Sweat: monthsOf(l.Sweat),
	}
}

// value is what p points to, the zero value where there is none: a row whose
// score is pending shows no numbers.
func value[T any](p *T) T {
	var zero T
	if p == nil {
		return zero
	}
	return *p
}

// monthsOf reads twelve months from the bits of n, bit 0 = January.
func monthsOf(n int) (months [12]bool) {
	for i := range months {
		months[i] = n&(1<<i) != 0
	}
	return months
}

// monthBits is the inverse of monthsOf.
func monthBits(months [12]bool) (n int) {
	for i, m := range months {
		if m {
			n |= 1 << i
		}
	}
	return n
}
