package main

import (
	"fmt"
	"regexp"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"gapshade/preview"
)

// commands a person may have meant.
var commandNames = []string{"preview", "job", "demo", "shades", "schema", "completion", "version", "help"}

func unknownCommand(name string) error {
	f := &preview.Fault{Code: preview.CodeUsage, What: "there is no command " + quote(name), Next: "gapshade help lists the commands"}
	if near := nearest(name, commandNames); near != "" {
		f.Next = "did you mean gapshade " + near + "?"
	} else if strings.Contains(name, ".") {
		f.Next = "to preview a photo: gapshade preview " + name
	}
	return f
}

var unknownFlag = regexp.MustCompile(`^unknown flag: --(\S+)`)

// flagFault dresses what the flag parser says.
func flagFault(c *cobra.Command, err error) error {
	f := &preview.Fault{Code: preview.CodeUsage, What: err.Error(), Next: "see " + c.CommandPath() + " --help", Err: err}
	if m := unknownFlag.FindStringSubmatch(err.Error()); m != nil {
		var names []string
		c.Flags().VisitAll(func(fl *pflag.Flag) { names = append(names, fl.Name) })
		f.What = "there is no flag --" + m[1]
		if near := nearest(m[1], names); near != "" {
			f.Next = "did you mean --" + near + "?"
		}
	}
	return f
}

// nearest returns the name within two slips of s (a third of its length for
// short words), "" when none is.
func nearest(s string, names []string) string {
	best, at := max(1, min(2, len(s)/3))+1, ""
	for _, n := range names {
		if d := slips(s, n); d < best {
			best, at = d, n
		}
	}
	return at
}

// slips counts the letters to change, add or drop (Levenshtein, 1966).
func slips(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diag := row[0]
		row[0] = i + 1
		for j := range len(b) {
			cost := diag
			if a[i] != b[j] {
				cost++
			}
			diag = row[j+1]
			row[j+1] = min(cost, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(b)]
}

func argFault(what, next string, args ...any) error {
	return &preview.Fault{Code: preview.CodeUsage, What: fmt.Sprintf(what, args...), Next: next}
}
