package register

import (
	"bytes"
	"context"
	"errors"
	"fmt"

	"drylag/models"
	"drylag/models/sheet"
	"drylag/models/store"
)

// tableKind is one sort of table: its fields, and how its rows are taken. take
// gets some rows at a time; it notes faults in them, and writes those without.
type tableKind struct {
	fields []sheet.Field
	days   []string // of the fields, those that hold a calendar day
	cause  string   // of the new scores
	record string   // what one row is, for the log
	taker  func(*tableImport) func(context.Context, []*row) error
}

// tableImport is one table being brought in, inside its transaction.
type tableImport struct {
	r     *Register
	a     models.Actor
	tx    *store.Tx
	req   ImportRequest
	table *sheet.Table
	match sheet.Matching

	places  *places
	report  ImportReport
	refused *sheet.Refused
	bad     bytes.Buffer
	broken  bool // the file could not be read to its end
}

// Bounds of one import.
const (
	rowsAtOnce   = 200
	faultsListed = 2000 // in the report; the file of bad rows has them all
)

// errUndo undoes the transaction of a dry run, or of a file with bad rows.
var errUndo = errors.New("import undone")

// importTable brings a table in: the whole of it in one transaction.
func (r *Register) importTable(ctx context.Context, a models.Actor, req ImportRequest, kind tableKind) (ImportReport, error) {
	if req.Building != models.None {
		if _, err := building(ctx, r.store.Reader, a, req.Building); err != nil {
			return ImportReport{}, err
		}
	}
	t := &tableImport{r: r, a: a, req: req, report: ImportReport{Kind: req.Kind, Name: req.Name}}
	if err := t.open(kind.fieldsFor(req)); err != nil || t.broken {
		return t.report, err
	}
	if err := t.settleOrder(kind.days); err != nil {
		return ImportReport{}, err
	}
	err := r.store.Write(ctx, func(tx *store.Tx) error {
		t.tx, t.places = tx, newPlaces()
		if err := t.takeAll(ctx, kind.taker(t)); err != nil {
			return err
		}
		if req.DryRun || t.broken || (t.report.Bad > 0 && !req.TakeGood) {
			return errUndo
		}
		t.report.Stored = true
		if t.report.New+t.report.Changed == 0 {
			return nil
		}
		return tx.AppendEvent(ctx, r.event(a, kind.record+" brought in", "import", models.None, models.None,
			map[string]any{"file": req.Name, "rows": t.report.Rows, "new": t.report.New, "changed": t.report.Changed, "made": t.report.Made}))
	})
	if err != nil && !errors.Is(err, errUndo) {
		return ImportReport{}, err
	}
	t.rescore(ctx, kind.cause)
	return t.report, t.closeBad()
}

// fieldsFor asks for a building column only where the request names no building.
func (k tableKind) fieldsFor(req ImportRequest) []sheet.Field {
	fields := append([]sheet.Field(nil), k.fields...)
	for i := range fields {
		if fields[i].Name == "building" && req.Building != models.None {
			fields[i].Required = false
		}
	}
	return fields
}

// open reads the header and finds out which column is which. What keeps the
// file from being read is in the report, and broken is set.
func (t *tableImport) open(fields []sheet.Field) error {
	table, err := sheet.Open(t.req.Body, t.req.Size, t.req.Name, sheet.Options{})
	var f *sheet.Fault
	if errors.As(err, &f) {
		t.fileFault(*f)
		return nil
	}
	if err != nil {
		return fmt.Errorf("import %s: %w", t.req.Kind, err)
	}
	t.table, t.report.Notes = table, table.Warnings
	given := map[string]string{}
	for column, field := range t.req.Map {
		given[field] = column
	}
	t.match = sheet.Match(table.Columns, fields, given)
	for _, f := range t.match.Faults() {
		t.fileFault(f)
	}
	for i, name := range table.Columns {
		m := ColumnMatch{Column: name}
		for _, c := range t.match.Found {
			if c.Index == i {
				m.Field, m.Unit = c.Field, c.Unit
			}
		}
		t.report.Matching = append(t.report.Matching, m)
	}
	t.refused, err = sheet.NewRefused(&t.bad, table.Columns)
	return err
}

// fileFault notes what keeps the file as a whole from being read.
func (t *tableImport) fileFault(f sheet.Fault) {
	t.broken = true
	t.report.Bad++
	t.report.Faults = append(t.report.Faults, RowFault{Line: f.Line, Field: f.Column, Msg: f.Msg})
}

// takeAll goes through the rows, some at a time.
func (t *tableImport) takeAll(ctx context.Context, take func(context.Context, []*row) error) error {
	var some []*row
	flush := func() error {
		if err := ctx.Err(); err != nil {
			return err
		}
		if err := take(ctx, some); err != nil {
			return err
		}
		for _, x := range some {
			if err := t.count(x); err != nil {
				return err
			}
		}
		some = some[:0]
		return nil
	}
	for cells, err := range t.table.Rows() {
		x := t.row(cells)
		var f *sheet.Fault
		switch {
		case errors.As(err, &f) && f.Ends:
			t.fileFault(*f)
			continue
		case errors.As(err, &f):
			x.faults = append(x.faults, f)
		case err != nil:
			return err
		}
		if some = append(some, x); len(some) == rowsAtOnce {
			if err := flush(); err != nil {
				return err
			}
		}
	}
	return flush()
}

// count adds a row that has been dealt with to the report.
func (t *tableImport) count(x *row) error {
	t.report.Rows++
	if len(x.faults) > 0 {
		t.report.Bad++
		for _, f := range x.faults {
			if len(t.report.Faults) < faultsListed {
				t.report.Faults = append(t.report.Faults, RowFault{Line: x.cells.Line, Field: f.Column, Value: x.valueIn(f.Column), Msg: f.Msg})
			}
		}
		return t.refused.Add(x.cells, x.faults...)
	}
	switch x.became {
	case isNew:
		t.report.New++
	case isChanged:
		t.report.Changed++
	default:
		t.report.Same++
	}
	return nil
}

// closeBad puts the file of bad rows into the report, where there are any.
func (t *tableImport) closeBad() error {
	if t.report.Bad == 0 || t.refused == nil {
		return nil
	}
	if n := t.report.Bad - len(t.report.Faults); n > 0 && len(t.report.Faults) == faultsListed {
		t.report.Notes = append(t.report.Notes, fmt.Sprintf("The first %d faults are listed; the file of bad rows has them all.", faultsListed))
	}
	if err := t.refused.Close(); err != nil {
		return err
	}
	t.report.BadFile = t.bad.Bytes()
	return nil
}

// scoredAtOnce is how many stale scores an import works out itself; more are
// left to the service's own round.
const scoredAtOnce = 5000

// rescore works out the scores that the import made stale. Earlier records teach
// the wetness model, so that every cover's score changes.
func (t *tableImport) rescore(ctx context.Context, cause string) {
	if !t.report.Stored || t.report.New+t.report.Changed == 0 || cause == "" {
		return
	}
	n, err := t.r.store.ScoringCount(ctx, t.req.Kind != "openings")
	switch {
	case err == nil && n > scoredAtOnce:
		t.report.Pending = true
		return
	case err == nil && t.req.Kind == "openings":
		err = t.r.Rescore(ctx, cause, nil)
	case err == nil:
		_, err = t.r.RescoreStale(ctx, cause)
	}
	if err != nil {
		t.r.log.ErrorContext(ctx, "scores after an import", "kind", t.req.Kind, "err", err)
		t.report.Pending = true
	}
}
