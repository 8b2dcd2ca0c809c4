package report

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"regexp"

	"gapshade/preview/quantity"
)

// JSON writes report.json: the fields in the order of Report, two blanks of
// indent, lists of numbers on one line, a line end at the end. Equal reports
// give equal bytes. A number that is not finite is an error.
func JSON(w io.Writer, r Report) error { return encode(w, "report.json", r) }

// JobJSON writes a job block alone, as it stands in a report.
func JobJSON(w io.Writer, b quantity.Block) error { return encode(w, "the job block", b) }

func encode(w io.Writer, name string, v any) error {
	var buf bytes.Buffer
	enc := json.NewEncoder(&buf)
	enc.SetEscapeHTML(false) // the report is no web page; "<" stays readable
	enc.SetIndent("", "  ")
	if err := enc.Encode(v); err != nil {
		return fmt.Errorf("%s: %w", name, err)
	}
	_, err := w.Write(numberList.ReplaceAllFunc(buf.Bytes(), oneLine))
	return err
}

// numberList finds a list of numbers that the encoder spread over lines. A
// text cannot match: inside one, line ends are escaped.
var numberList = regexp.MustCompile(`\[\n[-+0-9.eE,\s]+\]`)

func oneLine(list []byte) []byte {
	fields := bytes.Fields(list[1 : len(list)-1])
	return append(append([]byte{'['}, bytes.Join(fields, []byte(" "))...), ']')
}
