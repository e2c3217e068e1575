package register

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"time"

	"drylag/models"
	"drylag/models/climate"
	"drylag/models/store"
	"drylag/models/unit"
)

// Climates lists the climates of a building and its rooms without their hours.
func (r *Register) Climates(ctx context.Context, a models.Actor, id models.ID) ([]models.HourlyClimate, error) {
	if err := a.May(models.ActRead); err != nil {
		return nil, err
	}
	if _, err := building(ctx, r.store.Reader, a, id); err != nil {
		return nil, orMissing(err, "building")
	}
	return r.store.Climates(ctx, id, models.None)
}

// climateBytes is the most that an hourly file may have.
const climateBytes = 64 << 20

// importWeather brings an hourly weather file in for a building.
func (r *Register) importWeather(ctx context.Context, a models.Actor, req ImportRequest) (ImportReport, error) {
	b, err := building(ctx, r.store.Reader, a, req.Building)
	if err != nil {
		return ImportReport{}, chosen(err, req.Building, "building", "Say whose weather it is.")
	}
	year, err := climate.ReadEPW(io.NewSectionReader(req.Body, 0, climateBytes))
	if report, bad := badClimate(req, err); bad || err != nil {
		return report, orNil(err, bad)
	}
	c := models.HourlyClimate{Building: b.ID, Source: "epw", UTCOffsetH: year.Zone.Hours(), AltitudeM: float64(year.Elevation),
		TempC: celsius(year.Temperatures()), DewPointC: celsius(year.DewPoints())}
	report := ImportReport{Rows: len(year.Hours)}
	if year.Filled > 0 {
		report.Notes = append(report.Notes, fmt.Sprintf("%d missing hours were bridged.", year.Filled))
	}
	return r.storeClimate(ctx, a, req, c, report)
}

// importLogger brings the file of a room's logger in.
func (r *Register) importLogger(ctx context.Context, a models.Actor, req ImportRequest) (ImportReport, error) {
	rm, b, err := room(ctx, r.store.Reader, a, req.Room)
	if err != nil {
		return ImportReport{}, chosen(err, req.Room, "room", "Say in which room the logger hung.")
	}
	log, err := climate.ReadLogger(io.NewSectionReader(req.Body, 0, climateBytes),
		climate.LoggerOptions{Location: b.Zone(), DecimalComma: req.DecimalComma, Columns: req.Map, DateOrder: dateOrders[req.DateOrder]})
	if report, bad := badClimate(req, err); bad || err != nil {
		return report, orNil(err, bad)
	}
	c := models.HourlyClimate{Building: b.ID, Room: rm.ID, Source: "logger", Start: log.Start, Gaps: log.GapWords(b.Zone())}
	for _, h := range log.Hours {
		c.TempC = append(c.TempC, float64(h.T))
		c.DewPointC = append(c.DewPointC, float64(h.DewPoint()))
	}
	report := ImportReport{Rows: log.Rows, Notes: c.Gaps, Bad: len(log.Bad)}
	if log.OrderWhy != "" {
		report.Notes = append(report.Notes, fmt.Sprintf("Dates are read with %s first: %s.", firstInDates[log.Order], log.OrderWhy))
	}
	for _, f := range log.Bad {
		report.Faults = append(report.Faults, RowFault{Line: f.Line, Field: f.Field, Value: f.Value, Msg: f.Msg})
	}
	for _, col := range log.Columns {
		report.Matching = append(report.Matching, ColumnMatch{Column: col.Heading, Field: col.Field, Unit: col.Unit})
	}
	report.Notes = append(report.Notes, fmt.Sprintf("%d hours from %s to %s.", len(log.Hours),
		log.Start.In(b.Zone()).Format("2 Jan 2006 15:04"), log.Newest().In(b.Zone()).Format("2 Jan 2006 15:04")))
	return r.storeClimate(ctx, a, req, c, report)
}

// dateOrders are the orders of day and month as the logger's reader names them.
var dateOrders = map[string]climate.DateOrder{"mdy": climate.MonthFirst, "dmy": climate.DayFirst}

var firstInDates = map[climate.DateOrder]string{climate.MonthFirst: "the month", climate.DayFirst: "the day"}

// storeClimate keeps a climate once: the same file for the same place again
// changes nothing. A logger's bad lines stop it unless the good ones are asked for.
func (r *Register) storeClimate(ctx context.Context, a models.Actor, req ImportRequest, c models.HourlyClimate, report ImportReport) (ImportReport, error) {
	report.Kind, report.Name, report.New = req.Kind, req.Name, 1
	sum := sha256.New()
	if _, err := io.Copy(sum, io.NewSectionReader(req.Body, 0, climateBytes)); err != nil {
		return report, err
	}
	c.ID, c.Name, c.SHA256 = r.newID(), filepath.Base(req.Name), hex.EncodeToString(sum.Sum(nil))
	c.ImportedAt, c.Importer = r.Now(), a.ID
	if req.DryRun || (report.Bad > 0 && !req.TakeGood) {
		return report, nil
	}
	err := r.store.Write(ctx, func(tx *store.Tx) error {
		again, err := tx.AddClimate(ctx, c)
		if err != nil {
			return err
		}
		report.Stored = true
		if again {
			report.New, report.Same = 0, 1
			return nil
		}
		return tx.AppendEvent(ctx, r.event(a, "climate brought in", "climate", c.ID, c.Building,
			map[string]any{"name": c.Name, "source": c.Source, "room": c.Room, "sha256": c.SHA256}))
	})
	if err != nil || report.Same > 0 {
		return report, err
	}
	if _, err := r.RescoreStale(ctx, "climate"); err != nil {
		r.log.ErrorContext(ctx, "scores after an import", "err", err)
		report.Pending = true
	}
	return report, nil
}

// badClimate is the report of a file that gives no climate.
func badClimate(req ImportRequest, err error) (ImportReport, bool) {
	var file *climate.FileError
	if !errors.As(err, &file) {
		return ImportReport{}, false
	}
	report := ImportReport{Kind: req.Kind, Name: req.Name, Bad: len(file.Faults)}
	if o := file.Open; o != nil {
		report.Asks = &OrderQuestion{Line: o.Line, Text: o.Text,
			MonthFirst: models.DateOf(o.MonthFirst, time.UTC), DayFirst: models.DateOf(o.DayFirst, time.UTC)}
	}
	for _, f := range file.Faults {
		report.Faults = append(report.Faults, RowFault{Line: f.Line, Field: f.Field, Value: f.Value, Msg: f.Msg})
	}
	return report, true
}

func orNil(err error, bad bool) error {
	if bad {
		return nil
	}
	return err
}

// chosen turns a place that nobody chose into a fault at its field.
func chosen(err error, id models.ID, field, msg string) error {
	if id == models.None {
		return fault(field, "%s", msg)
	}
	return err
}

func celsius(list []unit.Celsius) []float64 {
	out := make([]float64, len(list))
	for i, t := range list {
		out[i] = float64(t)
	}
	return out
}
