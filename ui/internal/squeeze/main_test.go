package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What the generator writes, and what is made of it.
var squeezed = []struct{ before, after string }{
	{"\t\tvgn = &vugu.VGNode{Type: vugu.VGNodeType(1), Data: \"\\n\\t\\t\"}\n\t\tvgparent.AppendChild(vgn)\n\t\tlast()\n", "\t\tlast()\n"},
	{"vgn = &vugu.VGNode{Type: vugu.VGNodeType(1), Data: \" \"}\n\tvgparent.AppendChild(vgn)\n", "words(vgparent, \" \")\n"},
	{"vgn = &vugu.VGNode{Type: vugu.VGNodeType(1), Data: \"\\n\\twords\"}\n\tvgparent.AppendChild(vgn)\n", "words(vgparent, \"\\n\\twords\")\n"},
	{"vgn = &vugu.VGNode{Type: vugu.VGNodeType(3), Namespace: \"\", Data: \"dt\", Attr: []vugu.VGAttribute(nil)}\n\t\tvgparent.AppendChild(vgn)\n", "vgn = put(vgparent, \"dt\")\n"},
	{
		"vgn = &vugu.VGNode{Type: vugu.VGNodeType(3), Namespace: \"\", Data: \"p\", Attr: []vugu.VGAttribute{{Namespace: \"\", Key: \"class\", Val: \"a \\\"b\\\"\"}, vugu.VGAttribute{Namespace: \"\", Key: \"id\", Val: \"\"}}}\n\tvgparent.AppendChild(vgn)\n",
		"vgn = put(vgparent, \"p\", \"class\", \"a \\\"b\\\"\", \"id\", \"\")\n",
	},
	{"vgn.AddAttrInterface(\"class\", \"line \"+string(c.f.Status))\n", "attr(vgn, \"class\", \"line \"+string(c.f.Status))\n"},
	{"vgn.SetInnerHTML(vugu.HTML(\"Pack\"))\n", "markup(vgn, vugu.HTML(\"Pack\"))\n"},
	{"vgn.SetInnerHTML(c.drawingHTML())\n", "markup(vgn, c.drawingHTML())\n"},
	{"vgn.SetInnerHTML(c.f.Number)\n", "content(vgn, c.f.Number)\n"},
	{
		"{\n\tb, err := vjson.Marshal(c.E.Text)\n\tif err != nil {\n\t\tpanic(err)\n\t}\n\tvgn.Prop = append(vgn.Prop, vugu.VGProperty{Key: \"value\", JSONVal: vjson.RawMessage(b)})\n}\n",
		"property(vgn, \"value\", c.E.Text)\n",
	},
	{
		"{\n\tb, err := vjson.Marshal(c.P.IsOpen(x))\n\tif err != nil {\n\t\tpanic(err)\n\t}\n\tvgn.Prop = append(vgn.Prop, vugu.VGProperty{Key: \"open\", JSONVal: vjson.RawMessage(b)})\n}\n",
		"flag(vgn, \"open\", c.P.IsOpen(x))\n",
	},
	{
		"vgn.DOMEventHandlerSpecList = append(vgn.DOMEventHandlerSpecList, vugu.DOMEventHandlerSpec{\n\tEventType:\t\"click\",\n\tFunc:\t\tfunc(event vugu.DOMEvent) { c.P.Ask(c.f.Key) },\n\t// TODO: implement\n})\n",
		"on(vgn, \"click\", func(event vugu.DOMEvent) { c.P.Ask(c.f.Key) })\n",
	},
	{
		"vgcompKey := vugu.MakeCompKey(0xEB^vgin.CurrentPositionHash(), vgiterkey)\n\t// ask\n\tvgcomp, _ := vgin.BuildEnv.CachedComponent(vgcompKey).(*Slider)\n\tif vgcomp == nil {\n\t\t// new\n\t\tvgcomp = new(Slider)\n\t\tvgin.BuildEnv.WireComponent(vgcomp)\n\t}\n\tvgin.BuildEnv.UseComponent(vgcompKey, vgcomp)\t// keep\n\tvgcomp.Key = s\n\tvgout.Components = append(vgout.Components, vgcomp)\n\tvgn = &vugu.VGNode{Component: vgcomp}\n\tvgparent.AppendChild(vgn)\n",
		"vgcomp := component[Slider](vgin, 0xEB, vgiterkey)\n\tvgcomp.Key = s\n\tvgn = nest(vgout, vgparent, vgcomp)\n",
	},

	{
		"vgcompKey := vugu.MakeCompKey(0xEB^vgin.CurrentPositionHash(), vgiterkey)\n\t// ask\n\tvgcomp, _ := vgin.BuildEnv.CachedComponent(vgcompKey).(*Status)\n\tif vgcomp == nil {\n\t\t// new\n\t\tvgcomp = new(Status)\n\t\tvgin.BuildEnv.WireComponent(vgcomp)\n\t}\n\tvgin.BuildEnv.UseComponent(vgcompKey, vgcomp)\t// keep\n\tvgcomp.Status = s\n\tvgout.Components = append(vgout.Components, vgcomp)\n\tvgn = &vugu.VGNode{Component: vgcomp}\n\tvgparent.AppendChild(vgn)\n",
		"vgcomp := &Status{}\n\tvgcomp.Status = s\n\tplace(vgin, vgout, vgparent, vgcomp)\n",
	},
	{
		"{\n\tvar vgcomp vugu.Builder = c.row(i)\n\tif vgcomp != nil {\n\t\tvgin.BuildEnv.WireComponent(vgcomp)\n\t\tvgout.Components = append(vgout.Components, vgcomp)\n\t\tvgn = &vugu.VGNode{Component: vgcomp}\n\t\tvgparent.AppendChild(vgn)\n\t}\n}\n",
		"place(vgin, vgout, vgparent, c.row(i))\n",
	},
}

func TestSqueezeSaysTheSameInLess(t *testing.T) {
	for _, c := range squeezed {
		file := filepath.Join(t.TempDir(), "gen.go")
		require.NoError(t, os.WriteFile(file, []byte(c.before), 0o644))
		require.NoError(t, squeeze(file))
		got, err := os.ReadFile(file)
		require.NoError(t, err)
		assert.Equal(t, c.after, string(got))
		require.NoError(t, squeeze(file))
		again, err := os.ReadFile(file)
		require.NoError(t, err)
		assert.Equal(t, c.after, string(again), "squeezed twice")
	}
	assert.Error(t, squeeze(filepath.Join(t.TempDir(), "absent")))
}

// Nothing that the generator writes out at length is left in the page's components: a template with a form that is not known here would be.
func TestNothingIsLeftToSqueeze(t *testing.T) {
	text, err := os.ReadFile("../../0_components_gen.go")
	require.NoError(t, err)
	for _, long := range []string{"AddAttrInterface", "SetInnerHTML", "MakeCompKey", "DOMEventHandlerSpecList", "vjson.Marshal(", "vgparent.AppendChild(vgcomp"} {
		assert.False(t, strings.Contains(string(text), long), long)
	}
}
