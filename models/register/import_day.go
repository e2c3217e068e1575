package register

import (
	"errors"
	"fmt"
	"regexp"
	"strings"
	"time"

	"drylag/models"
	"drylag/models/sheet"
)

// DateOrders are the orders of the numbers in a date such as 3/4/2026.
var DateOrders = models.Vocabulary{{Code: "mdy", Say: "month first"}, {Code: "dmy", Say: "day first"}}

// OrderQuestion asks for the order of day and month, where neither the request
// nor the file itself says it.
type OrderQuestion struct {
	Line                 int
	Text                 string      // the first date that can be read both ways
	MonthFirst, DayFirst models.Date // its two readings
}

// Say is the question in a sentence.
func (q OrderQuestion) Say() string {
	return fmt.Sprintf("%s on line %d may be %s (month first) or %s (day first), and nothing else in the file says which.",
		q.Text, q.Line, q.MonthFirst.Say(), q.DayFirst.Say())
}

// day takes a calendar day over.
func (x *row) day(field string, to *models.Date) {
	if !x.given(field) {
		return
	}
	d, msg := dayOf(x.cell(field), x.t.req.DateOrder)
	if msg != "" {
		x.fault(field, "%s", msg)
		return
	}
	*to = d
}

// slashed is a day written in numbers of which the first two may be either.
var slashed = regexp.MustCompile(`^(\d{1,2})[/.-](\d{1,2})[/.-](\d{4})$`)

// dayOf reads a day: 2026-11-25, 25 Nov 2026, Nov 25, 2026, or 11/25/2026 where
// the order is stated or only one can be meant.
func dayOf(text, order string) (models.Date, string) {
	if day, _, ok := strings.Cut(text, "T"); ok && len(day) == 10 {
		text = day
	}
	for _, form := range []string{"2006-01-02", "2 Jan 2006", "2-Jan-2006", "2 January 2006", "Jan 2, 2006", "Jan 2 2006", "January 2, 2006"} {
		if at, err := time.Parse(form, text); err == nil {
			return checkedDay(at)
		}
	}
	if !slashed.MatchString(text) {
		return "", "is not a day; write it as 2026-11-25"
	}
	at, open := slashedIn(text, order)
	switch {
	case open:
		return "", "may be two days; write it as 2026-11-25, or say with the import in which order day and month stand"
	case at.IsZero():
		return "", "is not a day of the calendar; write it as 2026-11-25"
	}
	return checkedDay(at)
}

// slashedIn reads a slashed day in an order; without one, as the only day that
// it can be. open is true where it can be two.
func slashedIn(text, order string) (at time.Time, open bool) {
	m := slashed.FindStringSubmatch(text)
	numbers := m[1] + " " + m[2] + " " + m[3]
	monthFirst, noMonth := time.Parse("1 2 2006", numbers)
	dayFirst, noDay := time.Parse("2 1 2006", numbers)
	switch {
	case order == "mdy", order == "" && noDay != nil:
		return monthFirst, false
	case order == "dmy", noMonth != nil:
		return dayFirst, false
	}
	return monthFirst, !monthFirst.Equal(dayFirst)
}

func checkedDay(at time.Time) (models.Date, string) {
	d, err := models.ParseDate(at.Format("2006-01-02"))
	if err != nil {
		return "", "lies outside the years 1900 to 2200"
	}
	return d, ""
}

// slashedDay is a day of the file that is written in numbers only.
type slashedDay struct {
	line int
	text string
}

// settleOrder finds the order of day and month over the whole table, where the
// request does not say it and a date is open. A number above 12 decides, and the
// report says so; without one it asks. Where the file has both orders, open
// dates stay open and are refused row by row.
func (t *tableImport) settleOrder(days []string) error {
	if t.req.DateOrder != "" {
		return nil
	}
	open, sure, err := t.slashedDays(days)
	if err != nil || open == nil {
		return err
	}
	day, month := sure["dmy"], sure["mdy"]
	switch {
	case day != nil && month != nil:
		t.note("%s on line %d has the day first, %s on line %d the month: dates that may be either are refused.", day.text, day.line, month.text, month.line)
	case day != nil:
		t.orderIs("dmy", open, day)
	case month != nil:
		t.orderIs("mdy", open, month)
	default:
		monthFirst, _ := dayOf(open.text, "mdy")
		dayFirst, _ := dayOf(open.text, "dmy")
		t.report.Asks = &OrderQuestion{Line: open.line, Text: open.text, MonthFirst: monthFirst, DayFirst: dayFirst}
	}
	return nil
}

// orderIs takes over the order that a date of the file shows, and says so.
func (t *tableImport) orderIs(order string, open, shown *slashedDay) {
	t.req.DateOrder = order
	read, _ := dayOf(open.text, order)
	t.note("Dates are read with the %s, so that %s is %s: %s on line %d cannot be read otherwise.",
		DateOrders.Say(order), open.text, read.Say(), shown.text, shown.line)
}

func (t *tableImport) note(format string, args ...any) {
	t.report.Notes = append(t.report.Notes, fmt.Sprintf(format, args...))
}

// slashedDays gives the first day that can be read both ways, and the first for
// each order that can be read in that one only.
func (t *tableImport) slashedDays(fields []string) (open *slashedDay, sure map[string]*slashedDay, err error) {
	sure = map[string]*slashedDay{}
	for cells, err := range t.table.Rows() {
		var f *sheet.Fault
		if errors.As(err, &f) {
			continue // takeAll reports it
		}
		if err != nil {
			return nil, nil, err
		}
		for _, field := range fields {
			d := &slashedDay{cells.Line, strings.TrimSpace(t.match.Cell(cells, field))}
			order, twofold := orderShown(d.text)
			if twofold && open == nil {
				open = d
			}
			if order != "" && sure[order] == nil {
				sure[order] = d
			}
		}
	}
	return open, sure, nil
}

// orderShown is the order that a day shows, because it is no day in the other
// one; open is true where both give a day, and not the same.
func orderShown(text string) (order string, open bool) {
	if !slashed.MatchString(text) {
		return "", false
	}
	if _, open := slashedIn(text, ""); open {
		return "", true
	}
	monthFirst, _ := slashedIn(text, "mdy")
	dayFirst, _ := slashedIn(text, "dmy")
	switch {
	case monthFirst.IsZero() && !dayFirst.IsZero():
		return "dmy", false
	case dayFirst.IsZero() && !monthFirst.IsZero():
		return "mdy", false
	}
	return "", false
}
