package ui

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vugu/html"
	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/extension"
	"pgregory.net/rapid"

	"headroom/core/limit"
)

const testAddress = "https://example.org/plan/#v=1&s=20"

// rendered is what a forum that knows Markdown, tables, strike-through and bare addresses makes of a text.
func rendered(t require.TestingT, text string) *html.Node {
	var out strings.Builder
	require.NoError(t, goldmark.New(goldmark.WithExtensions(extension.GFM)).Convert([]byte(text), &out))
	n, err := html.Parse(strings.NewReader(out.String()))
	require.NoError(t, err)
	return n
}

func tags(n *html.Node, into map[string]int) map[string]int {
	if n.Type == html.ElementNode {
		into[n.Data]++
	}
	for c := n.FirstChild; c != nil; c = c.NextSibling {
		tags(c, into)
	}
	return into
}

// named gives the build in hand a name, as an imported file can.
func named(t require.TestingT, p *Planner, name string) {
	p.shelf.add(savedEntry{name, p.Link()})
	require.Equal(t, name, p.title())
}

func TestSummaryTellsTheBuild(t *testing.T) {
	p := opened(t, "v=1&s=40&p=1&batt=300&phase=500&rhoa=1&hyst=140")
	named(t, p, "Hill board")
	for _, units := range []Units{Metric, US} {
		p.Units = units
		for _, format := range []string{Plain, Markdown, BBCode} {
			got := p.SummaryText(format, testAddress)
			for _, want := range []string{"Hill board", "Cells in series: 40", "Cells in parallel: 1", "Battery current limit: 300 A", "Iron drag, constant: 140", testAddress, "Estimates", "Rider:", "Tire pressure:"} {
				assert.Contains(t, got, want, format)
			}
			assert.NotContains(t, got, "Headwind", "what is as in the standard build and matters little is left out")
			for _, f := range p.Leading() {
				assert.Contains(t, got, f.spoken(), format)
				assert.Contains(t, got, ", "+string(f.Status), format)
			}
			count := 0
			for _, n := range p.Report.Notes {
				if n.Status != limit.Clear {
					count++
					assert.Contains(t, got, styleOf(format).escape(p.Units.say(n.Text)), format)
				}
			}
			assert.Greater(t, count, 3)
		}
	}
	assert.Contains(t, p.SummaryText(Plain, testAddress), "psi")
	assert.Contains(t, p.SummaryText(Plain, testAddress), "mph")
	assert.Contains(t, opened(t, "v=1").SummaryText(Plain, testAddress), "18s2p")
}

// Whatever a build is called, Markdown makes of the text one link, the elements that it is made of, and the name as it is.
func TestNamesAreNoMarkdown(t *testing.T) {
	p := opened(t, "v=1&s=20")
	named(t, p, "plain")
	want := tags(rendered(t, p.SummaryText(Markdown, testAddress)), map[string]int{})
	require.Equal(t, 1, want["a"])
	check := func(t require.TestingT, name string) {
		p.shelf.list = nil
		if name = tidyName(name); name == "" {
			return
		}
		named(t, p, name)
		n := rendered(t, p.SummaryText(Markdown, testAddress))
		require.Equal(t, want, tags(n, map[string]int{}), name)
		require.Contains(t, text(n), strings.ReplaceAll(name, "@", "(at)"))
	}
	for _, name := range hostileNames {
		check(t, name)
	}
	rapid.Check(t, func(t *rapid.T) {
		check(t, rapid.StringOf(rapid.OneOf(rapid.SampledFrom([]rune("*_`[]()<>!#-+.|~&@:/\\ \"'=1aw")), rapid.Rune())).Draw(t, "name"))
	})
}

var hostileNames = []string{
	"**bold** _it_ ~~gone~~ `code`", "[click](javascript:alert(1))", "![x](https://evil.example/x.png)", "<script>alert(1)</script>", "<b>", "https://evil.example/a", "www.evil.example",
	"a@evil.example", "@everyone", "&lt;b&gt; &copy;", "# head", "- item", "1. item", "> quote", "a | b", "\\", "`", "***", "[x]: https://evil.example", "[b]bold[/b]", "[url=javascript:alert(1)]x[/url]", "[img]https://evil.example/x.png[/img]",
	"[/url][script]", "line\nbreak\r[b]", "\u202eevil", "http://www.evil.example",
}

func TestNamesAreNoBBCode(t *testing.T) {
	p := opened(t, "v=1&s=20")
	plain := p.SummaryText(BBCode, testAddress)
	check := func(t require.TestingT, name string) {
		p.shelf.list = nil
		if name = tidyName(name); name == "" {
			return
		}
		named(t, p, name)
		got := p.SummaryText(BBCode, testAddress)
		require.Equal(t, strings.Count(plain, "["), strings.Count(got, "["), name)
		require.Equal(t, strings.Count(plain, "]"), strings.Count(got, "]"), name)
		require.Equal(t, 1, strings.Count(got, "://"), name)
		require.NotContains(t, strings.ToLower(got), "www.evil")
	}
	for _, name := range hostileNames {
		check(t, name)
	}
	rapid.Check(t, func(t *rapid.T) {
		check(t, rapid.StringOf(rapid.OneOf(rapid.SampledFrom([]rune("[]/=burl:@w. ")), rapid.Rune())).Draw(t, "name"))
	})
	// Tags are closed in the order in which they were opened.
	var open []string
	for rest := plain; ; {
		_, tail, ok := strings.Cut(rest, "[")
		if !ok {
			break
		}
		tag, tail, _ := strings.Cut(tail, "]")
		rest = tail
		if tag == "*" {
			require.Equal(t, "list", open[len(open)-1])
		} else if end, ok := strings.CutPrefix(tag, "/"); ok {
			require.Equal(t, end, open[len(open)-1])
			open = open[:len(open)-1]
		} else {
			open = append(open, tag)
		}
	}
	assert.Empty(t, open)
}

func TestPlainTextKeepsItsLines(t *testing.T) {
	p := opened(t, "v=1&s=20")
	lines := strings.Count(p.SummaryText(Plain, testAddress), "\n")
	p.shelf.add(savedEntry{"two\nlines\u2028three\u202e", p.Link()})
	got := p.SummaryText(Plain, testAddress)
	assert.Equal(t, lines, strings.Count(got, "\n"))
	assert.Contains(t, got, "two lines three\n")
}

// An address that holds what would end it in the text is written so that it does not.
func TestAddressesEndWhereTheyEnd(t *testing.T) {
	p := opened(t, "v=1")
	assert.Contains(t, p.SummaryText(BBCode, "https://example.org/[/url][b]/#v=1"), "[url]https://example.org/%5B/url%5D%5Bb%5D/#v=1[/url]")
	n := rendered(t, p.SummaryText(Markdown, "https://example.org/a b>c/#v=1&s=20&conn=pair-30"))
	assert.Equal(t, "https://example.org/a%20b%3Ec/#v=1&s=20&conn=pair-30", value(find(n, element("a")), "href"))
}
