package register

import (
	"context"

	"drylag/models"
)

// OpeningFile is one opening with all its versions.
type OpeningFile struct {
	Sheet     models.CoverSheet
	Versions  []OpeningVersion  // oldest first; the last one holds
	FollowUps []models.FollowUp // that it asked for or closed
}

// OpeningVersion is one version with the name of whoever entered it.
type OpeningVersion struct {
	models.Opening
	By string
}

// Now is the version that holds.
func (f OpeningFile) Now() OpeningVersion { return f.Versions[len(f.Versions)-1] }

// OpeningFile is everything about an opening, by the ID of any of its versions.
func (r *Register) OpeningFile(ctx context.Context, a models.Actor, id models.ID) (file OpeningFile, err error) {
	o, s, err := r.Opening(ctx, a, id)
	if err != nil {
		return file, err
	}
	names, err := r.names(ctx)
	if err != nil {
		return file, err
	}
	list, err := r.store.OpeningVersions(ctx, o.Root)
	if err != nil {
		return file, err
	}
	file.Sheet = s
	own := map[models.ID]bool{}
	for _, v := range list {
		own[v.ID] = true
		file.Versions = append(file.Versions, OpeningVersion{v, names[v.Recorder]})
	}
	all, err := r.store.FollowUps(ctx, followUpsOf(o.Cover))
	for _, f := range all {
		if own[f.From] || own[f.ClosedBy] {
			file.FollowUps = append(file.FollowUps, f)
		}
	}
	return file, err
}
