package server

import (
	"io"
	"mime"
	"net/http"

	"github.com/gin-gonic/gin"

	"drylag/models"
	"drylag/models/register"
)

// importJSON tells what a file did, or would do.
type importJSON struct {
	Key      string       `json:"key,omitempty"`      // of the file, held for an hour to be stored
	BadRows  string       `json:"bad_rows,omitempty"` // address of the bad rows as CSV
	Kind     string       `json:"kind"`
	Name     string       `json:"name,omitempty"`
	Rows     int          `json:"rows"`
	New      int          `json:"new"`
	Changed  int          `json:"changed"`
	Same     int          `json:"same"`
	Bad      int          `json:"bad"`
	Faults   []faultJSON  `json:"faults"`
	Matching []columnJSON `json:"matching"`
	Made     []string     `json:"made"`
	Notes    []string     `json:"notes"`
	Stored   bool         `json:"stored"`
	Pending  bool         `json:"scores_pending"`
}

// faultJSON is one thing wrong with one row, and what to write instead.
type faultJSON struct {
	Line    int    `json:"line"`
	Column  string `json:"column"`
	Value   string `json:"value"`
	Message string `json:"message"`
}

// columnJSON says how a column was understood; without a field it was not used.
type columnJSON struct {
	Column string `json:"column"`
	Field  string `json:"field,omitempty"`
	Unit   string `json:"unit,omitempty"`
}

func importFrom(r register.ImportReport, key, badKey string) importJSON {
	out := importJSON{Key: key, Kind: r.Kind, Name: r.Name, Rows: r.Rows, New: r.New, Changed: r.Changed, Same: r.Same, Bad: r.Bad,
		Faults:   each(r.Faults, func(f register.RowFault) faultJSON { return faultJSON{f.Line, f.Field, f.Value, f.Msg} }),
		Matching: each(r.Matching, func(m register.ColumnMatch) columnJSON { return columnJSON(m) }),
		Made:     append([]string{}, r.Made...), Notes: append([]string{}, r.Notes...), Stored: r.Stored, Pending: r.Pending}
	if len(r.BadFile) > 0 {
		out.BadRows = api + "imports/" + badKey + "/bad-rows"
	}
	return out
}

// apiTryImport reads a file, stores nothing and tells what it would do. The file
// is held for an hour under the key in the answer.
func (s *Server) apiTryImport(c *gin.Context) error {
	f, name, body, err := sentFile(c)
	if err != nil {
		return err
	}
	if len(body) == 0 {
		return faultAt("file", "Send the file as the body, or as the part \"file\" of a form.")
	}
	req := readImport(f, name, body)
	req.DryRun = true
	if err := f.check(nil); err != nil {
		return err
	}
	report, err := s.register.Import(c.Request.Context(), actor(c), req)
	switch {
	case err != nil:
		return err
	case report.Asks != nil:
		return faultAt("date_order", report.Asks.Say()+" Send date_order=mdy or date_order=dmy with the file.")
	}
	key := s.held.keep(actor(c).ID, s.register.Now(), heldFile{name: name, body: body, values: f.values, bad: report.BadFile})
	return s.answer(c, http.StatusOK, importFrom(report, key, key))
}

// apiStoreImport stores a file that was tried: all of it, or its good rows.
func (s *Server) apiStoreImport(c *gin.Context) error {
	var sent struct {
		TakeGood bool `json:"take_good"`
	}
	if err := readJSON(c, &sent); err != nil {
		return err
	}
	file, ok := s.held.find(actor(c).ID, c.Param("key"), s.register.Now())
	if !ok || file.values == nil {
		return models.Errorf(models.Missing, "This file is no longer held here: send it again.")
	}
	req := readImport(&form{values: file.values}, file.name, file.body)
	req.TakeGood = sent.TakeGood
	report, err := s.register.Import(c.Request.Context(), actor(c), req)
	if err != nil {
		return err
	}
	badKey := ""
	if len(report.BadFile) > 0 {
		badKey = s.held.keep(actor(c).ID, s.register.Now(), heldFile{name: badRowsName, body: report.BadFile})
	}
	return s.answer(c, http.StatusOK, importFrom(report, "", badKey))
}

// sentFile is a file with the answers that came with it: a form's part and its
// fields, or the body and the address.
func sentFile(c *gin.Context) (f *form, name string, body []byte, err error) {
	kind, _, err := mime.ParseMediaType(c.GetHeader("Content-Type"))
	if err == nil && kind == "multipart/form-data" {
		if name, body, err = upload(c); err != nil {
			return nil, "", nil, err
		}
		f, err = typed(c)
		return f, name, body, err
	}
	f = &form{values: c.Request.URL.Query()}
	if name = f.text("name"); name == "" && kind == "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet" {
		name = "sent.xlsx"
	}
	if body, err = io.ReadAll(c.Request.Body); err != nil {
		return nil, "", nil, unparsed(err)
	}
	return f, name, body, nil
}
