package ui

import (
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vugu/html"
	"pgregory.net/rapid"

	"headroom/core/link"
)

func saved(p *Planner) (list []string) {
	for _, s := range p.shelf.list {
		list = append(list, s.Name+": "+s.Link)
	}
	return list
}

func keeping(t *testing.T) (*Planner, map[string]string) {
	t.Helper()
	kept := map[string]string{}
	p := opened(t, "v=1")
	p.OnKeep = func(name, text string) error { kept[name] = text; return nil }
	return p, kept
}

// recalled is what a device gives back that kept these.
func recalled(kept map[string]string) func(string) string {
	return func(name string) string { return kept[name] }
}

func TestListIsWrittenAtOnce(t *testing.T) {
	p, kept := keeping(t)
	same := func() {
		t.Helper()
		q := opened(t, "v=1")
		q.Recall(recalled(kept))
		assert.Equal(t, saved(p), saved(q))
		assert.Empty(t, q.shelf.lines)
	}
	p.SaveBuild()
	require.Len(t, p.shelf.list, 1)
	assert.Contains(t, p.shelf.list[0].Name, "18s2p", "a build without a name gets one")
	same()
	p.Slide("s", "20")
	p.TypeName("  hill \n climber ")
	p.NameKey("Enter")
	assert.Equal(t, "hill climber: v=1&s=20", saved(p)[1])
	same()
	p.Slide("s", "22")
	p.TypeName("hill climber")
	p.SaveBuild()
	assert.Equal(t, []string{"hill climber: v=1&s=22"}, saved(p)[1:], "the same name is the same build, replaced")
	p.TakeBack()
	assert.Equal(t, "hill climber: v=1&s=20", saved(p)[1], "which can be taken back")
	same()
	id := p.shelf.list[1].ID
	p.Rename(id)
	p.TypeRename("other")
	p.RenameKey("Escape")
	assert.Equal(t, "hill climber", p.shelf.list[1].Name)
	p.Rename(id)
	p.TypeRename(p.shelf.list[0].Name)
	p.RenameKey("Enter")
	assert.Equal(t, p.shelf.list[0].Name+" (2)", p.shelf.list[1].Name)
	same()
	before := saved(p)
	p.Delete(id)
	assert.Len(t, p.shelf.list, 1)
	same()
	p.TakeBack()
	assert.Equal(t, before, saved(p))
	same()
	p.TakeBack()
	assert.Equal(t, before, saved(p), "once")
	p.Delete(id)
	p.Delete(p.shelf.list[0].ID)
	same()
	p.Delete(99)
	p.OpenSaved(99)
	assert.Equal(t, "v=1&s=22", p.Link())
}

func TestClosedStorageIsSaid(t *testing.T) {
	p := opened(t, "v=1")
	p.OnKeep = func(string, string) error { return errors.New("quota") }
	p.SaveBuild()
	p.SetOpen(savedID, true)
	n := find(show(t, p), attribute("data-message", "saved-trouble"))
	assert.Contains(t, tidy(n), "keeps nothing")
	assert.Len(t, p.shelf.list, 1)
	p.OnKeep = func(string, string) error { return nil }
	p.TypeName("again")
	p.SaveBuild()
	assert.Empty(t, p.shelf.trouble)
}

func TestExportAndImport(t *testing.T) {
	p, _ := keeping(t)
	var file []byte
	p.OnSave = func(name, mime string, content []byte) {
		assert.Equal(t, "headroom-builds.json", name)
		assert.Equal(t, "application/json", mime)
		file = content
	}
	for _, name := range []string{"a", "“b” & <c>", "日本 👩‍🔧"} {
		p.TypeName(name)
		p.SaveBuild()
		p.Slide("s", "20")
	}
	p.Export()
	require.True(t, json.Valid(file))
	assert.Contains(t, string(file), `"v=1&s=20"`, "links can be read by eye")
	q, kept := keeping(t)
	assert.True(t, q.Import("\ufeff"+string(file)))
	assert.Equal(t, saved(p), saved(q))
	assert.Equal(t, "3 builds added.", q.shelf.message)
	assert.NotEmpty(t, kept[KeepBuilds])
	q.Import(string(file))
	assert.Len(t, q.shelf.list, 3, "what is there already is not added twice")
	assert.Contains(t, q.shelf.message, "Already there: 3")
	q.Import(strings.Replace(string(file), "v=1&s=20", "v=1&s=21", 1))
	assert.Equal(t, "“b” & <c> (2): v=1&s=21", saved(q)[3], "a name that is taken gets a number")
	q.TakeBack()
	assert.Equal(t, saved(p), saved(q))
}

func TestBrokenFilesLoseNothing(t *testing.T) {
	const good = `{"name":"good","link":"v=1&s=20"}`
	file := func(entries string) string {
		return `{"format":"headroom-builds","version":1,"builds":[` + entries + `]}`
	}
	for name, c := range map[string]struct {
		text  string
		added int
		says  string
	}{
		"nothing":            {" \n", 0, "no builds"},
		"half a file":        {file(good)[:60], 0, "not a whole file"},
		"another format":     {`{"format":"other","builds":[` + good + `]}`, 0, "does not say"},
		"a list":             {`[` + good + `]`, 0, "not a whole file"},
		"no builds":          {file(""), 0, "no builds"},
		"builds is a text":   {`{"format":"headroom-builds","builds":"x"}`, 0, "not a whole file"},
		"a newer version":    {strings.Replace(file(good), `"version":1`, `"version":9`, 1), 1, "newer version"},
		"an entry is none":   {file(`7,null,"x",` + good), 1, "Build 1 is not"},
		"no link":            {file(`{"name":"bare"},` + good), 1, "bare"},
		"a link to nothing":  {file(`{"name":"n","link":"hello"},` + good), 1, "no link with a build"},
		"a link too long":    {file(`{"name":"n","link":"v=1&s=` + strings.Repeat("9", link.MaxBytes) + `"},` + good), 1, "longer"},
		"name is a number":   {file(`{"name":3,"link":"v=1"},` + good), 1, "Build 1"},
		"too large":          {strings.Repeat("x", maxFileBytes+1), 0, "larger"},
		"no file of ours":    {"%PDF-1.4\nbinary\x00\xff", 0, "Line 1"},
		"too much to say":    {file(strings.Repeat("1,", 40) + good), 1, "more."},
		"deep":               {strings.Repeat("[", 100000), 0, "not a whole file"},
		"links, one a line":  {"https://planner.example/#v=1&s=20\n\nnonsense\n", 1, "Line 3"},
		"more than it holds": {file(many(maxBuilds + 3)), maxBuilds - 1, "found no place"},
	} {
		t.Run(name, func(t *testing.T) {
			p, kept := keeping(t)
			p.TypeName("mine")
			p.SaveBuild()
			assert.False(t, p.Import(c.text))
			assert.Len(t, p.shelf.list, 1+c.added)
			assert.Equal(t, "mine: v=1", saved(p)[0])
			assert.Contains(t, strings.Join(p.shelf.lines, "\n"), c.says)
			assert.LessOrEqual(t, len(p.shelf.lines), maxLines+1)
			assert.Less(t, len(strings.Join(p.shelf.lines, "")), 3000)
			assert.Contains(t, kept[KeepBuilds], "mine")
			p.TypePasted(c.text)
			p.TakePasted()
			assert.Equal(t, c.text, p.shelf.pasted, "what could not be read is still there to mend")
		})
	}
	// A value that cannot be used is told when the build is opened, and kept until then.
	p, _ := keeping(t)
	assert.True(t, p.Import(file(`{"name":"x","link":"v=1&s=99&later=1"}`)))
	assert.Equal(t, "x: v=1&s=99&later=1", saved(p)[0])
	p.OpenSaved(p.shelf.list[0].ID)
	assert.NotEmpty(t, p.Problems)
}

func many(n int) string {
	var list []string
	for i := range n {
		list = append(list, fmt.Sprintf(`{"name":"n%d","link":"v=1&rider=%d"}`, i, 40+i%100))
	}
	return strings.Join(list, ",")
}

func TestUnreadableListIsKeptAside(t *testing.T) {
	p, kept := keeping(t)
	broken := `{"format":"headroom-builds","version":1,"builds":[{"name":"a","link":"v=1"},{"name":"b"}]}`
	p.Recall(recalled(map[string]string{KeepBuilds: broken}))
	assert.Equal(t, broken, kept[KeepUnread])
	assert.Len(t, p.shelf.list, 1)
	var file string
	p.OnSave = func(_, _ string, content []byte) { file = string(content) }
	p.SetOpen(savedID, true)
	require.NotNil(t, find(show(t, p), attribute("name", "save-unread")))
	p.SaveUnread()
	assert.Equal(t, broken, file)
}

func TestAnotherWindowsListIsTakenOver(t *testing.T) {
	p, kept := keeping(t)
	p.TypeName("a")
	p.SaveBuild()
	q := opened(t, "v=1&s=20")
	q.OnKeep = p.OnKeep
	q.Recall(recalled(kept))
	q.TypeName("b")
	q.SaveBuild()
	id := p.shelf.list[0].ID
	p.RecallBuilds(kept[KeepBuilds])
	assert.Equal(t, saved(q), saved(p))
	assert.Equal(t, id, p.shelf.list[0].ID)
	assert.True(t, p.shelf.list[0].Compared, "what was compared still is")
}

func TestHostileNamesAreText(t *testing.T) {
	plain := opened(t, "v=1")
	count := func(p *Planner) int { return len(all(show(t, p), func(*html.Node) bool { return true })) }
	prepare := func(p *Planner, name string) {
		p.SetOpen(savedID, true)
		p.SetOpen(compareID, true)
		p.TypeName(name)
		p.SaveBuild()
		p.Slide("s", "19")
	}
	prepare(plain, "plain")
	want := count(plain)
	for _, evil := range []string{"<script>alert(1)</script>", `"><img src=x onerror=alert(1)>`, "</b></ul><iframe>", "' onclick='alert(1)", "&lt;b&gt;", "\u202eevil\u2066", "a\x00b\x1b", strings.Repeat("<b>", 400)} {
		p := opened(t, "v=1")
		prepare(p, evil)
		assert.Equal(t, want, count(p), "%.40q", evil)
		root := show(t, p)
		title := find(root, func(n *html.Node) bool { return class("title")(n) && n.Data == "b" })
		assert.Equal(t, p.shelf.list[0].Name, text(title))
		assert.LessOrEqual(t, len([]rune(text(title))), maxNameRunes)
		for _, r := range text(title) {
			assert.Greater(t, r, rune(31))
			assert.NotContains(t, "\u202e\u2066", string(r))
		}
	}
}

func TestCardNamesAreUnique(t *testing.T) {
	p := opened(t, "v=1")
	p.SetOpen(savedID, true)
	p.SetOpen(compareID, true)
	p.SetOpen("out-paste", true)
	p.TogglePin()
	for _, name := range []string{"a", "b"} {
		p.TypeName(name)
		p.SaveBuild()
	}
	root := show(t, p)
	seen := map[string]bool{}
	for _, card := range []string{"saved", "compare", "edit"} {
		for _, n := range all(find(root, class(card)), element("button")) {
			assert.NotEmpty(t, value(n, "name"))
			name := value(n, "aria-label")
			if name == "" {
				name = tidy(n)
			}
			assert.NotEmpty(t, name)
			assert.False(t, seen[name], name)
			seen[name] = true
		}
	}
	ids := map[string]bool{}
	for _, n := range all(root, carries("id")) {
		assert.False(t, ids[value(n, "id")], value(n, "id"))
		ids[value(n, "id")] = true
	}
}

func TestAnyTextIsReadWithoutHarm(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := NewPlanner()
		p.Import(rapid.OneOf(rapid.String(), rapid.Map(rapid.String(), func(s string) string {
			name, _ := json.Marshal(s)
			return `{"format":"headroom-builds","version":1,"builds":[{"name":` + string(name) + `,"link":"v=1"}]}`
		})).Draw(t, "text"))
		list, problems := readBuilds(string(writeBuilds(p.shelf.list)))
		if len(problems) > 0 || len(list) != len(p.shelf.list) {
			t.Fatalf("%v", problems)
		}
		for i := range list {
			if list[i].Name != p.shelf.list[i].Name || list[i].Name == "" {
				t.Fatalf("%q came back as %q", p.shelf.list[i].Name, list[i].Name)
			}
		}
	})
}
