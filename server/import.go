package server

import (
	"bytes"
	"errors"
	"io"
	"mime/multipart"
	"net/http"
	"strings"

	"github.com/gin-gonic/gin"

	"drylag/models"
	"drylag/models/register"
)

// importBytes is the most that an import file may have.
const importBytes = 64 << 20

// badRowsName is the name of the file of rows that were not taken.
const badRowsName = "bad-rows.csv"

type importPage struct {
	shell
	Kinds     models.Vocabulary
	Buildings models.Vocabulary
	Rooms     models.Vocabulary
	Report    *register.ImportReport
	Orders    models.Vocabulary // of day and month in a date
	Asks      bool              // for the order, before the file can be read
	Held      string            // key of the file that was tried
	HeldName  string
	BadRows   string // key of the rows that were not taken
}

func (s *Server) showImport(c *gin.Context) error {
	p, err := s.newImportPage(c)
	if err != nil {
		return err
	}
	p.Form = blank()
	p.Form.set("kind", c.Query("kind"))
	return s.show(c, "import", p)
}

// tryImport reads a file, stores nothing, and shows what it would do. The file
// is held for an hour so that it need not be chosen again.
func (s *Server) tryImport(c *gin.Context) error {
	p, err := s.newImportPage(c)
	if err != nil {
		return err
	}
	name, body, err := upload(c)
	if err != nil {
		return err
	}
	if p.Form, err = typed(c); err != nil {
		return err
	}
	if file, ok := s.held.find(actor(c).ID, p.Form.text("held"), s.register.Now()); ok && len(body) == 0 {
		name, body = file.name, file.body
	}
	if len(body) == 0 {
		return s.again(c, "import", p, faultAt("file", "Choose the file to bring in."))
	}
	p.HeldName = name
	p.Held = s.held.keep(actor(c).ID, s.register.Now(), heldFile{name: name, body: body, values: p.Form.values})
	req := readImport(p.Form, name, body)
	req.DryRun = true
	if err := p.Form.check(nil); err != nil {
		return s.again(c, "import", p, err)
	}
	report, err := s.register.Import(c.Request.Context(), actor(c), req)
	switch {
	case err != nil:
		return s.again(c, "import", p, err)
	case report.Asks != nil:
		return s.askOrder(c, p, *report.Asks)
	}
	p.Report = &report
	return s.show(c, "import", p)
}

// askOrder asks in which order day and month stand, with both readings of the
// first date that is open.
func (s *Server) askOrder(c *gin.Context, p *importPage, q register.OrderQuestion) error {
	p.Asks = true
	p.Orders = models.Vocabulary{{Code: "mdy", Say: q.MonthFirst.Say() + ", month first"}, {Code: "dmy", Say: q.DayFirst.Say() + ", day first"}}
	return s.again(c, "import", p, faultAt("date_order", q.Say()+" Say how it is meant."))
}

// storeImport stores a file that was tried.
func (s *Server) storeImport(c *gin.Context) error {
	f, err := typed(c)
	if err != nil {
		return err
	}
	p, err := s.newImportPage(c)
	if err != nil {
		return err
	}
	file, ok := s.held.find(actor(c).ID, f.text("held"), s.register.Now())
	if !ok {
		p.Form = blank()
		return s.again(c, "import", p, faultAt("file", "The file is no longer held here: choose it again."))
	}
	p.Form = &form{values: file.values}
	p.Held, p.HeldName = file.key, file.name
	req := readImport(p.Form, file.name, file.body)
	req.TakeGood = f.has("take_good")
	report, err := s.register.Import(c.Request.Context(), actor(c), req)
	if err != nil {
		return s.again(c, "import", p, err)
	}
	if len(report.BadFile) > 0 {
		p.BadRows = s.held.keep(actor(c).ID, s.register.Now(), heldFile{name: badRowsName, body: report.BadFile})
	}
	if p.Report = &report; report.Stored {
		p.Held, p.HeldName = "", ""
	}
	return s.show(c, "import", p)
}

// showBadRows sends the rows that were not taken, with their reasons.
func (s *Server) showBadRows(c *gin.Context) error {
	file, ok := s.held.find(actor(c).ID, c.Param("key"), s.register.Now())
	if ok && file.name != badRowsName {
		file.body = file.bad
	}
	if !ok || len(file.body) == 0 {
		return models.Errorf(models.Missing, "These rows are no longer held here: bring the file in again.")
	}
	c.Header("Content-Disposition", `attachment; filename="bad-rows.csv"`)
	return s.send(c, http.StatusOK, "text/csv; charset=utf-8", file.body)
}

func (s *Server) newImportPage(c *gin.Context) (*importPage, error) {
	p := &importPage{shell: titled("Import", "/import"), Kinds: register.ImportKinds, Orders: register.DateOrders}
	all, err := s.register.Buildings(c.Request.Context(), actor(c))
	if err != nil {
		return nil, err
	}
	for _, n := range all {
		p.Buildings = append(p.Buildings, models.Word{Code: string(n.Building.ID), Say: n.Building.Name})
		rooms, err := s.register.Rooms(c.Request.Context(), actor(c), n.Building.ID)
		if err != nil {
			return nil, err
		}
		for _, r := range rooms {
			p.Rooms = append(p.Rooms, models.Word{Code: string(r.ID), Say: n.Building.Name + ", " + r.Name})
		}
	}
	return p, nil
}

// More tells whether something stands or is wrong in the part that is folded.
func (p *importPage) More() bool {
	for _, name := range []string{"date_order", "time_zone", "currency", "decimal_comma", "columns"} {
		if p.Form.text(name) != "" || p.Form.fault(name) != "" {
			return true
		}
	}
	return false
}

// Good tells whether any row can be stored.
func (p *importPage) Good() bool { return p.Report.Rows > p.Report.Bad }

// Stops tells whether bad rows keep the file from being stored whole.
func (p *importPage) Stops() bool { return p.Report != nil && p.Report.Bad > 0 }

func readImport(f *form, name string, body []byte) register.ImportRequest {
	return register.ImportRequest{Kind: f.text("kind"), Name: name, Body: bytes.NewReader(body), Size: int64(len(body)),
		DecimalComma: f.has("decimal_comma"), DateOrder: f.text("date_order"), Building: f.id("building"), Room: f.id("room"),
		TimeZone: f.text("time_zone"), Currency: f.text("currency"), Map: readColumnMap(f)}
}

// readColumnMap reads lines of "column = field", for columns whose heading was
// not understood. A line that is none, and a second one for a column, are faults.
func readColumnMap(f *form) map[string]string {
	pairs := map[string]string{}
	for _, line := range strings.Split(f.text("columns"), "\n") {
		column, field, ok := strings.Cut(line, "=")
		column, field = strings.TrimSpace(column), strings.TrimSpace(field)
		_, twice := pairs[column]
		switch {
		case strings.TrimSpace(line) == "":
			continue
		case !ok || column == "" || field == "":
			f.Faults.Add("columns", "%q is no line such as: Equipment no. = tag", strings.TrimSpace(line))
		case twice:
			f.Faults.Add("columns", "The column %q is said to be %q and %q: say it once.", column, pairs[column], field)
		}
		pairs[column] = field
	}
	return pairs
}

// upload reads the file of a form; none is an empty body.
func upload(c *gin.Context) (name string, body []byte, err error) {
	header, err := c.FormFile("file")
	switch {
	case errors.Is(err, http.ErrMissingFile):
		return "", nil, nil
	case err != nil:
		return "", nil, unparsed(err)
	}
	body, err = readUpload(header)
	return header.Filename, body, err
}

func readUpload(header *multipart.FileHeader) (body []byte, err error) {
	f, err := header.Open()
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	return io.ReadAll(f)
}

// faultAt is one thing wrong with one field.
func faultAt(field, msg string) error {
	f := models.Faults{{Field: field, Msg: msg}}
	return f.Err()
}
