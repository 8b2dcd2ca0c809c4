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
	t := &talk{out: out, err: errOut}
	root := rootCommand(t)
	root.SetArgs(args)
	root.SetOut(out)
	root.SetErr(errOut)
	err := root.ExecuteContext(ctx)
	if ctx.Err() != nil {
		err = ctx.Err()
	}
	return t.fail(err)
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
	root.AddCommand(previewCommand(t), demoCommand(t), shadesCommand(t), schemaCommand(t), versionCommand(t))
	root.SetFlagErrorFunc(flagFault)
	setHelp(root)
	root.CompletionOptions.HiddenDefaultCmd = false
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
