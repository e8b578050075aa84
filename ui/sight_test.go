package ui

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vugu/vugu"
)

// screen is the whole page over one planner, drawn frame by frame.
type screen struct {
	env  *vugu.BuildEnv
	root *Root
}

func newScreen(t *testing.T, p *Planner) *screen {
	t.Helper()
	env, err := vugu.NewBuildEnv()
	require.NoError(t, err)
	return &screen{env, &Root{P: p}}
}

// frame draws the page once and returns the nodes of its cards by their data-sight.
func (g *screen) frame() map[string]*vugu.VGNode {
	results := g.env.RunBuild(g.root)
	cards := map[string]*vugu.VGNode{}
	var walk func(n *vugu.VGNode)
	walk = func(n *vugu.VGNode) {
		if n.Component != nil {
			for _, o := range results.ResultFor(n.Component).Out {
				walk(o)
			}
			return
		}
		for _, a := range n.Attr {
			if a.Key == "data-sight" {
				cards[a.Val] = n
				return
			}
		}
		for child := n.FirstChild; child != nil; child = child.NextSibling {
			walk(child)
		}
	}
	for _, o := range results.Out.Out {
		walk(o)
	}
	return cards
}

func TestCardOutOfSightWaitsWhileAnInputMoves(t *testing.T) {
	p := opened(t, "v=1")
	g := newScreen(t, p)
	near, far := sectionIDs[0], sectionIDs[1]
	p.SetOpen(near, true)
	p.SetOpen(far, true)
	p.SetSight(near, true)
	p.SetSight(far, false)
	first := g.frame()
	require.NotNil(t, first[near])
	require.NotNil(t, first[far])
	require.Len(t, first, len(g.root.cards), "every card that may wait says its name")

	p.Slide("s", "20")
	assert.True(t, p.Moving())
	next := g.frame()
	assert.Same(t, first[far], next[far], "it is out of sight")
	assert.NotSame(t, first[near], next[near])
	assert.False(t, p.CatchUp(), "nothing catches up while it moves")
	assert.Same(t, first[far], g.frame()[far])

	p.SetOpen(far, false)
	assert.NotSame(t, first[far], g.frame()[far], "it is folded")
	p.SetOpen(far, true)
	first = g.frame()
	p.Slide("s", "19")
	require.Same(t, first[far], g.frame()[far])
	p.SetSight(far, true)
	assert.NotSame(t, first[far], g.frame()[far], "it has come into sight")

	for name, act := range map[string]func(){
		"rest":         p.Rest,
		"settling":     p.Settle,
		"another act":  p.Stir,
		"undo":         p.Undo,
		"another link": func() { p.Stir(); p.Open("v=1&s=24") },
	} {
		p.SetSight(far, false)
		p.Slide("s", "21")
		unseen := g.frame()[far]
		p.Slide("s", "23")
		require.Same(t, unseen, g.frame()[far])
		act()
		assert.NotSame(t, unseen, g.frame()[far], name)
	}
}

func TestCardsCatchUpAFewAFrame(t *testing.T) {
	p := opened(t, "v=1")
	g := newScreen(t, p)
	for _, name := range sectionIDs {
		p.SetOpen(name, true)
		p.SetSight(name, false)
	}
	before := g.frame()
	p.CatchUp()
	p.Slide("s", "20")
	g.frame()
	p.CatchUp()
	p.Rest()
	caught, frames := 0, 0
	for more := true; more; frames++ {
		require.Less(t, frames, 100, "it never ends")
		now := g.frame()
		old := caught
		caught = 0
		for _, name := range sectionIDs {
			if now[name] != before[name] {
				caught++
			}
		}
		assert.LessOrEqual(t, caught-old, catchUp)
		more = p.CatchUp()
	}
	assert.Equal(t, len(sectionIDs), caught)
}
