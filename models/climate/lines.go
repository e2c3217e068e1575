package climate

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
)

// line is one line of a file that is not blank, with its number from 1.
type line struct {
	number int
	text   string
}

// readLines reads all lines, ended by CR, LF or CRLF, without a byte order mark.
func readLines(r io.Reader) ([]line, error) {
	content, err := io.ReadAll(r)
	if err != nil {
		return nil, fmt.Errorf("read climate: %w", err)
	}
	text := strings.TrimPrefix(string(content), "\uFEFF")
	text = strings.ReplaceAll(text, "\r\n", "\n")
	text = strings.ReplaceAll(text, "\r", "\n")
	var lines []line
	number := 0
	for l := range strings.SplitSeq(text, "\n") {
		number++
		if strings.TrimSpace(l) != "" {
			lines = append(lines, line{number, l})
		}
	}
	return lines, nil
}

func firstField(text string) string {
	field, _, _ := strings.Cut(text, ",")
	return strings.TrimSpace(field)
}

// splitComma splits a line without quotes, as EPW and hour tables are.
func splitComma(text string) []string {
	fields := strings.Split(text, ",")
	for i, f := range fields {
		fields[i] = strings.TrimSpace(f)
	}
	return fields
}

// number64 reads a finite decimal number.
func number64(text string) (float64, bool) {
	value, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsNaN(value) || math.IsInf(value, 0) || strings.ContainsAny(text, "xXpP_") {
		return math.NaN(), false
	}
	return value, true
}

// joinWords joins what is not empty with ", ".
func joinWords(words ...string) string {
	var kept []string
	for _, w := range words {
		if w != "" && w != "-" {
			kept = append(kept, w)
		}
	}
	return strings.Join(kept, ", ")
}
