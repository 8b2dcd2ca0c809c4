package main

import (
	"fmt"
	"os"
	"path/filepath"
	"runtime/debug"

	"github.com/spf13/cobra"

	"gapshade/examples"
	"gapshade/preview/said"
)

// demoFolder is the demo's own; git ignores it.
const demoFolder = "gapshade-demo"

func demoCommand(t *talk) *cobra.Command {
	return &cobra.Command{
		Use:   "demo",
		Short: "write a sample photo and run preview on it",
		Args:  noArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			name, err := writeSample()
			if err != nil {
				return err
			}
			w := &words{out: demoFolder, force: true, Words: said.Words{Aim: "balance", Bed: "white",
				Title: "Lemons, laid dry", Size: fmt.Sprintf("%dx%dmm", examples.LemonsWidthMm, examples.LemonsHeightMm)}}
			if err := w.preview(c.Context(), t, name); err != nil {
				return err
			}
			fmt.Fprintf(t.out, "\nthe same by hand:\n  gapshade preview %s --size %s --bed white\n", name, w.Size)
			return nil
		},
	}
}

// writeSample puts the bundled photo into the demo's folder, by rename.
func writeSample() (string, error) {
	name := filepath.Join(demoFolder, "lemons.jpg")
	if err := os.MkdirAll(demoFolder, 0o755); err != nil {
		return "", outputFault(demoFolder, err)
	}
	temp := name + ".part"
	if err := os.WriteFile(temp, examples.Lemons, 0o644); err != nil {
		return "", outputFault(name, err)
	}
	if err := os.Rename(temp, name); err != nil {
		return "", outputFault(name, err)
	}
	return name, nil
}

// version is set by releases with -ldflags "-X main.version=…".
var version = "development"

func versionCommand(t *talk) *cobra.Command {
	return &cobra.Command{
		Use:   "version",
		Short: "print the version",
		Args:  noArgs,
		RunE: func(*cobra.Command, []string) error {
			_, err := fmt.Fprintln(t.out, versionLine())
			return err
		},
	}
}

// versionLine names the version, the commit and the Go that built it.
func versionLine() string {
	commit, goVersion := "unknown", "unknown"
	if info, ok := debug.ReadBuildInfo(); ok {
		goVersion = info.GoVersion
		for _, s := range info.Settings {
			if s.Key == "vcs.revision" {
				commit = s.Value
			}
		}
	}
	return fmt.Sprintf("gapshade %s, commit %s, %s", version, commit, goVersion)
}
