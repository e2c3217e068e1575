package sheet

import "cmp"

// Limits bound what a file may cost before it is refused. A zero field takes
// its usual value.
type Limits struct {
	Bytes    int64 // the file as sent; usually 256 MiB
	Rows     int   // rows below the header; usually 1,048,575, what a workbook can hold
	Columns  int   // usually 256
	Cell     int   // characters in one cell; usually 32,767, what a workbook can hold
	Unpacked int64 // bytes of all parts of a workbook, unpacked; usually 256 MiB
	Entries  int   // parts of a workbook; usually 2,000
	Ratio    int64 // unpacked to packed size of a part over 1 MiB; usually 200 to 1
}

const (
	// maxToken bounds one tag or text of a workbook part, in bytes: a full
	// cell of 32,767 characters written as six-byte references is 192 KiB.
	maxToken = 1 << 20
	// maxDepth bounds how deep tags may nest; worksheets need about eight.
	maxDepth = 64
	// maxShared bounds the memory that a workbook's shared texts may take.
	maxShared = 64 << 20
	// maxListed bounds the styles, formats and links that a workbook may list;
	// more are not used. Spreadsheet programs stop at about as many styles.
	maxListed = 1 << 16
	// maxCode bounds the code of a number format; spreadsheet programs stop at 255.
	maxCode = 255
	// maxRecord bounds one text record in bytes; more is a quote never closed.
	maxRecord = 4 << 20
	// ratioFrom is the unpacked size from which Limits.Ratio is asked for:
	// small parts of one repeated tag pack well and do no harm.
	ratioFrom = 1 << 20
	// lastRow and lastColumn are the last ones a worksheet can have.
	lastRow    = 1 << 20
	lastColumn = 1 << 14
)

func (l Limits) orUsual() Limits {
	return Limits{
		Bytes:    cmp.Or(l.Bytes, 256<<20),
		Rows:     cmp.Or(l.Rows, lastRow-1),
		Columns:  cmp.Or(l.Columns, 256),
		Cell:     cmp.Or(l.Cell, 32767),
		Unpacked: cmp.Or(l.Unpacked, 256<<20),
		Entries:  cmp.Or(l.Entries, 2000),
		Ratio:    cmp.Or(l.Ratio, 200),
	}
}
