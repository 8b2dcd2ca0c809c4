package job

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"io"

	ics "github.com/arran4/golang-ical"

	"gapshade/preview/quantity"
)

// ErrNoStart says that a calendar needs to know when the water goes in.
var ErrNoStart = errors.New("no start time is known; a calendar needs one, such as 2026-05-04T10:00")

// RFC 5545: 3.3.5 form 1 (local time, without a zone) and form 2 (UTC).
const (
	localTime = "20060102T150405"
	utcTime   = "20060102T150405Z"
)

// Calendar writes clock.ics (RFC 5545, CRLF, lines of at most 75 octets): an
// event with an alarm for every step that needs hands, in every round of the
// first day, and for the days after. Waiting is not an event.
//
// Times are local without a zone, so the alarm rings when the hands of the
// clock on the wall say so, wherever the file is opened. DTSTAMP is the start,
// not the moment of writing, and an event keeps its UID when the clock is moved
// within the day, so that a second import moves the events and adds none.
func Calendar(w io.Writer, s Sheet) error {
	if err := s.check(); err != nil {
		return err
	}
	if s.Start.IsZero() {
		return ErrNoStart
	}
	cal := ics.NewCalendarFor("gapshade")
	cal.SetProductId("-//gapshade//job clock//EN")
	cal.SetMethod(ics.MethodPublish)
	cal.SetCalscale("GREGORIAN")
	cal.SetXWRCalName(heading(&s))
	for i, step := range s.Plan.Schedule.Steps() {
		if !step.Wait {
			addStep(cal, &s, i, &step)
		}
	}
	if err := cal.SerializeTo(w, ics.WithNewLineWindows); err != nil {
		return fmt.Errorf("clock.ics: %w", err)
	}
	return nil
}

// addStep adds the event of a step. The alarm rings at its start and not
// before: until then the work shows nothing to look at.
func addStep(cal *ics.Calendar, s *Sheet, i int, step *quantity.Step) {
	name := step.Name + " – " + heading(s)
	e := cal.AddEvent(uid(s, i, step.Key))
	e.SetProperty(ics.ComponentPropertyDtstamp, quantity.At(s.Start, 0).Format(utcTime))
	e.SetProperty(ics.ComponentPropertyDtStart, quantity.At(s.Start, step.StartMin).Format(localTime))
	e.SetProperty(ics.ComponentPropertyDtEnd, quantity.At(s.Start, step.EndMin).Format(localTime))
	e.SetSummary(name)
	e.SetDescription(describe(step))
	e.SetTimeTransparency(ics.TransparencyOpaque)
	a := e.AddAlarm()
	a.SetAction(ics.ActionDisplay)
	a.SetTrigger("PT0S")
	a.SetProperty(ics.ComponentPropertyDescription, name)
}

// heading names the job in a calendar that holds other things too.
func heading(s *Sheet) string {
	if t := clean(s.Title); t != "" {
		return t
	}
	return "grouting"
}

// describe is what the alarm's window shows; it defers to the bag like the sheet.
func describe(step *quantity.Step) string {
	text := step.Do
	if step.Sign != "" {
		text += "\nSign: " + step.Sign + "."
	}
	return text + "\n" + quantity.Overrule
}

// uid names a step of a job on a day: the same sheet gives the same, and no
// host name is in it (RFC 7986, 5.3).
func uid(s *Sheet, i int, key string) string {
	in := &s.Plan.In
	h := sha256.Sum256(fmt.Appendf(nil, "%s|%g|%g|%s|%d|%s", heading(s), in.PanelMm2, s.Plan.GapShare,
		quantity.At(s.Start, 0).Format("2006-01-02"), i, key))
	return fmt.Sprintf("%x@gapshade", h[:16])
}
