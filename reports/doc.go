// Package reports draws plain numbers: charts of a building's covers and the
// cut section of one cover. Every picture is a Plot, a struct of what is to be
// seen; SVG draws it for a page and PNG for paper, from the same code.
//
// A picture never computes a result: intervals, trends and due dates come in
// as they are. It has no clock, no database and no colors of its own: the SVG
// names classes (f-water, s-metal, ...) that web/static/chart.css ties to the
// page's variables, so one file serves light, dark and print.
package reports
