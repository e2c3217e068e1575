package register

import "drylag/models"

var errUnfinished = models.Errorf(models.Internal, "not written yet")
