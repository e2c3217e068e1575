package register

import (
	"cmp"
	"context"
	"maps"
	"slices"
	"strings"

	"drylag/models"
	"drylag/models/risk"
	"drylag/models/store"
)

// unseen is a never-seen cover with what its place in the first-look program
// hangs on: reported ones first, then by the index, then by the way one walks.
type unseen struct {
	id       models.ID
	w        float64
	reported bool
}

// later keeps a never-seen cover until all of them have their index.
func (n *run) later(s models.Score) {
	if n.wait[s.Building] == nil {
		n.wait[s.Building] = map[models.ID]unseen{}
	}
	n.wait[s.Building][s.Cover] = unseenOf(s)
}

func unseenOf(s models.Score) unseen {
	return unseen{s.Cover, s.W, s.Due.Rule == models.RuleReported}
}

// ranked lists a building's never-seen covers in the order of the first-look
// program: those just worked out, and the others as last scored.
func (n *run) ranked(ctx context.Context, building models.ID, fresh map[models.ID]unseen) ([]unseen, error) {
	list, err := n.r.store.NeverSeen(ctx, building)
	if err != nil {
		return nil, err
	}
	var out []unseen
	listed := map[models.ID]bool{}
	for _, x := range list { // in walking order, which settles ties
		listed[x.ID] = true
		if f, ok := fresh[x.ID]; ok {
			out = append(out, f)
		} else if x.Worth != nil {
			out = append(out, unseen{x.ID, *x.Worth, x.Reported})
		}
	}
	for _, id := range slices.Sorted(maps.Keys(fresh)) {
		if !listed[id] {
			out = append(out, fresh[id])
		}
	}
	slices.SortStableFunc(out, func(x, y unseen) int {
		if x.reported != y.reported {
			return cmp.Compare(toInt(y.reported), toInt(x.reported))
		}
		return cmp.Compare(y.w, x.w)
	})
	return out, nil
}

func toInt(b bool) int {
	if b {
		return 1
	}
	return 0
}

// rankOf is the share of a building's never-seen covers that the first-look
// program has opened once this one is.
func (n *run) rankOf(ctx context.Context, s models.Score) (float64, error) {
	list, err := n.ranked(ctx, s.Building, map[models.ID]unseen{s.Cover: unseenOf(s)})
	for i, x := range list {
		if x.id == s.Cover {
			return float64(i+1) / float64(len(list)), nil
		}
	}
	return 0, err
}

// held scores the never-seen covers that waited for each other's index.
func (n *run) held(ctx context.Context) error {
	for building, fresh := range n.wait {
		list, err := n.ranked(ctx, building, fresh)
		if err != nil {
			return err
		}
		rank := map[models.ID]float64{}
		var ids []models.ID
		for i, x := range list {
			if _, ok := fresh[x.id]; ok {
				rank[x.id] = float64(i+1) / float64(len(list))
				ids = append(ids, x.id)
			}
		}
		for start := 0; start < len(ids); start += heldChunk {
			if err := n.heldPart(ctx, ids[start:min(start+heldChunk, len(ids))], rank); err != nil {
				return err
			}
		}
	}
	if n.failed > 0 {
		n.r.log.WarnContext(ctx, "scores pending", "covers", n.failed, "cause", n.cause)
	}
	return nil
}

const heldChunk = 200

// heldPart scores some covers of known rank.
func (n *run) heldPart(ctx context.Context, ids []models.ID, rank map[models.ID]float64) error {
	materials, err := n.r.store.Materials(ctx, ids)
	if err != nil {
		return err
	}
	// In walking order of rooms, so that each room's air is prepared once.
	slices.SortStableFunc(materials, func(x, y store.Material) int {
		return strings.Compare(string(x.Sheet.Room.ID), string(y.Sheet.Room.ID))
	})
	var out []store.Scored
	for _, m := range materials {
		in, err := n.input(ctx, m)
		if err != nil {
			return err
		}
		in.FirstLookRank = rank[m.Sheet.Cover.ID]
		s, err := risk.Assess(in)
		if err != nil {
			n.fail(ctx, m, err)
			continue
		}
		out = append(out, store.Scored{Score: n.stamp(s), Mark: m.Mark, Cause: n.cause})
	}
	return n.r.putScores(ctx, out)
}
