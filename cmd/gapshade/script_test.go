package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"gapshade": main})
}

// The scripts in testdata/script run the real command in a folder of their own,
// which holds layout.png (30 drawn tiles), wall.png (nothing to find) and
// huge.png (a header that claims 100,000 × 100,000 px); second.txtar also has the
// layout on black paper, black.png, and that with a tile pushed, pushed.png;
// shape.txtar has a round layout, round.png.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:                 filepath.Join("testdata", "script"),
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Setup: func(e *testscript.Env) error {
			files := map[string][]byte{"layout.png": drawnLayout(), "wall.png": drawnWall(), "huge.png": hugePNG(100000, 100000)}
			if filepath.Base(e.WorkDir) == "script-second" {
				files["black.png"], files["pushed.png"] = drawnOnBlack(), drawnPushed()
			}
			if filepath.Base(e.WorkDir) == "script-shape" {
				files["round.png"] = drawnRound()
			}
			for name, b := range files {
				if err := os.WriteFile(filepath.Join(e.WorkDir, name), b, 0o644); err != nil {
					return err
				}
			}
			return nil
		},
		Condition: func(cond string) (bool, error) {
			if cond == "root" {
				return os.Geteuid() == 0, nil
			}
			return false, fmt.Errorf("condition %q is not known", cond)
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"exits": exits, "none": none, "same": same, "json": jsonIs, "narrow": narrow, "files": files, "await": await, "paint": paint, "samples": samples,
		},
	})
}

// exits CODE ARGS… runs gapshade, wants that exit code, and holds every run to
// the rules of output: see faults.
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 1 {
		ts.Fatalf("usage: exits code args...")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	code := 0
	if err := ts.Exec("gapshade", args[1:]...); err != nil {
		e, ok := errors.AsType[*exec.ExitError](err)
		if !ok {
			ts.Fatalf("%v", err)
		}
		code = e.ExitCode()
	}
	out, errOut := ts.ReadFile("stdout"), ts.ReadFile("stderr")
	if code != want {
		ts.Fatalf("exit code %d, not %d\nstdout: %s\nstderr: %s", code, want, out, errOut)
	}
	if f := faults(code, out, errOut); f != "" {
		ts.Fatalf("%s\nstdout: %q\nstderr: %q", f, out, errOut)
	}
}

// rawTalk is what no person should have to read: escape bytes, failed formats,
// traces, pointers.
var rawTalk = regexp.MustCompile(`\x1b|%!|panic:|goroutine \d|strconv\.|\b0x[0-9a-f]|<nil>`)

// faults checks what holds for every run: no escape bytes and nothing of the
// language's own talk anywhere; silence on stderr when all went well; and when
// not, an empty stdout and an error that says what is wrong and what to try,
// each a line without a full stop.
func faults(code int, out, errOut string) string {
	if bad := rawTalk.FindString(out + errOut); bad != "" {
		return fmt.Sprintf("%q in the output", bad)
	}
	if code == 0 {
		if errOut != "" {
			return "talk on stderr though all went well"
		}
		return ""
	}
	lines := strings.Split(strings.TrimSuffix(errOut, "\n"), "\n")
	switch {
	case out != "":
		return "a failed run wrote to stdout"
	case !strings.HasPrefix(lines[0], "gapshade: "):
		return "the error does not begin with the program's name"
	case code != 130 && (len(lines) != 2 || !strings.HasPrefix(lines[1], "try: ")):
		return "the error is not one line and one hint"
	}
	for _, l := range lines {
		if strings.HasSuffix(l, ".") {
			return "a full stop ends " + l
		}
	}
	return ""
}

// samples NAME writes a photo of three cured samples on paper.
func samples(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: samples name")
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), drawnChips(), 0o644))
}

// none PATTERN… wants no file to match.
func none(ts *testscript.TestScript, _ bool, args []string) {
	for _, pattern := range args {
		found, err := filepath.Glob(ts.MkAbs(pattern))
		ts.Check(err)
		if len(found) > 0 {
			ts.Fatalf("there are %v", found)
		}
	}
}

// files FOLDER NAME… wants exactly these files there.
func files(ts *testscript.TestScript, _ bool, args []string) {
	entries, err := os.ReadDir(ts.MkAbs(args[0]))
	ts.Check(err)
	want := map[string]bool{}
	for _, a := range args[1:] {
		want[a] = true
	}
	for _, e := range entries {
		if !want[e.Name()] {
			ts.Fatalf("%s holds %s, which nobody asked for", args[0], e.Name())
		}
		delete(want, e.Name())
	}
	if len(want) > 0 {
		ts.Fatalf("%s lacks %v", args[0], want)
	}
}

// same FOLDER FOLDER wants the same names with the same bytes.
func same(ts *testscript.TestScript, _ bool, args []string) {
	a, err := os.ReadDir(ts.MkAbs(args[0]))
	ts.Check(err)
	b, err := os.ReadDir(ts.MkAbs(args[1]))
	ts.Check(err)
	if len(a) != len(b) || len(a) == 0 {
		ts.Fatalf("%d files in %s, %d in %s", len(a), args[0], len(b), args[1])
	}
	for _, e := range a {
		one, two := ts.ReadFile(filepath.Join(args[0], e.Name())), ts.ReadFile(filepath.Join(args[1], e.Name()))
		if one != two {
			ts.Fatalf("%s differs", e.Name())
		}
	}
}

// json FILE [PATH=VALUE]… wants one JSON document and nothing else; a path such
// as shades.0.id names a value inside, and "null" no value.
func jsonIs(ts *testscript.TestScript, _ bool, args []string) {
	var doc any
	if err := json.Unmarshal([]byte(ts.ReadFile(args[0])), &doc); err != nil {
		ts.Fatalf("%s: %v", args[0], err)
	}
	for _, a := range args[1:] {
		path, want, _ := strings.Cut(a, "=")
		v := doc
		for step := range strings.SplitSeq(path, ".") {
			switch x := v.(type) {
			case map[string]any:
				v = x[step]
			case []any:
				i, err := strconv.Atoi(step)
				if err != nil || i >= len(x) {
					ts.Fatalf("%s: nothing at %s", args[0], path)
				}
				v = x[i]
			}
		}
		got, _ := json.Marshal(v)
		if s, ok := v.(string); ok {
			got = []byte(s)
		}
		if string(got) != want {
			ts.Fatalf("%s: %s is %s, not %s", args[0], path, got, want)
		}
	}
}

// narrow wants the last output to fit a terminal of 80 columns, and 40 lines
// unless told otherwise.
func narrow(ts *testscript.TestScript, _ bool, args []string) {
	most := 40
	if len(args) == 1 {
		var err error
		most, err = strconv.Atoi(args[0])
		ts.Check(err)
	}
	lines := strings.Split(strings.TrimSuffix(ts.ReadFile("stdout"), "\n"), "\n")
	if len(lines) > most {
		ts.Fatalf("%d lines, not %d at most", len(lines), most)
	}
	for _, l := range lines {
		if len([]rune(l)) > 80 {
			ts.Fatalf("%d columns: %s", len([]rune(l)), l)
		}
	}
}

// await PATTERN waits until a file matches, half a minute at most.
func await(ts *testscript.TestScript, _ bool, args []string) {
	for range 10000 {
		if found, _ := filepath.Glob(ts.MkAbs(args[0])); len(found) > 0 {
			return
		}
		time.Sleep(3 * time.Millisecond)
	}
	ts.Fatalf("%s never came", args[0])
}
