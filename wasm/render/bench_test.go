package render

import (
	"strconv"
	"testing"

	"github.com/vugu/vugu"
)

// benchTree has 600 elements; each of its 100 rows shows i in an attribute, a property and two texts.
func benchTree(i int) *vugu.BuildResults {
	root := el("main")
	for row := range 100 {
		v := strconv.Itoa(row*1000 + i)
		root.AppendChild(el("section", "class=row", "data-k="+strconv.Itoa(row),
			el("label", "class=label", "series"),
			el("input", "type=range", "min=0", "max=100", "name=s", set("value", v), on("input", func(vugu.DOMEvent) {})),
			el("output", "data-key=pack.full_v", "data-value="+v, v),
			el("svg", "viewBox=0 0 10 10", el("path", "d=M0 0L"+v+" 9")),
		))
	}
	return tree(root)
}

func BenchmarkPatch(b *testing.B) {
	trees := []*vugu.BuildResults{benchTree(0), benchTree(1)}
	run := func(b *testing.B, step int) {
		r := New()
		r.Patch(trees[0])
		r.Patch(trees[1])
		r.Patch(trees[0])
		b.ReportAllocs()
		size := 0
		i := 0
		for b.Loop() {
			i += step
			size = len(r.Patch(trees[i%2]))
		}
		b.ReportMetric(float64(size), "batch-B")
	}
	b.Run("all change", func(b *testing.B) { run(b, 1) })
	b.Run("nothing changes", func(b *testing.B) { run(b, 0) })
	b.Run("first", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			New().Patch(trees[0])
		}
	})
}
