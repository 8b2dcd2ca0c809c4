package report

import (
	"bytes"
	_ "embed"
)

//go:embed schema.json
var schemaJSON []byte

// Schema is the JSON Schema (draft 2020-12) of report.json, as text. Each call
// gives its own copy.
func Schema() []byte { return bytes.Clone(schemaJSON) }
