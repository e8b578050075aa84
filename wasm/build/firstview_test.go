package main

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vugu/html"
	"github.com/vugu/vugu"

	"headroom/core"
	"headroom/core/build"
	"headroom/ui"
)

// parsed reads HTML as a browser does and hands every element to visit.
func parsed(t *testing.T, text []byte, visit func(tag string, attributes map[string]string, n *html.Node)) {
	t.Helper()
	root, err := html.Parse(strings.NewReader(string(text)))
	require.NoError(t, err)
	var walk func(n *html.Node)
	walk = func(n *html.Node) {
		if n.Type == html.ElementNode {
			attributes := map[string]string{}
			for _, a := range n.Attr {
				attributes[a.Key] = a.Val
			}
			visit(n.Data, attributes, n)
		}
		for c := n.FirstChild; c != nil; c = c.NextSibling {
			walk(c)
		}
	}
	walk(root)
}

func TestFirstViewShowsTheStandardBuild(t *testing.T) {
	view, err := firstView()
	require.NoError(t, err)
	report, err := core.Plan(build.Default())
	require.NoError(t, err)
	planner := ui.NewPlanner()

	figures, sliders, folds, checked := map[string]string{}, map[string]string{}, 0, 0
	parsed(t, view, func(tag string, attributes map[string]string, n *html.Node) {
		if key, ok := attributes["data-key"]; ok {
			figures[key] = attributes["data-value"]
		}
		if tag == "input" && attributes["type"] == "range" {
			sliders[attributes["name"]] = attributes["value"]
		}
		if _, ok := attributes["checked"]; ok {
			checked++
			assert.Equal(t, "metric", attributes["value"])
		}
		if name := still[tag]; name != "" {
			assert.Contains(t, attributes, name, "nothing can be operated that does nothing yet")
		}
		if tag == "details" {
			folds++
			require.NotNil(t, n.FirstChild)
			assert.Equal(t, "summary", n.FirstChild.Data)
			assert.Nil(t, n.FirstChild.NextSibling, "what a closed fold hides is left to the program")
			assert.NotContains(t, attributes, "open")
		}
	})
	assert.Equal(t, 1, checked)
	assert.Greater(t, folds, len(build.Groups))
	require.Len(t, sliders, len(build.Main))
	for _, key := range build.Main {
		assert.Equal(t, planner.Entry(key).Value, sliders[key], key)
	}
	require.Len(t, figures, 5)
	for key, value := range figures {
		o := core.ReadoutFor(key)
		require.NotNil(t, o, key)
		assert.Equal(t, planner.Readout(o).Value, value, key)
	}
	assert.InDelta(t, 75.6, report.Pack.FullV, 1e-9)
	assert.Equal(t, "75.6", figures["pack.full_v"])
}

// tree is a component of one given node.
type tree struct{ node *vugu.VGNode }

func (c *tree) Build(*vugu.BuildIn) *vugu.BuildOut {
	return &vugu.BuildOut{Out: []*vugu.VGNode{c.node}}
}

func made(tag string, prop ...string) *vugu.VGNode {
	n := &vugu.VGNode{Type: vugu.ElementNode, Data: tag}
	for i := 0; i < len(prop); i += 2 {
		n.Prop = append(n.Prop, vugu.VGProperty{Key: prop[i], JSONVal: []byte(prop[i+1])})
	}
	return n
}

func TestMarkup(t *testing.T) {
	word := func(text string) *vugu.VGNode { return &vugu.VGNode{Type: vugu.TextNode, Data: text} }
	holding := func(n *vugu.VGNode, children ...*vugu.VGNode) *vugu.VGNode {
		for _, c := range children {
			n.AppendChild(c)
		}
		return n
	}
	raw := "a &lt; b"
	quoted := made("p")
	quoted.Attr = []vugu.VGAttribute{{Key: "title", Val: `5" < 6" & more`}}
	html := made("b")
	html.InnerHTML = &raw
	for _, c := range []struct {
		node *vugu.VGNode
		want string
	}{
		{holding(quoted, word("1 < 2 & 3")), `<p title="5&quot; &lt; 6&quot; &amp; more">1 &lt; 2 &amp; 3</p>`},
		{html, `<b>a &lt; b</b>`},
		{made("input", "value", `"<18"`), `<input value="&lt;18" disabled>`},
		{made("input", "checked", "true"), `<input checked disabled>`},
		{made("input", "checked", "false"), `<input disabled>`},
		{made("textarea", "value", `"\n</textarea>"`), "<textarea disabled>\n\n&lt;/textarea&gt;</textarea>"},
		{holding(made("details", "open", "false"), word(" "), holding(made("summary"), word("More")), made("p")), `<details><summary inert>More</summary></details>`},
		{holding(made("details", "open", "true"), made("summary"), made("p")), `<details open><summary inert></summary><p></p></details>`},
	} {
		got, err := markup(&tree{c.node})
		require.NoError(t, err)
		assert.Equal(t, c.want, string(got))
	}
	for _, bad := range []*vugu.VGNode{
		made("select", "value", `"b"`), made("input", "valueAsNumber", "3"), made("input", "value", "}"), made("details"),
	} {
		_, err := markup(&tree{bad})
		assert.Error(t, err, bad.Data)
	}
}

func TestTemplateNeedsOneMark(t *testing.T) {
	for _, template := range []string{"<main></main>", mark + mark} {
		_, err := fill([]byte(template))
		assert.ErrorContains(t, err, "must have it once")
	}
	page, err := fill([]byte("<main>" + mark + "</main>"))
	require.NoError(t, err)
	assert.Regexp(t, `(?s)^<main><div class="page">.*</div></main>$`, string(page))
}
