package ui

import (
	"encoding/json"
	"errors"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"headroom/core"
	"headroom/core/build"
	"headroom/core/link"
)

// reportOf is a report as text, for telling whether anything at all in it has changed.
func reportOf(t require.TestingT, p *Planner) string {
	text, err := json.Marshal(p.Report)
	require.NoError(t, err)
	return string(text)
}

// randomBuild draws from everything that the Fields table allows.
func randomBuild(t *rapid.T) build.Build {
	b := build.Default()
	for i := range build.Fields {
		f := &build.Fields[i]
		if f.Kind == build.Rows {
			continue
		}
		switch rapid.IntRange(0, 4).Draw(t, f.Key+" dice") {
		case 0, 1: // the default
		case 2:
			f.SetValue(&b, rapid.SampledFrom([]float64{f.Min, f.Max}).Draw(t, f.Key+" end"))
		default:
			if f.Kind == build.Choice {
				f.SetValue(&b, float64(rapid.IntRange(0, len(f.Options())-1).Draw(t, f.Key)))
			} else {
				f.SetValue(&b, f.Min+f.Step*float64(rapid.IntRange(0, int((f.Max-f.Min)/f.Step)).Draw(t, f.Key)))
			}
		}
	}
	return b
}

func TestNewPlannerHasTheDefaultBuild(t *testing.T) {
	p := NewPlanner()
	want, err := core.Plan(build.Default())
	require.NoError(t, err)
	assert.Equal(t, build.Default(), p.Build)
	assert.Equal(t, want, p.Report)
	assert.Equal(t, "v=1", p.Link())
	assert.Empty(t, p.Fault)
}

func TestLinkRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := randomBuild(t)
		p, q := NewPlanner(), NewPlanner()
		p.Open(link.Encode(&b, nil))
		q.Open("https://planner.example/#" + p.Link())
		if p.Link() != q.Link() || p.Build != q.Build {
			t.Fatalf("%s came back as %s", p.Link(), q.Link())
		}
		if len(p.Problems)+len(q.Problems)+len(p.Unknown) > 0 || p.Fault != "" {
			t.Fatalf("%s: %v %v %q", p.Link(), p.Problems, p.Unknown, p.Fault)
		}
		require.Equal(t, reportOf(t, p), reportOf(t, q))
	})
}

func TestOpenNamesWhatItCouldNotUse(t *testing.T) {
	p := NewPlanner()
	p.Type("s", "99")
	p.Open("#v=1&s=99&p=x&later=1&motor=nope")
	assert.Equal(t, 40, p.Build.Series)
	assert.Equal(t, 2, p.Build.Parallel)
	require.Len(t, p.Problems, 3)
	for i, key := range []string{"s", "p", "motor"} {
		assert.Equal(t, key, p.Problems[i].Key)
		assert.Contains(t, p.Problems[i].Text, build.FieldFor(key).Label)
	}
	assert.Equal(t, []link.Pair{{Key: "later", Value: "1"}}, p.Unknown)
	assert.Equal(t, "v=1&s=40&later=1", p.Link())
	assert.Empty(t, p.Entry("s").Message, "what was typed before is gone")
}

func TestUnknownKeysOutliveEditsAndTheirMessage(t *testing.T) {
	p := NewPlanner()
	p.Open("v=1&later=1&other=a%20b")
	p.Slide("s", "20")
	assert.Equal(t, "v=1&s=20&later=1&other=a+b", p.Link())
	p.Dismiss()
	assert.Empty(t, (&Messages{P: p}).lines(), "the message is gone")
	assert.Equal(t, "v=1&s=20&later=1&other=a+b", p.Link(), "reading a message away must not change the link")
}

func TestResetIsTheStandardBuild(t *testing.T) {
	p := NewPlanner()
	p.Open("v=1&s=20&later=1&p=99")
	p.Type("kpa", "x")
	p.Reset()
	assert.Equal(t, build.Default(), p.Build)
	assert.Equal(t, "v=1", p.Link())
	assert.Empty(t, p.Problems)
	assert.Empty(t, p.Entry("kpa").Message)
	assert.NotEmpty(t, p.Note)
	p.Slide("s", "20")
	assert.Empty(t, p.Note, "it is told once")
}

func TestFaultKeepsBuildAndReport(t *testing.T) {
	for name, fail := range map[string]func(*Planner){
		"an error":                      func(p *Planner) { p.Fail(errors.New("broken")) },
		"what a panic carried":          func(p *Planner) { p.Fail("index out of range") },
		"a build that planning refuses": func(p *Planner) { p.Build.Series = 1000; p.plan(); p.Build.Series = 20 },
	} {
		t.Run(name, func(t *testing.T) {
			p := NewPlanner()
			p.Open("v=1&s=20&later=1")
			before, report, address := p.Build, reportOf(t, p), p.Link()
			fail(p)
			assert.Contains(t, p.Fault, "Your build is kept")
			assert.Equal(t, before, p.Build)
			assert.Equal(t, report, reportOf(t, p))
			assert.Equal(t, address, p.Link())
			root := show(t, p)
			require.NotNil(t, find(root, attribute("data-message", "fault")))
			assert.Equal(t, "alert", value(find(root, attribute("data-message", "fault")), "role"))
			p.Slide("s", "21")
			assert.Empty(t, p.Fault, "a plan that works ends it")
			assert.NotEqual(t, report, reportOf(t, p))
		})
	}
}

func TestCopy(t *testing.T) {
	p := NewPlanner()
	p.Copy() // no clipboard: nothing to do, and no panic
	var given []string
	p.OnCopy = func(link string) { given = append(given, link) }
	p.Slide("s", "20")
	p.Copy()
	assert.Equal(t, []string{"v=1&s=20"}, given)

	p.Copied("https://planner.example/#v=1&s=20", true)
	assert.Equal(t, "Link copied", p.Note)
	assert.Empty(t, p.LinkText)
	p.Copied("https://planner.example/#v=1&s=20", false)
	assert.Equal(t, "https://planner.example/#v=1&s=20", p.LinkText)
	assert.NotEmpty(t, p.Note)

	p.Open("v=1&s=21")
	assert.Empty(t, p.LinkText, "it was the link of another build")
	assert.Empty(t, p.Note, "and so is what was said about it")
}

func TestSetUnitsChangesNothingButTheShowing(t *testing.T) {
	p := NewPlanner()
	p.Open("v=1&kpa=150&rider=90")
	var told []Units
	p.OnUnits = func(u Units) { told = append(told, u) }
	before, report, address := p.Build, reportOf(t, p), p.Link()
	var metric []Figure
	for i := range core.Readouts {
		for j := range core.Readouts[i].Rows {
			metric = append(metric, p.Readout(&core.Readouts[i].Rows[j]))
		}
	}
	p.Type("s", "99")
	p.SetUnits(US)
	assert.Equal(t, before, p.Build)
	assert.Equal(t, report, reportOf(t, p))
	assert.Equal(t, address, p.Link())
	assert.Empty(t, p.Entry("s").Message, "a message in the other unit would be stale")
	differ := 0
	n := 0
	for i := range core.Readouts {
		for j := range core.Readouts[i].Rows {
			f := p.Readout(&core.Readouts[i].Rows[j])
			assert.Equal(t, metric[n].Value, f.Value, "%s: data-value is metric", f.Key)
			if f.Unit != metric[n].Unit {
				differ++
			}
			n++
		}
	}
	assert.Greater(t, differ, 10)
	p.SetUnits(Metric)
	assert.Equal(t, []Units{US, Metric}, told)
}

func TestSummaryNamesTheLeadingFigures(t *testing.T) {
	p := NewPlanner()
	assert.Empty(t, p.Summary, "nothing has changed yet")
	p.Open("v=1&s=30") // beyond the controller
	p.Summarize()
	for _, f := range p.Leading() {
		assert.Contains(t, p.Summary, f.Label+" "+f.Number+" "+f.Unit)
	}
	assert.Contains(t, p.Summary, "Full pack 126.0 V over")
	assert.Equal(t, 4, strings.Count(p.Summary, ", ")-strings.Count("Cruise ceiling, low charge", ", "))
}

func TestFoldsAreRemembered(t *testing.T) {
	p := NewPlanner()
	assert.False(t, p.IsOpen("in-Pack"))
	p.SetOpen("in-Pack", true)
	assert.True(t, p.IsOpen("in-Pack"))
	p.Open("v=1&s=20")
	assert.True(t, p.IsOpen("in-Pack"), "another build is no reason to fold")
	p.SetOpen("in-Pack", false)
	assert.False(t, p.IsOpen("in-Pack"))
}
