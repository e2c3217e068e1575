package demo

import (
	"bytes"
	"context"
	"fmt"
	"time"

	"drylag/models"
	"drylag/models/register"
)

// play is the demo being made: the acts of invented people, each on its day,
// through the same doors as everybody else's.
type play struct {
	ctx    context.Context
	reg    *register.Register
	clock  *clock
	today  models.Date
	admin  models.Actor
	crew   []models.Actor // who opens covers
	houses []*house
	parts  []*part
}

// Build fills an empty record with the campus as of now. open gives a register
// whose clock is the function handed to it. The people come back with their
// passwords for the log-in page of the demo.
func Build(ctx context.Context, open func(now func() time.Time) *register.Register, now time.Time, say func(string)) ([]Person, error) {
	c := &clock{now: now.AddDate(-years, 0, -40)}
	p := &play{ctx: ctx, reg: open(c.Now), clock: c, today: models.DateOf(now, zoneOf())}
	people, err := p.hirePeople()
	if err != nil {
		return nil, fmt.Errorf("people: %w", err)
	}
	steps := []struct {
		say string
		do  func() error
	}{
		{"buildings and rooms", p.buildCampus},
		{"weather", p.bringWeather},
		{"covers", p.fitCovers},
		{"six years of openings", p.live},
		{"the last weeks", p.lastWeeks},
	}
	for _, step := range steps {
		say("Inventing " + step.say + " ...")
		if err := step.do(); err != nil {
			return nil, fmt.Errorf("%s: %w", step.say, err)
		}
	}
	c.now = now
	say("Scoring every cover ...")
	if err := p.reg.Rescore(ctx, "new day", nil); err != nil {
		return nil, err
	}
	return people, nil
}

func zoneOf() *time.Location { return models.Building{TimeZone: zone}.Zone() }

// on sets the clock to a working hour of a day.
func (p *play) on(day models.Date, hour int) {
	p.clock.now = time.Date(day.Year(), day.Time().Month(), day.Time().Day(), hour, 20, 0, 0, zoneOf())
}

// bringWeather gives every building the typical year and two rooms a logger.
func (p *play) bringWeather() error {
	weather := weatherFile()
	for _, h := range p.houses {
		if err := p.bring(register.ImportRequest{Kind: "climate", Name: "invented-valley.epw", Building: h.ID}, weather); err != nil {
			return err
		}
	}
	p.clock.now = p.today.Time()
	for i, room := range []models.Room{p.houses[0].rooms[1], p.houses[2].rooms[0]} {
		file := loggerFile(p.today.AddDays(-9).Time(), []float64{24.5, 27.5}[i], []float64{1, 4}[i])
		if err := p.bring(register.ImportRequest{Kind: "logger", Name: "logger-" + room.Name + ".csv", Building: room.Building, Room: room.ID}, file); err != nil {
			return err
		}
	}
	return nil
}

func (p *play) bring(req register.ImportRequest, body []byte) error {
	req.Body, req.Size = bytes.NewReader(body), int64(len(body))
	report, err := p.reg.Import(p.ctx, p.admin, req)
	if err != nil {
		return err
	}
	if len(report.Faults) > 0 {
		f := report.Faults[0]
		return fmt.Errorf("%s line %d, %s: %s", req.Name, f.Line, f.Field, f.Msg)
	}
	return nil
}
