package job

import (
	"fmt"
	"time"

	"gapshade/preview/quantity"
)

// clock fills in everything that has to do with time.
func (n *notebook) clock(d *document, s *Sheet) {
	sc := &s.Plan.Schedule
	d.ClockHead = "Clock: " + string(sc.Clock)
	d.WhenHead = "After the water, h:min"
	if !s.Start.IsZero() {
		d.WhenHead = "Time"
	}
	d.ClockLead = append(d.ClockLead, n.item("", sc.Before))
	for _, step := range sc.Round {
		d.Clock = append(d.Clock, n.moment(&step, s.Start))
	}
	for _, step := range sc.After {
		d.After = append(d.After, n.moment(&step, s.Start))
	}
	if text := rounds(s); text != "" {
		d.ClockLead = append(d.ClockLead, item{Text: text, Notes: n.of([]quantity.Source{quantity.Ours})})
	}
	d.ClockLead = append(d.ClockLead, n.item("", sc.Note))
	d.Drawing = draw(s)
}

// moment is a step in words.
func (n *notebook) moment(s *quantity.Step, start time.Time) moment {
	return moment{When: when(s, start), Name: s.Name, Do: s.Do, Sign: s.Sign, Notes: n.of(s.Sources), Wait: s.Wait}
}

// rounds says how several batches follow each other.
func rounds(s *Sheet) string {
	sc, b := &s.Plan.Schedule, &s.Plan.Batches
	switch {
	case sc.Rounds == 1 && b.Count == 1:
		return ""
	case sc.Rounds == 1:
		return fmt.Sprintf("The %d batches are spread in one go: stir the next one while the last third of the batch before is spread.", b.Count)
	}
	text := fmt.Sprintf("%d rounds like this one, a part of the panel each", sc.Rounds)
	if sc.PerRound > 1 {
		text += fmt.Sprintf(", up to %d batches in a round", sc.PerRound)
	}
	text += "; one person can put water to the next batch " + span(sc.RoundMin) + " after the last"
	if sc.Today > 1 {
		text += fmt.Sprintf(", %d rounds in a day of 8 h", sc.Today)
	}
	if sc.Days() > 1 {
		text += fmt.Sprintf("; that makes %d days. Stop at a natural line, never in the middle of a joint", sc.Days())
	}
	return text + "."
}

// when prints the time of a step: the hands of the clock if the start is known,
// else hours and minutes after the water.
func when(s *quantity.Step, start time.Time) string {
	long := s.StartMin >= 1000
	switch {
	case start.IsZero() && long:
		return "from " + span(s.StartMin)
	case start.IsZero() && s.EndMin >= 1000:
		return hm(s.StartMin) + " to " + span(s.EndMin)
	case start.IsZero():
		return hm(s.StartMin) + "–" + hm(s.EndMin)
	case long:
		return quantity.At(start, s.StartMin).Format("Mon 2 Jan, 15:04")
	case s.EndMin >= 1000:
		return quantity.At(start, s.StartMin).Format("15:04") + " to " + quantity.At(start, s.EndMin).Format("Mon 2 Jan")
	}
	return quantity.At(start, s.StartMin).Format("15:04") + "–" + quantity.At(start, s.EndMin).Format("15:04")
}

// hm prints minutes as hours and minutes: "1:05".
func hm(minutes int) string { return fmt.Sprintf("%d:%02d", minutes/60, minutes%60) }

// span prints a length of time in the unit people would use.
func span(minutes int) string {
	switch {
	case minutes < 60:
		return fmt.Sprintf("%d min", minutes)
	case minutes < 1000:
		return hm(minutes) + " h"
	case minutes < 10*24*60:
		return fmt.Sprintf("%d h", minutes/60)
	}
	return fmt.Sprintf("%d days", minutes/(24*60))
}
