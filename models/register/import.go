package register

import (
	"context"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"

	"drylag/models"
)

// ImportKinds are the sorts of file that can be brought in.
var ImportKinds = models.Vocabulary{
	{Code: "covers", Say: "register of covers"}, {Code: "openings", Say: "earlier records"},
	{Code: "readings", Say: "thickness readings"}, {Code: "air", Say: "room air readings"},
	{Code: "climate", Say: "hourly weather file (EPW)"}, {Code: "logger", Say: "room logger"},
}

// ImportRequest is one file to bring in.
type ImportRequest struct {
	Kind string // ImportKinds
	Name string // of the file; .xlsx is read as a workbook, else text
	Body io.ReaderAt
	Size int64

	Map          map[string]string // column heading -> field, where drylag's own matching is not right
	DecimalComma bool              // numbers are written 12,5
	DateOrder    string            // DateOrders, for 3/4/2026; "": as the file itself shows, else it is asked

	DryRun   bool // look, count and store nothing
	TakeGood bool // store the good rows and give the others back; else all or nothing

	Building models.ID // climate: whose weather; other kinds: the building where no column names one
	Room     models.ID // logger: whose air
	TimeZone string    // of buildings made new; a new building without it is a fault
	Currency string    // of buildings made new
}

// RowFault is one thing wrong with one row.
type RowFault struct {
	Line  int    // in the file, from 1
	Field string // the column's heading, or the field that is missing
	Value string // as it stands in the file
	Msg   string // what is wrong and what to write instead
}

// ColumnMatch says how a column was understood; Field is empty where it was not used.
type ColumnMatch struct{ Column, Field, Unit string }

// ImportReport tells what a file did, or would do.
type ImportReport struct {
	Kind, Name         string
	Rows               int // data rows read
	New, Changed, Same int // records
	Bad                int // rows with faults
	Faults             []RowFault
	Matching           []ColumnMatch
	Made               []string // buildings, rooms and loops made new, in words
	Notes              []string // gaps of a climate and what else should be known
	Asks               *OrderQuestion
	BadFile            []byte // CSV of the bad rows with their reasons, where there are any
	Stored             bool   // false: dry run, or refused because of bad rows
	Pending            bool   // stored, but the scores are still to be worked out
}

// Import brings a file in: one transaction, the same file again changes nothing.
// Bad rows are no error: they are in the report.
func (r *Register) Import(ctx context.Context, a models.Actor, req ImportRequest) (ImportReport, error) {
	if err := a.May(models.ActImport); err != nil {
		return ImportReport{}, err
	}
	if req.DateOrder != "" && !DateOrders.Has(req.DateOrder) {
		return ImportReport{}, fault("date_order", "Say in which order day and month stand: %s.", choices(DateOrders))
	}
	if err := oneColumnEach(req.Map); err != nil {
		return ImportReport{}, err
	}
	switch req.Kind {
	case "climate":
		return r.importWeather(ctx, a, req)
	case "logger":
		return r.importLogger(ctx, a, req)
	case "covers":
		return r.importTable(ctx, a, req, coverTable)
	case "openings":
		return r.importTable(ctx, a, req, earlierTable)
	case "readings":
		return r.importTable(ctx, a, req, thicknessTable)
	case "air":
		return r.importTable(ctx, a, req, airTable)
	}
	return ImportReport{}, fault("kind", "Say what is in the file: %s.", choices(ImportKinds))
}

// oneColumnEach refuses two columns that are said to be the same field: one of
// them would be lost.
func oneColumnEach(said map[string]string) error {
	columns := map[string][]string{}
	for _, column := range slices.Sorted(maps.Keys(said)) {
		columns[said[column]] = append(columns[said[column]], fmt.Sprintf("%q", column))
	}
	var f models.Faults
	for _, field := range slices.Sorted(maps.Keys(columns)) {
		if both := columns[field]; len(both) > 1 {
			f.Add("columns", "The columns %s are all said to be %q: a field has one column.", strings.Join(both, " and "), field)
		}
	}
	return f.Err()
}
