package job

import (
	"bytes"
	"io"
	"math/rand/v2"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	ics "github.com/arran4/golang-ical"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/preview/quantity"
)

func calendar(t *testing.T, s Sheet) string {
	t.Helper()
	var buf bytes.Buffer
	require.NoError(t, Calendar(&buf, s))
	return buf.String()
}

// object is what a second, own parser of RFC 5545 reads: sections 3.1 (lines and
// folding) and 3.3.11 (text), enough for this calendar.
type object struct {
	name string
	prop map[string]string
	kids []*object
}

func read(t *testing.T, text string) *object {
	t.Helper()
	require.True(t, strings.HasSuffix(text, "\r\n"))
	for _, line := range strings.Split(strings.TrimSuffix(text, "\r\n"), "\r\n") {
		require.LessOrEqual(t, len(line), 75, "3.1: octets in a line")
		require.NotContains(t, line, "\n")
		require.NotContains(t, line, "\r")
		require.True(t, utf8.ValidString(line), "no letter is cut in two")
	}
	root := &object{}
	stack := []*object{root}
	for _, line := range strings.Split(strings.ReplaceAll(strings.TrimSuffix(text, "\r\n"), "\r\n ", ""), "\r\n") {
		name, value, ok := strings.Cut(line, ":")
		require.True(t, ok, line)
		top := stack[len(stack)-1]
		switch name {
		case "BEGIN":
			o := &object{name: value, prop: map[string]string{}}
			top.kids = append(top.kids, o)
			stack = append(stack, o)
		case "END":
			require.Equal(t, top.name, value)
			stack = stack[:len(stack)-1]
		default:
			_, twice := top.prop[name]
			require.False(t, twice, "%s twice in %s", name, top.name)
			top.prop[name] = unescape(value)
		}
	}
	require.Len(t, stack, 1)
	require.Len(t, root.kids, 1)
	return root.kids[0]
}

func unescape(s string) string {
	var out strings.Builder
	for i := 0; i < len(s); i++ {
		if s[i] != '\\' || i+1 == len(s) {
			out.WriteByte(s[i])
			continue
		}
		i++
		if s[i] == 'n' || s[i] == 'N' {
			out.WriteByte('\n')
		} else {
			out.WriteByte(s[i])
		}
	}
	return out.String()
}

// A thousand random jobs, read back by two parsers: every step that needs hands
// is there, at its minute, with its words and its alarm, and nothing else is.
func TestThousandCalendarsReadBack(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 5))
	for range 1000 {
		s := random(t, r)
		text := calendar(t, s)
		var want []quantity.Step
		for _, step := range s.Plan.Schedule.Steps() {
			if !step.Wait {
				want = append(want, step)
			}
		}
		cal := read(t, text)
		require.Equal(t, "VCALENDAR", cal.name)
		require.Equal(t, "2.0", cal.prop["VERSION"])
		require.NotEmpty(t, cal.prop["PRODID"])
		require.Len(t, cal.kids, len(want))
		uids := map[string]bool{}
		for i, e := range cal.kids {
			same(t, &s, &want[i], e)
			uids[e.prop["UID"]] = true
		}
		require.Len(t, uids, len(want), "every event has its own UID")
		again(t, text, want, s.Start)
	}
}

// same holds one event against its step.
func same(t *testing.T, s *Sheet, step *quantity.Step, e *object) {
	t.Helper()
	require.Equal(t, "VEVENT", e.name)
	from, err := time.Parse("20060102T150405", e.prop["DTSTART"]) // local time, no zone
	require.NoError(t, err)
	to, err := time.Parse("20060102T150405", e.prop["DTEND"])
	require.NoError(t, err)
	require.Equal(t, s.Start.Add(time.Duration(step.StartMin)*time.Minute), from)
	require.Equal(t, s.Start.Add(time.Duration(step.EndMin)*time.Minute), to)
	require.Equal(t, s.Start.Format("20060102T150405Z"), e.prop["DTSTAMP"])
	require.Equal(t, step.Name+" – "+heading(s), e.prop["SUMMARY"])
	require.Equal(t, describe(step), e.prop["DESCRIPTION"])
	require.Len(t, e.kids, 1)
	alarm := e.kids[0]
	require.Equal(t, "VALARM", alarm.name)
	require.Equal(t, "DISPLAY", alarm.prop["ACTION"])
	require.Equal(t, "PT0S", alarm.prop["TRIGGER"])
	require.Equal(t, e.prop["SUMMARY"], alarm.prop["DESCRIPTION"])
}

// again reads the calendar with the library's own parser.
func again(t *testing.T, text string, want []quantity.Step, start time.Time) {
	t.Helper()
	cal, err := ics.ParseCalendar(strings.NewReader(text))
	require.NoError(t, err)
	events := cal.Events()
	require.Len(t, events, len(want))
	for i, e := range events {
		at := e.GetProperty(ics.ComponentPropertyDtStart)
		require.Equal(t, start.Add(time.Duration(want[i].StartMin)*time.Minute).Format(localTime), at.Value)
		require.Len(t, e.Alarms(), 1)
	}
	var buf bytes.Buffer
	require.NoError(t, cal.SerializeTo(&buf, ics.WithNewLineWindows))
	require.Equal(t, text, buf.String(), "written again, nothing moves")
}

func TestCalendarNeedsAStart(t *testing.T) {
	s := lemons(t)
	s.Start = time.Time{}
	var buf bytes.Buffer
	require.ErrorIs(t, Calendar(&buf, s), ErrNoStart)
	assert.Zero(t, buf.Len())
}

// An hour later on the same day is the same set of events; another day is not.
func TestEventsMoveWithinTheDay(t *testing.T) {
	uids := func(at time.Time) (out []string) {
		s := lemons(t)
		s.Start = at
		for _, e := range read(t, calendar(t, s)).kids {
			out = append(out, e.prop["UID"])
		}
		return out
	}
	assert.Equal(t, uids(start), uids(start.Add(time.Hour)))
	assert.NotEqual(t, uids(start), uids(start.AddDate(0, 0, 1)))
}

// The zone of the start is not a date of its own: the hands count.
func TestCalendarIsLocal(t *testing.T) {
	s := lemons(t)
	want := calendar(t, s)
	s.Start = time.Date(2026, 5, 4, 10, 0, 0, 0, time.FixedZone("far", 11*3600))
	assert.Equal(t, want, calendar(t, s))
}

type full struct{}

func (full) Write([]byte) (int, error) { return 0, io.ErrShortWrite }

func TestWriteErrorsAreNamed(t *testing.T) {
	assert.ErrorIs(t, Calendar(full{}, lemons(t)), io.ErrShortWrite)
	assert.ErrorIs(t, HTML(full{}, lemons(t)), io.ErrShortWrite)
	assert.ErrorIs(t, PDF(full{}, lemons(t)), io.ErrShortWrite)
}

func TestASheetNeedsAPlan(t *testing.T) {
	var buf bytes.Buffer
	for _, write := range []func(io.Writer, Sheet) error{HTML, PDF, Calendar} {
		assert.ErrorContains(t, write(&buf, Sheet{Title: "empty", Start: start}), "no plan")
	}
	assert.Zero(t, buf.Len())
}
