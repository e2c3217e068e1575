package main

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"os"
	"strings"

	"drylag/models"
	"drylag/models/register"
)

// importCommand brings a file in.
type importCommand struct {
	folder
	Kind      string `arg:"" enum:"covers,openings,readings,air,climate,logger" help:"covers | openings (earlier records) | readings | air | climate (EPW) | logger."`
	File      string `arg:"" type:"existingfile" help:"CSV, XLSX or EPW file."`
	DryRun    bool   `help:"Say what would happen and store nothing."`
	TakeGood  bool   `help:"Store the good rows; write the others with their reasons to FILE.bad.csv."`
	Map       string `type:"existingfile" help:"CSV of column,field where the matching is not right."`
	Building  string `help:"Name of the building (climate), or where no column names one."`
	Room      string `help:"Name of the room (logger)."`
	TimeZone  string `help:"Time zone of buildings made new, such as America/New_York."`
	Currency  string `help:"Currency sign of buildings made new." default:"$$"`
	Comma     bool   `help:"Numbers are written with a decimal comma."`
	DateOrder string `enum:",mdy,dmy" default:"" help:"Order of day and month in dates such as 3/4/2026: mdy | dmy. Without it the file itself must show it."`
	JSON      bool   `help:"Print the report as JSON."`
}

// Run imports and prints what it did; bad rows make it fail.
func (c *importCommand) Run(w world) error {
	return inHouse(w, c.Dir, func(h *house) error { return c.bring(w, h) })
}

func (c *importCommand) bring(w world, h *house) error {
	req, err := c.request(w, h)
	if err != nil {
		return err
	}
	f, err := os.Open(c.File)
	if err != nil {
		return err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return err
	}
	req.Body, req.Size = f, info.Size()
	report, err := h.register.Import(w.ctx, operator(), req)
	if err != nil {
		return err
	}
	return c.print(w, report)
}

func (c *importCommand) request(w world, h *house) (register.ImportRequest, error) {
	req := register.ImportRequest{Kind: c.Kind, Name: c.File, DecimalComma: c.Comma, DateOrder: c.DateOrder, DryRun: c.DryRun,
		TakeGood: c.TakeGood, TimeZone: c.TimeZone, Currency: c.Currency}
	if c.Building != "" {
		b, err := buildingNamed(w, h, c.Building)
		if err != nil {
			return req, err
		}
		req.Building = b
	}
	if c.Room != "" {
		room, err := roomNamed(w, h, req.Building, c.Room)
		if err != nil {
			return req, err
		}
		req.Room = room
	}
	var err error
	req.Map, err = readMap(c.Map)
	return req, err
}

func buildingNamed(w world, h *house, name string) (models.ID, error) {
	all, err := h.register.Buildings(w.ctx, operator())
	if err != nil {
		return "", err
	}
	for _, b := range all {
		if strings.EqualFold(b.Building.Name, name) {
			return b.Building.ID, nil
		}
	}
	return "", fmt.Errorf("there is no building named %q; drylag import covers makes buildings", name)
}

func roomNamed(w world, h *house, building models.ID, name string) (models.ID, error) {
	rooms, err := h.register.Rooms(w.ctx, operator(), building)
	if err != nil {
		return "", err
	}
	for _, r := range rooms {
		if strings.EqualFold(r.Name, name) {
			return r.ID, nil
		}
	}
	return "", fmt.Errorf("there is no room named %q in that building", name)
}

// readMap reads column,field pairs; no file is no map.
func readMap(file string) (map[string]string, error) {
	if file == "" {
		return nil, nil
	}
	f, err := os.Open(file)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		return nil, fmt.Errorf("%s: %w", file, err)
	}
	pairs := map[string]string{}
	for i, row := range rows {
		if len(row) != 2 {
			return nil, fmt.Errorf("%s line %d: write column,field", file, i+1)
		}
		if before, twice := pairs[row[0]]; twice {
			return nil, fmt.Errorf("%s line %d: the column %q is %q already", file, i+1, row[0], before)
		}
		pairs[row[0]] = row[1]
	}
	return pairs, nil
}

// print says what the file did and writes the bad rows beside it.
func (c *importCommand) print(w world, r register.ImportReport) error {
	if c.JSON {
		enc := json.NewEncoder(w.out)
		enc.SetIndent("", "  ")
		if err := enc.Encode(r); err != nil {
			return err
		}
	} else {
		c.printText(w, r)
	}
	if c.TakeGood && len(r.BadFile) > 0 && !c.DryRun {
		if err := os.WriteFile(c.File+".bad.csv", r.BadFile, 0o600); err != nil {
			return err
		}
		fmt.Fprintf(w.out, "Bad rows with their reasons: %s.bad.csv\n", c.File)
	}
	if r.Bad > 0 && !c.TakeGood {
		return fmt.Errorf("%d of %d rows are bad, nothing was stored: mend them, or take the good rows with --take-good", r.Bad, r.Rows)
	}
	return nil
}

func (c *importCommand) printText(w world, r register.ImportReport) {
	done := "Stored"
	if !r.Stored {
		done = "Would store"
	}
	fmt.Fprintf(w.out, "%s: %d new, %d changed, %d the same, %d bad of %d rows.\n", done, r.New, r.Changed, r.Same, r.Bad, r.Rows)
	for _, lines := range [][]string{r.Made, r.Notes} {
		for _, line := range lines {
			fmt.Fprintln(w.out, "  "+line)
		}
	}
	if r.Asks != nil {
		fmt.Fprintf(w.out, "  %s Say it with --date-order=mdy or --date-order=dmy.\n", r.Asks.Say())
	}
	for _, f := range r.Faults {
		fmt.Fprintf(w.out, "  line %d, %s: %q %s\n", f.Line, f.Field, f.Value, f.Msg)
	}
}
