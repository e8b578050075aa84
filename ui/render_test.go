package ui

import (
	"bytes"
	"encoding/json"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vugu/html"
	"github.com/vugu/vugu"
	"github.com/vugu/vugu/staticrender"
	"pgregory.net/rapid"

	"headroom/core"
	"headroom/core/build"
	"headroom/core/limit"
)

// show renders the whole page to HTML and reads that back.
func show(t require.TestingT, p *Planner) *html.Node { return draw(t, &Root{P: p}) }

func draw(t require.TestingT, root vugu.Builder) *html.Node {
	var out bytes.Buffer
	env, err := vugu.NewBuildEnv()
	require.NoError(t, err)
	require.NoError(t, staticrender.New(&out).Render(env.RunBuild(root)))
	page, err := html.Parse(&out)
	require.NoError(t, err)
	return page
}

// unfold opens every fold among the results.
func unfold(p *Planner) {
	for _, section := range core.Readouts {
		p.SetOpen("out-"+section.Title, true)
	}
	for _, id := range []string{pathID, settingsID, boxesID, "out-side", "out-rules", "out-fuse", rideCheckID} {
		p.SetOpen(id, true)
	}
}

func value(n *html.Node, name string) string {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val
		}
	}
	return ""
}

func has(n *html.Node, name string) bool {
	for _, a := range n.Attr {
		if a.Key == name {
			return true
		}
	}
	return false
}

func spaced(text string) string { return strings.ReplaceAll(text, nbsp, " ") }

// text is what a node says, with every space the same; TestTypeset holds those that keep a number and its unit together.
func text(n *html.Node) string {
	if n.Type == html.TextNode {
		return spaced(n.Data)
	}
	all := ""
	for c := n.FirstChild; c != nil; c = c.NextSibling {
		all += text(c)
	}
	return all
}

func tidy(n *html.Node) string { return strings.Join(strings.Fields(text(n)), " ") }

type test func(*html.Node) bool

func element(tag string) test { return func(n *html.Node) bool { return n.Data == tag } }
func class(name string) test {
	return func(n *html.Node) bool { return strings.Contains(" "+value(n, "class")+" ", " "+name+" ") }
}
func attribute(name, v string) test { return func(n *html.Node) bool { return value(n, name) == v } }
func carries(name string) test      { return func(n *html.Node) bool { return has(n, name) } }

// all returns the elements below n that pass every test.
func all(n *html.Node, tests ...test) []*html.Node {
	var list []*html.Node
	pass := n.Type == html.ElementNode
	for _, f := range tests {
		pass = pass && f(n)
	}
	if pass {
		list = append(list, n)
	}
	for c := n.FirstChild; c != nil; c = c.NextSibling {
		list = append(list, all(c, tests...)...)
	}
	return list
}

func find(n *html.Node, tests ...test) *html.Node {
	if list := all(n, tests...); len(list) > 0 {
		return list[0]
	}
	return nil
}

// above is the nearest element around n that passes.
func above(n *html.Node, pass test) *html.Node {
	for n = n.Parent; n != nil && !pass(n); n = n.Parent {
	}
	return n
}

// inReport follows a data-key through a report's JSON; "" if there is nothing.
func inReport(t require.TestingT, r *core.Report, key string) string {
	body, err := json.Marshal(r)
	require.NoError(t, err)
	var at any
	d := json.NewDecoder(bytes.NewReader(body))
	d.UseNumber()
	require.NoError(t, d.Decode(&at))
	for _, step := range strings.Split(key, ".") {
		switch now := at.(type) {
		case map[string]any:
			at = now[step]
		case []any:
			i, err := strconv.Atoi(step)
			require.NoError(t, err, key)
			at = now[i]
		default:
			require.Fail(t, "no such place in the report", key)
		}
	}
	n, ok := at.(json.Number)
	if !ok {
		require.Nil(t, at, "%s is no number", key)
		return ""
	}
	v, err := n.Float64()
	require.NoError(t, err)
	return strconv.FormatFloat(v, 'g', 12, 64)
}

// links are boards that show every state: standard, over in all ways, no way to hold the load, tight.
var links = []string{"v=1", "v=1&s=32&p=1&batt=200&fuse=20", "v=1&s=8&p=1&grade=30&cruise=100", "v=1&s=20&kpa=50", "v=1&s=40&motor=hub6-narrow&cruise=60&wind=-60&grade=-30"}

func TestEveryFieldHasItsControl(t *testing.T) {
	root := show(t, NewPlanner())
	for i := range build.Fields {
		f := &build.Fields[i]
		controls := all(root, attribute("name", f.Key))
		require.NotEmpty(t, controls, f.Key)
		labelled := false
		for _, c := range controls {
			labelled = labelled || value(c, "id") != "" && find(root, element("label"), attribute("for", value(c, "id"))) != nil
			assert.True(t, value(c, "aria-label") != "" || find(root, element("label"), attribute("for", value(c, "id"))) != nil, f.Key)
		}
		assert.True(t, labelled, f.Key)
		if f.Kind == build.Choice && !isMain(f.Key) {
			require.Equal(t, "select", controls[0].Data, f.Key)
			assert.Len(t, all(controls[0], element("option")), len(f.Options()), f.Key)
			continue
		}
		if f.Kind == build.Rows {
			require.Equal(t, "textarea", controls[0].Data, f.Key)
			continue
		}
		steps := all(root, element("button"), func(n *html.Node) bool { return strings.HasSuffix(value(n, "aria-label"), ": "+f.Label) })
		assert.Len(t, steps, 2, f.Key)
	}
	for _, key := range build.Main {
		slider := find(root, attribute("name", key), attribute("type", "range"))
		require.NotNil(t, slider, key)
		assert.NotEmpty(t, value(slider, "aria-valuetext"), key)
	}
	for _, n := range all(root, element("input"), attribute("type", "text")) {
		assert.Equal(t, "decimal", value(n, "inputmode"), value(n, "name"))
	}
}

func TestEveryReadoutCarriesTheReportsNumber(t *testing.T) {
	absent := 0
	for _, address := range links {
		p := NewPlanner()
		p.Open(address)
		root := show(t, p)
		missing := 0
		for _, s := range core.Readouts {
			for _, o := range s.Rows {
				require.NotNil(t, find(root, attribute("data-key", o.Key)), o.Key)
			}
		}
		for _, n := range all(root, carries("data-key")) {
			key := value(n, "data-key")
			want := inReport(t, &p.Report, key)
			assert.Equal(t, want, value(n, "data-value"), "%s in %s", key, address)
			if want == "" {
				missing++
				assert.True(t, strings.HasPrefix(tidy(n), "–"), key)
			} else {
				assert.Regexp(t, `^−?[0-9]`, tidy(n), key)
			}
			assert.NotContains(t, tidy(n), "NaN")
		}
		if address == "v=1" {
			assert.Equal(t, 1, missing, "the standard board has every figure but one: its steepest climb, level ground, never gets too hot")
		}
		absent += missing
	}
	assert.Positive(t, absent, "a figure that the report leaves out is seen too")
}

func TestEveryReadoutHasItsWords(t *testing.T) {
	for _, units := range []Units{Metric, US} {
		p := NewPlanner()
		p.SetUnits(units)
		unfold(p)
		root := show(t, p)
		for _, n := range all(root, carries("data-key")) {
			label := ""
			for _, l := range all(n.Parent.Parent, func(m *html.Node) bool { return class("label")(m) || m.Data == "dt" }) {
				if l.Parent == n.Parent || l.Parent == n.Parent.Parent && l.Data == "dt" {
					label = tidy(l)
				}
			}
			assert.NotEmpty(t, label, value(n, "data-key"))
			if o := core.ReadoutFor(value(n, "data-key")); o != nil {
				_, unit := units.shown(o, 1)
				assert.True(t, strings.HasSuffix(tidy(n), unit), "%s has no unit: %s", o.Key, tidy(n))
			}
		}
		for _, s := range core.Readouts {
			for _, o := range s.Rows {
				assert.Contains(t, text(root), o.Help)
			}
		}
	}
}

func TestEveryStatusIsAWordAndAShape(t *testing.T) {
	shapes := map[string]map[string]bool{}
	for _, address := range links {
		p := NewPlanner()
		p.Open(address)
		root := show(t, p)
		for _, n := range all(root, class("st")) {
			word, shape := tidy(n), find(n, element("path"))
			if word == "" {
				assert.Nil(t, shape, "a shape without a word")
				continue
			}
			require.NotNil(t, shape, "a word without a shape")
			assert.Equal(t, "true", value(shape.Parent, "aria-hidden"))
			if shapes[word] == nil {
				shapes[word] = map[string]bool{}
			}
			shapes[word][value(shape, "d")] = true
		}
		// Nothing is colored that has no word beside it.
		for _, n := range all(root, class("hb")) {
			for _, s := range []limit.Status{limit.Clear, limit.Tight, limit.Over} {
				if class(string(s))(n) {
					around := above(n, func(m *html.Node) bool { return find(m, class("st")) != nil })
					require.NotNil(t, around)
					assert.Contains(t, tidy(around), string(s))
				}
			}
		}
	}
	require.Len(t, shapes, 3, "clear, tight and over are all seen")
	seen := map[string]bool{}
	for word, list := range shapes {
		assert.Len(t, list, 1, word)
		for d := range list {
			assert.False(t, seen[d], "two words share a shape")
			seen[d] = true
		}
	}
}

var percentage = regexp.MustCompile(`^(100(\.0)?|[0-9]{1,2}(\.[0-9])?)%$`)

func TestBarsStayInTheirFrame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := NewPlanner()
		p.Build = randomBuild(t)
		p.plan()
		if p.Fault != "" {
			t.Fatal(p.Fault)
		}
		unfold(p)
		root := show(t, p)
		bars := all(root, class("hb"))
		if len(bars) < 10 {
			t.Fatalf("only %d bars", len(bars))
		}
		for _, n := range bars {
			if width := value(find(n, class("used")), "width"); !percentage.MatchString(width) {
				t.Fatalf("%s: used %s of %s", p.Link(), width, value(n, "class"))
			}
			if notch := find(n, class("notch")); notch != nil && !percentage.MatchString(value(notch, "x")) {
				t.Fatalf("%s: notch at %s", p.Link(), value(notch, "x"))
			}
		}
		if strings.Contains(text(root), "NaN") || strings.Contains(text(root), "Inf") {
			t.Fatalf("%s shows what is no number", p.Link())
		}
	})
}

func TestBarFillsWithWhatIsUsed(t *testing.T) {
	for _, c := range []struct {
		bar         *limit.Bar
		width, x, s string
	}{
		{&limit.Bar{Used: 25, Limit: 100, Want: 80, Status: limit.Clear}, "25.0%", "80.0%", "clear"},
		{&limit.Bar{Used: 250, Limit: 100, Want: 80, Status: limit.Over}, "100.0%", "80.0%", "over"},
		{&limit.Bar{Used: -5, Limit: 100, Want: 100, Status: limit.Clear}, "0.0%", "", "clear"},
		{&limit.Bar{Used: 0, Limit: 0, Status: limit.Over}, "100%", "", "over"},
		{&limit.Bar{Used: 3, Limit: 4, Want: -1, Status: limit.Tight}, "75.0%", "0.0%", "tight"},
		{nil, "0%", "", "none"},
	} {
		h := &HeadroomBar{c.bar}
		assert.Equal(t, c.width, h.used())
		assert.Equal(t, c.s, h.status())
		assert.Equal(t, c.x != "", h.notched())
		if h.notched() {
			assert.Equal(t, c.x, h.want())
		}
	}
}

func TestIdsAreUniqueAndFound(t *testing.T) {
	root := show(t, NewPlanner())
	ids := map[string]int{}
	for _, n := range all(root, carries("id")) {
		ids[value(n, "id")]++
	}
	for id, count := range ids {
		assert.Equal(t, 1, count, id)
	}
	for _, name := range []string{"for", "aria-describedby", "aria-labelledby"} {
		for _, n := range all(root, carries(name)) {
			for _, id := range strings.Fields(value(n, name)) {
				assert.Equal(t, 1, ids[id], "%s of %s", name, value(n, "name"))
			}
		}
	}
	assert.Len(t, all(root, element("h1")), 1)
}
