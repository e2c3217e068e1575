package reckon

import "drylag/models/unit"

// Source names where a method comes from, with its tag: see unit.Source.
type Source = unit.Source
