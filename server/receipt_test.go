package server

import (
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models"
	"drylag/models/register"
)

func TestReceiptSays(t *testing.T) {
	before := models.ScoreChange{Risk: 62, DueOn: "2026-11-01", Action: models.OpenNow, Rule: models.RuleReported}
	after := models.ScoreChange{Risk: 18, DueOn: "2034-05-01", Action: models.NotBefore, Rule: models.RuleLimit}
	dry := models.FollowUp{Kind: "dry", By: "2026-11-27", ClosedWhy: "closed dry on 26 Nov 2026"}
	tests := []struct {
		name string
		rc   register.Receipt
		want string
	}{
		{"changed", register.Receipt{Before: &before, After: &after},
			"Done. Risk 62 → 18. Open now, due 1 Nov 2026 (reported or closed wet) → Not before May 2034 (the owner's limit)."},
		{"as before", register.Receipt{Before: &after, After: &after}, "Done. Risk stays 18. As before: Not before May 2034 (the owner's limit)."},
		{"first score", register.Receipt{After: &after}, "Done. Risk 18. Not before May 2034 (the owner's limit)."},
		{"score failed", register.Receipt{Before: &before, Pending: true}, "Done. The score is pending: risk and date follow."},
		{"again", register.Receipt{Again: true, Before: &after, After: &after},
			"Done. It had arrived before and is kept once. Risk stays 18. As before: Not before May 2034 (the owner's limit)."},
		{"off", register.Receipt{Pending: true, State: models.Off}, "Done. The score is pending: risk and date follow. The cover is off: putting it back comes first."},
		{"asks", register.Receipt{Pending: true, Asked: []models.FollowUp{dry}},
			"Done. The score is pending: risk and date follow. Follow-up: dry the metal and close again, by 27 Nov 2026."},
		{"answers", register.Receipt{Pending: true, Closed: []models.FollowUp{dry}},
			"Done. The score is pending: risk and date follow. Follow-up closed: dry the metal and close again (closed dry on 26 Nov 2026)."},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) { require.Equal(t, tt.want, receiptSays(tt.rc, "Done.")) })
	}
}
