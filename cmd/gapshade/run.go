package main

import (
	"context"
	"errors"
	"io"

	"github.com/spf13/cobra"

	"gapshade/preview"
	"gapshade/preview/report"
)

// run is the whole program but for the process's exit; it returns the exit
// code.
func run(ctx context.Context, args []string, out, errOut io.Writer) int {
	result := &checked{to: out}
	t := &talk{out: result, err: errOut}
	root := rootCommand(t)
	root.SetArgs(args)
	root.SetOut(result)
	root.SetErr(errOut)
	err := root.ExecuteContext(ctx)
	if err == nil && result.err != nil {
		err = &preview.Fault{Code: preview.CodeFailure, What: "can't print the result", Why: result.err.Error(), Err: result.err}
	}
	return t.fail(err)
}

// checked remembers the first fault of a writer: what could not be printed is no
// success, and the help printer does not look.
type checked struct {
	to  io.Writer
	err error
}

func (c *checked) Write(b []byte) (int, error) {
	n, err := c.to.Write(b)
	if c.err == nil {
		c.err = err
	}
	return n, err
}

func rootCommand(t *talk) *cobra.Command {
	root := &cobra.Command{
		Use:   "gapshade",
		Short: "see a dry tile layout in candidate grouts before anything is set",
		Long: `gapshade takes one photo of tiles or mosaic laid dry, finds the gaps, fills
them with light, mid and dark grouts as they will look cured, measures what
each does to every piece, and ranks them.`,
		Example: `  gapshade demo
  gapshade preview layout.jpg --size 380x300mm --bed white`,
		SilenceErrors: true,
		SilenceUsage:  true,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return nil
			}
			return unknownCommand(args[0])
		},
		RunE: func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	root.AddCommand(previewCommand(t), pageCommand(t), jobCommand(t), demoCommand(t), shadesCommand(t), schemaCommand(t), completionCommand(t), versionCommand(t))
	root.SetHelpCommand(helpCommand())
	root.SetFlagErrorFunc(flagFault)
	setHelp(root)
	root.CompletionOptions.DisableDefaultCmd = true
	root.Version = versionLine()
	root.SetVersionTemplate("{{.Version}}\n")
	return root
}

func schemaCommand(t *talk) *cobra.Command {
	return &cobra.Command{
		Use:   "schema",
		Short: "print the JSON Schema of report.json",
		Args:  noArgs,
		RunE: func(*cobra.Command, []string) error {
			_, err := t.out.Write(report.Schema())
			return err
		},
	}
}

func noArgs(c *cobra.Command, args []string) error {
	if len(args) > 0 {
		return &preview.Fault{Code: preview.CodeUsage, What: c.Name() + " takes no " + quote(args[0]), Next: "see gapshade " + c.Name() + " --help"}
	}
	return nil
}

// code is the exit code for an error.
func code(err error) int {
	if err == nil {
		return preview.CodeOK
	}
	if errors.Is(err, context.Canceled) {
		return preview.CodeInterrupted
	}
	if f, ok := errors.AsType[*preview.Fault](err); ok {
		return f.Code
	}
	return preview.CodeFailure
}
