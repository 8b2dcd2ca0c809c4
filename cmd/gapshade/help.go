package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// Help stays within 80 columns; flag texts begin in column 24.
const (
	helpWidth  = 80
	helpIndent = 24
)

// heading is the annotation of a flag that begins a group in the help.
const heading = "heading"

// head puts a heading above a flag.
func head(flags *pflag.FlagSet, name, text string) {
	f := flags.Lookup(name)
	f.Annotations = map[string][]string{heading: {text}}
}

// flagHelp prints flags with their value word and wrapped text. The README's
// list is this text; a test compares the two.
func flagHelp(flags *pflag.FlagSet) string {
	var b strings.Builder
	flags.VisitAll(func(f *pflag.Flag) {
		if f.Hidden || f.Name == "help" {
			return
		}
		for _, h := range f.Annotations[heading] {
			b.WriteString("\n" + h + "\n")
		}
		name, text := "  --"+f.Name, f.Usage
		if v := valueWords[f.Name]; v != "" {
			name += " " + v
		}
		if f.DefValue != "" && f.DefValue != "false" && f.DefValue != "0" {
			text += " (default " + f.DefValue + ")"
		}
		lines := wrapped(text, helpWidth-helpIndent)
		if len(name) < helpIndent {
			name += strings.Repeat(" ", helpIndent-len(name)) + lines[0]
			lines = lines[1:]
		}
		b.WriteString(name + "\n")
		for _, l := range lines {
			b.WriteString(strings.Repeat(" ", helpIndent) + l + "\n")
		}
	})
	return b.String()
}

// wrapped breaks a text into lines of at most width letters.
func wrapped(text string, width int) []string {
	var lines []string
	line := ""
	for word := range strings.FieldsSeq(text) {
		if line != "" && len(line)+1+len(word) > width {
			lines = append(lines, line)
			line = ""
		}
		if line != "" {
			line += " "
		}
		line += word
	}
	return append(lines, line)
}

// usage is the help text of one command: examples first, because they are what
// people look for.
func usage(c *cobra.Command) string {
	var b strings.Builder
	if c.Example != "" {
		fmt.Fprintf(&b, "for example:\n%s\n\n", c.Example)
	}
	if c.HasAvailableSubCommands() {
		fmt.Fprintf(&b, "commands:\n")
		for _, s := range c.Commands() {
			if s.IsAvailableCommand() || s.Name() == "help" {
				fmt.Fprintf(&b, "  %-12s %s\n", s.Name(), s.Short)
			}
		}
		fmt.Fprintf(&b, "\n%s COMMAND --help tells more about one of them\n", c.CommandPath())
		return b.String()
	}
	fmt.Fprintf(&b, "usage: %s\n", c.UseLine())
	if f := flagHelp(c.Flags()); f != "" {
		fmt.Fprintf(&b, "\n%s", f)
	}
	return b.String()
}

// setHelp replaces the library's wording and layout on a command and all below.
func setHelp(c *cobra.Command) {
	c.SetUsageFunc(func(c *cobra.Command) error {
		_, err := fmt.Fprint(c.OutOrStderr(), usage(c))
		return err
	})
	c.SetHelpFunc(func(c *cobra.Command, _ []string) {
		text := c.Long
		if text == "" {
			text = c.Short
		}
		fmt.Fprintf(c.OutOrStdout(), "%s\n\n%s", text, usage(c))
	})
}
