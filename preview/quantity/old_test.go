package quantity

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// old is a wall that is grouted already, measured in a photo.
func old() Input {
	in := Default()
	in.WidthMm, in.HeightMm, in.GapMm2, in.Joint = 2000, 1500, 1.5e5, Widths{2, 3, 4}
	in.TileMm2, in.Grouted = 100*100, true
	return in
}

func everything(p *Plan) string {
	var b strings.Builder
	for _, c := range p.Cautions {
		b.WriteString(c.Head + ": " + c.Text + "\n")
	}
	for _, c := range p.Checks {
		b.WriteString(c.Text + "\n")
	}
	for _, w := range p.Warnings {
		b.WriteString(w.Text + "\n")
	}
	return b.String() + p.Schedule.Before.Text
}

// What an old wall adds, and what of a fresh layout has no place there. (14)
func TestAnOldWall(t *testing.T) {
	p := plan(t, old())
	assert.Equal(t, "Raking dust", p.Cautions[0].Head, "the gravest first")
	assert.Contains(t, p.Cautions[0].Text, "silica")
	assert.Contains(t, p.Cautions[0].Text, "come first", "local rules")
	assert.Contains(t, p.Cautions[1].Text, "asbestos")
	all := everything(&p)
	for _, word := range []string{"two thirds", "3 mm", "colourant", "ask a tiler", "raked wet", "Test patch"} {
		assert.Contains(t, all, word)
	}
	for _, word := range []string{"spacers", "Adhesive first", "Adhesive:", "nip it wet", "three times as wide", "measure a piece"} {
		assert.NotContains(t, all, word)
	}
	asked := func(p *Plan) (out []string) {
		for _, d := range p.Disputes {
			out = append(out, d.Question)
		}
		return out
	}
	assert.Contains(t, asked(&p), "Rake out or colour the old joint")

	fresh := old()
	fresh.Grouted = false
	q := plan(t, fresh)
	assert.NotContains(t, everything(&q), "rake")
	assert.NotContains(t, asked(&q), "Rake out or colour the old joint")
	assert.Contains(t, everything(&q), "Adhesive first")
}

// Every sentence names its source, on an old wall too.
func TestOldSentencesHaveSources(t *testing.T) {
	p := plan(t, old())
	for _, c := range p.Cautions {
		assert.NotEmpty(t, c.Sources, c.Text)
	}
	for _, c := range p.Checks {
		assert.NotEmpty(t, c.Sources, c.Text)
	}
	for _, w := range p.Warnings {
		assert.NotEmpty(t, w.Sources, w.Text)
	}
	assert.NotEmpty(t, p.Schedule.Before.Sources)
}

// By arithmetic: 0.15 m² of joint raked out 4 mm deep is 0.6 litres, 8 mm twice that;
// the depth is asked for as long as it was not said.
func TestOldJointsAreAsDeepAsTheyAreRaked(t *testing.T) {
	codes := func(p *Plan) (out []string) {
		for _, w := range p.Warnings {
			out = append(out, w.Code)
		}
		return out
	}
	in := old()
	in.ThicknessMm = 4
	p := plan(t, in)
	assert.InDelta(t, .6, p.JointLitres, 1e-9)
	assert.Contains(t, codes(&p), "grouted")
	assert.NotContains(t, codes(&p), "thickness")
	in.ThicknessMm = 8
	p = plan(t, in)
	assert.InDelta(t, 1.2, p.JointLitres, 1e-9)
	assert.Contains(t, everything(&p), "raked out 8 mm deep")
	for _, a := range p.Amounts() {
		assert.NotContains(t, a.Text, "adhesive")
		assert.NotContains(t, a.Text, "of the pieces")
	}
	in.ThicknessMm = 0
	p = plan(t, in)
	assert.Contains(t, codes(&p), "thickness")
	assert.Contains(t, everything(&p), "how deep the old joint is raked out")
}

// A report keeps that it is an old wall.
func TestGroutedIsKept(t *testing.T) {
	p := plan(t, old())
	b := p.Block("", time.Time{})
	assert.True(t, b.Given.Grouted)
	in, _, err := b.Given.Input()
	require.NoError(t, err)
	assert.True(t, in.Grouted)
}
