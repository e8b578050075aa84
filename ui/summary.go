package ui

import (
	"strings"

	"headroom/core/limit"
)

// Summary formats: what the text of a build may be pasted into.
const (
	Plain    = "plain"
	Markdown = "markdown"
	BBCode   = "bbcode"
)

// style is how one format writes what a summary is made of. Every text of ours goes through escape, a name that a person gave through
// foreign.
type style struct {
	id, name     string
	escape       func(string) string
	foreign      func(string) string
	head         [2]string // before and after a heading
	strong       [2]string
	open, close  string // around a list
	item         string // before an item
	link         [2]string
	linkReplacer *strings.Replacer // what an address may hold that would end it
}

var styles = []style{
	{id: Plain, name: "Plain text", escape: oneLine, foreign: oneLine, item: "- ", linkReplacer: strings.NewReplacer()},
	{id: Markdown, name: "Markdown", escape: escapeMarkdown, foreign: foreignMarkdown, head: [2]string{"**", "**"}, strong: [2]string{"**", "**"},
		open: "\n", item: "- ", link: [2]string{"<", ">"}, linkReplacer: strings.NewReplacer("<", "%3C", ">", "%3E", " ", "%20")},
	{id: BBCode, name: "BBCode", escape: escapeBBCode, foreign: foreignBBCode, head: [2]string{"[b]", "[/b]"}, strong: [2]string{"[b]", "[/b]"},
		open: "[list]\n", close: "[/list]\n", item: "[*]", link: [2]string{"[url]", "[/url]"}, linkReplacer: strings.NewReplacer("[", "%5B", "]", "%5D", " ", "%20")},
}

func styleOf(id string) *style {
	for i := range styles {
		if styles[i].id == id {
			return &styles[i]
		}
	}
	return &styles[0]
}

// oneLine makes a text fit to stand in a line of its own.
func oneLine(text string) string { return strings.Join(strings.Fields(visible(text)), " ") }

// escapeMarkdown keeps a text within a line from being markup in CommonMark.
func escapeMarkdown(text string) string { return backslashed(text, "\\`*_[]<>|~&") }

// foreignMarkdown does so for dialects too that make links of bare addresses, and of names after an @. Any ASCII punctuation may be escaped
// (CommonMark 0.31.2, 2.4).
func foreignMarkdown(text string) string {
	return backslashed(strings.ReplaceAll(text, "@", "(at)"), "\\`*_{}[]()<>#+-!|~&:/.=$^")
}

func backslashed(text, special string) string {
	var s strings.Builder
	for _, r := range oneLine(text) {
		if strings.ContainsRune(special, r) {
			s.WriteByte('\\')
		}
		s.WriteRune(r)
	}
	return s.String()
}

// escapeBBCode keeps a text from being markup. The boards agree on no escape, so square brackets become round ones.
func escapeBBCode(text string) string { return brackets.Replace(oneLine(text)) }

// foreignBBCode also cuts open what many boards make links of by themselves.
func foreignBBCode(text string) string { return bare.Replace(escapeBBCode(text)) }

var (
	brackets = strings.NewReplacer("[", "(", "]", ")")
	bare     = strings.NewReplacer("://", ": //", "www.", "www .", "WWW.", "WWW .", "@", "(at)")
)

// SummaryText is the build and what comes of it as a text for others: what it is, the figures that lead, all that is tight or over, and the
// address, in the reader's units.
func (p *Planner) SummaryText(format, address string) string {
	f := styleOf(format)
	var s strings.Builder
	heading := func(text string) { s.WriteString(f.head[0] + f.escape(text) + f.head[1] + "\n") }
	list := func(items []string) {
		s.WriteString(f.open)
		for _, item := range items {
			s.WriteString(f.item + item + "\n")
		}
		s.WriteString(f.close + "\n")
	}

	s.WriteString(f.head[0] + f.foreign(p.title()) + f.head[1] + "\n")
	var items []string
	for _, in := range p.stated() {
		items = append(items, f.escape(in.Label+": "+in.Value))
	}
	list(items)

	heading("What it gives")
	items = nil
	for _, o := range leading {
		fig := p.Units.figure(o, &p.Report)
		item := f.escape(fig.Label) + ": " + f.strong[0] + f.escape(fig.spoken()) + f.strong[1]
		if fig.Status != "" {
			item += ", " + string(fig.Status)
		}
		if fig.Detail != "" {
			item += " (" + f.escape(fig.Detail) + ")"
		}
		items = append(items, item)
	}
	list(items)

	heading("Tight or over")
	items = nil
	for _, n := range p.Report.Notes {
		if n.Status != limit.Clear {
			items = append(items, f.strong[0]+string(n.Status)+f.strong[1]+": "+f.escape(p.Units.say(n.Text)))
		}
	}
	if items == nil {
		items = []string{"nothing, as far as this planner looks"}
	}
	list(items)

	s.WriteString(f.link[0] + f.linkReplacer.Replace(address) + f.link[1] + "\n\n")
	s.WriteString(f.escape("Estimates until checked on the finished board; data sheets, local codes and licensed practice come first.") + "\n")
	return s.String()
}
