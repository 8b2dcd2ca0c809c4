package main

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"

	"github.com/spf13/cobra"

	"gapshade/preview"
	"gapshade/preview/page"
	"gapshade/preview/photo"
)

func pageCommand(t *talk) *cobra.Command {
	var port int
	var noBrowser bool
	c := &cobra.Command{
		Use:   "page [PHOTO]",
		Short: "the same in the browser: paint gaps, compare shades, take a zip",
		Long: `page opens a page on this computer, which nobody else can reach, to correct the
gaps by painting and to compare shades as you change them. Panels are kept
between runs. Ctrl-C ends it; what was painted is kept.`,
		Example: `  gapshade page
  gapshade page layout.jpg --port 8080 --no-browser`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) > 1 {
				return argFault("page takes one photo; %d given", "gapshade page layout.jpg", len(args))
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error {
			if port < 0 || port > 65535 {
				return argFault("--port %d is out of range", "use 1024 to 65535, or leave it out for any free one", port)
			}
			return servePage(c.Context(), t, args, port, !noBrowser)
		},
	}
	f := c.Flags()
	f.SortFlags = false
	f.IntVar(&port, "port", 0, "port of the page; 0 means any free one")
	f.BoolVar(&noBrowser, "no-browser", false, "only print the page's address, don't open it")
	return c
}

// servePage serves until it is interrupted, which is the usual end and no failure.
func servePage(ctx context.Context, t *talk, photos []string, port int, browse bool) error {
	dir, err := dataFolder()
	if err != nil {
		return &preview.Fault{Code: preview.CodeOutput, What: "there is no folder to keep panels in", Why: err.Error(), Next: "set HOME"}
	}
	s, err := page.Open(page.Options{Folder: dir, Port: port, Version: versionLine(), Memory: boundMemory})
	if err != nil {
		return err
	}
	panel := ""
	for _, name := range photos {
		if panel, err = addPhoto(ctx, s, name); err != nil {
			s.Close()
			return err
		}
	}
	fmt.Fprintln(t.out, s.Address(panel))
	if browse {
		openBrowser(s.Address(panel))
	}
	return s.Serve(ctx)
}

// addPhoto makes a panel of a file and gives its id.
func addPhoto(ctx context.Context, s *page.Server, name string) (string, error) {
	info, err := os.Stat(name)
	if err != nil || !info.Mode().IsRegular() {
		_, err := photo.OpenFile(ctx, name, photo.Limits{}) // which says what is wrong with it
		return "", preview.FromPhoto(err)
	}
	f, err := os.Open(name)
	if err != nil {
		return "", preview.FromPhoto(err)
	}
	defer f.Close()
	return s.Add(ctx, filepath.Base(name), f)
}

// dataFolder is where a program of this system keeps a person's work.
func dataFolder() (string, error) {
	if runtime.GOOS == "windows" || runtime.GOOS == "darwin" {
		dir, err := os.UserConfigDir()
		return filepath.Join(dir, "gapshade"), err
	}
	if dir := os.Getenv("XDG_DATA_HOME"); filepath.IsAbs(dir) {
		return filepath.Join(dir, "gapshade"), nil
	}
	home, err := os.UserHomeDir()
	return filepath.Join(home, ".local", "share", "gapshade"), err
}

// openBrowser asks the system to show an address. No shell reads it. Where that
// doesn't work, the person has the address on the screen.
func openBrowser(address string) {
	var c *exec.Cmd
	switch runtime.GOOS {
	case "windows":
		c = exec.Command("rundll32", "url.dll,FileProtocolHandler", address)
	case "darwin":
		c = exec.Command("open", address)
	default:
		c = exec.Command("xdg-open", address)
	}
	if c.Start() == nil {
		go c.Wait()
	}
}
