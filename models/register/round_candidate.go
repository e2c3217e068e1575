package register

import (
	"cmp"
	"context"
	"math"
	"slices"
	"strings"

	"drylag/models"
	"drylag/models/risk"
	"drylag/models/store"
)

// Candidates lists the covers that an order may open, the must-do ones first,
// then by what they are worth (risk method, 7). Covers that stand in a published
// round already say so. The buildings must all be the actor's.
func (r *Register) Candidates(ctx context.Context, a models.Actor, o models.RoundOrder) ([]models.Candidate, error) {
	if err := a.May(models.ActRound); err != nil {
		return nil, err
	}
	for _, b := range o.Buildings {
		if _, err := building(ctx, r.store.Reader, a, b); err != nil {
			return nil, err
		}
	}
	if err := checkDays(o); err != nil {
		return nil, err
	}
	return r.candidates(ctx, o, nil)
}

func checkDays(o models.RoundOrder) error {
	var f models.Faults
	for _, d := range []struct {
		field string
		day   models.Date
	}{{"from", o.From}, {"to", o.To}} {
		if _, err := models.ParseDate(string(d.day)); err != nil {
			f.Add(d.field, "Give the day, as 2026-11-25.")
		}
	}
	if o.To < o.From {
		f.Add("to", "The last day lies before the first.")
	}
	return f.Err()
}

// candidates are those of an order; stops of the rounds of one family (the round
// itself and its variants) do not count as standing.
func (r *Register) candidates(ctx context.Context, o models.RoundOrder, family map[models.ID]bool) ([]models.Candidate, error) {
	p := prospects{r: r, order: o, outing: outingOf(o)}
	var err error
	if p.run, err = r.scoring(ctx, "round"); err != nil {
		return nil, err
	}
	if p.standing, p.names, err = r.standing(ctx, o.Buildings, family); err != nil {
		return nil, err
	}
	for _, b := range o.Buildings {
		if err := p.building(ctx, b); err != nil {
			return nil, err
		}
	}
	slices.SortStableFunc(p.out, func(x, y models.Candidate) int {
		return cmp.Or(cmp.Compare(toInt(y.Must), toInt(x.Must)), cmp.Compare(y.Benefit, x.Benefit))
	})
	return p.out, nil
}

// outingOf is the order as the worth of an opening sees it.
func outingOf(o models.RoundOrder) risk.Outing {
	out := risk.Outing{From: o.From, To: o.To, DryOnly: o.DryOnly, ByChance: o.ByChance}
	for _, s := range o.Shifts {
		out.Days = append(out.Days, s.Day)
	}
	return out
}

// standing are the covers that wait in published rounds of other families, each
// with its round, and the rounds' names.
func (r *Register) standing(ctx context.Context, buildings []models.ID, family map[models.ID]bool) (at map[models.ID]models.ID, names map[models.ID]string, err error) {
	at, names = map[models.ID]models.ID{}, map[models.ID]string{}
	stops, err := r.store.OpenStops(ctx, store.StopFilter{Scope: &buildings})
	if err != nil {
		return nil, nil, err
	}
	rounds, err := r.store.Rounds(ctx, &buildings, models.RoundPublished)
	for _, rn := range rounds {
		names[rn.ID] = rn.Name
	}
	for _, s := range stops {
		if !family[s.Round] {
			at[s.Cover] = s.Round
		}
	}
	return at, names, err
}

// prospects gathers the candidates of an order.
type prospects struct {
	r        *Register
	order    models.RoundOrder
	outing   risk.Outing
	run      *run
	rank     map[models.ID]float64
	standing map[models.ID]models.ID
	names    map[models.ID]string
	out      []models.Candidate
}

// building adds the candidates of one building, in walking order.
func (p *prospects) building(ctx context.Context, id models.ID) error {
	list, err := p.run.ranked(ctx, id, nil)
	if err != nil {
		return err
	}
	p.rank = map[models.ID]float64{}
	for i, x := range list {
		p.rank[x.id] = float64(i+1) / float64(len(list))
	}
	return p.r.store.EachCover(ctx, models.CoverFilter{Building: id}, func(rows []models.CoverRow) error {
		var ids []models.ID
		for _, row := range rows {
			if row.State == models.InPlace || row.State == models.Off {
				ids = append(ids, row.ID)
			}
		}
		materials, err := p.r.store.Materials(ctx, ids)
		if err != nil {
			return err
		}
		for _, m := range materials {
			if err := p.add(ctx, m); err != nil {
				return err
			}
		}
		return nil
	})
}

// add adds a cover if it is a candidate. One that cannot be scored is logged and
// passed over, as it is in scoring.
func (p *prospects) add(ctx context.Context, m store.Material) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	in, err := p.run.input(ctx, m)
	if err != nil {
		return err
	}
	in.FirstLookRank = 1
	if rank, ok := p.rank[m.Sheet.Cover.ID]; ok {
		in.FirstLookRank = rank
	}
	o := p.outing
	pin := pinOf(p.order, m.Sheet.Cover.ID)
	o.Pinned = pin != nil
	w, err := risk.WorthIn(in, o)
	if err != nil {
		p.run.fail(ctx, m, err)
		return nil
	}
	if !w.Candidate {
		return nil
	}
	c, err := p.candidate(m, w, pin)
	if err == nil {
		p.out = append(p.out, c)
	}
	return err
}

func (p *prospects) candidate(m store.Material, w risk.Worth, pin *models.RoundPin) (models.Candidate, error) {
	s := m.Sheet
	use, assumed, err := risk.SuppliesOf(s, m.FollowUps)
	c := models.Candidate{Sheet: s, Rule: w.Score.Due.Rule, DueOn: w.Score.Due.On, Reason: w.Reason, Action: w.Score.Action,
		Risk: w.Score.Risk, After: w.After, Must: w.Must, Benefit: w.Benefit, W: w.W, PWet: w.PWet, DryShare: w.DryShare,
		Minutes: int(math.Ceil(w.Score.Minutes)), Use: use, Assumed: assumed,
		People: max(1, s.Component.People), Lift: s.Component.Access == "lift", Permit: s.Component.Permit, Pin: pin}
	for i, sweats := range w.Score.SweatMonths {
		c.DryMonth[i] = !sweats
	}
	for _, win := range p.order.Windows {
		if slices.Contains(win.Covers, s.Cover.ID) || samePermit(win.Name, c.Permit) {
			c.Windows = append(c.Windows, win.ID)
		}
	}
	if c.Standing = p.standing[s.Cover.ID]; c.Standing != models.None {
		c.StandingName = p.names[c.Standing]
	}
	return c, err
}

// samePermit tells whether a window is that of the permit that a component needs.
func samePermit(window, permit string) bool {
	return permit != "" && strings.EqualFold(strings.TrimSpace(window), strings.TrimSpace(permit))
}

func pinOf(o models.RoundOrder, cover models.ID) *models.RoundPin {
	for i := range o.Pins {
		if o.Pins[i].Cover == cover {
			return &o.Pins[i]
		}
	}
	return nil
}
