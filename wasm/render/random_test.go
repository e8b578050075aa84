package render

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/vugu/vugu"
	"pgregory.net/rapid"
)

func TestPatchesGiveWhatAFullRenderGives(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, r, p := &world{}, New(), newPage()
		for i, roots := range drawRounds(t) {
			w.round = i
			results := w.results(roots)
			if batch := r.Patch(results); batch != nil {
				p.apply(batch)
			}
			want := w.expected(roots)
			require.Equal(t, want.String(), p.mount.String(), "round %d", i)
			require.Nil(t, r.Patch(results), "nothing changed")
			checkHandlers(t, w, r, p.mount, want)
			require.Len(t, r.nodes, countElements(p.mount)-1, "elements kept after they left the page")
		}
	})
}

// checkHandlers has every element's events run the handlers of this round, target outward.
func checkHandlers(t *rapid.T, w *world, r *Renderer, have, want *dom) {
	if have.tag == "" {
		return
	}
	for _, eventType := range []string{"click", "focus"} {
		var labels []string
		for n := want; n != nil; n = n.parent {
			for _, l := range n.labels {
				if strings.HasPrefix(l, eventType) {
					labels = append(labels, l)
				}
			}
			if eventType == "focus" {
				break
			}
		}
		w.log = nil
		ran := r.Dispatch(have.id, eventType, vugu.NewDOMEvent(nil, nil))
		require.Equal(t, labels, w.log)
		require.Equal(t, len(labels) > 0, ran)
	}
	for i := range have.children {
		checkHandlers(t, w, r, have.children[i], want.children[i])
	}
}

func countElements(n *dom) int {
	if n.tag == "" {
		return 0
	}
	count := 1
	for _, c := range n.children {
		count += countElements(c)
	}
	return count
}

func TestLongestRisingAgreesWithTryingAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		list := rapid.SliceOfN(rapid.IntRange(-1, 8), 0, 9).Draw(t, "list")
		marks := longestRising(list)
		count, last := 0, -1
		for i, m := range marks {
			if m {
				require.Greater(t, list[i], last)
				count, last = count+1, list[i]
			}
		}
		best := 0
		for mask := range 1 << len(list) {
			n, last := 0, -1
			for i, v := range list {
				if mask>>i&1 == 1 {
					if v <= last {
						n = -1
						break
					}
					n, last = n+1, v
				}
			}
			best = max(best, n)
		}
		require.Equal(t, best, count)
	})
}
