package core_test

import (
	"encoding/json"
	"flag"
	"fmt"
	"maps"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"headroom/core"
	"headroom/core/build"
	"headroom/core/internal/randombuild"
	"headroom/core/link"

	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "write testdata/plan_native.json anew, natively")

const nativeFile = "../testdata/plan_native.json"

// frozen is one build with the figures that native Go computed for it.
type frozen struct {
	Link    string         `json:"link"`
	Figures map[string]any `json:"figures"`
}

// figures flattens a report to its leading numbers and words: everything but inputs, texts, and all points but one of each curve.
func figures(t *testing.T, b build.Build) map[string]any {
	t.Helper()
	r, err := core.Plan(b)
	require.NoError(t, err)
	out := map[string]any{}
	var walk func(path string, v any)
	walk = func(path string, v any) {
		switch v := v.(type) {
		case map[string]any:
			for name, inner := range v {
				walk(strings.TrimPrefix(path+"."+name, "."), inner)
			}
		case []any:
			switch {
			case strings.HasPrefix(path, "protection.rows"):
				for i, inner := range v {
					walk(fmt.Sprintf("%s.%d", path, i), inner)
				}
			case len(v) > 0:
				walk(path+".middle", v[len(v)/2])
			}
		default:
			out[path] = v
		}
	}
	root := tree(t, r)
	for _, leave := range []string{"build", "limits", "notes", "why"} {
		delete(root, leave)
	}
	walk("", root)
	return out
}

// TestAgreesWithNative holds every figure of 60 builds against those that native Go computed, to 1e-9. Natively it guards against
// change; under GOOS=js GOARCH=wasm it proves that the page shows what the command line prints.
func TestAgreesWithNative(t *testing.T) {
	if *update {
		list := make([]frozen, 60)
		for i := range list {
			b := build.Default()
			switch {
			case i > 40:
				b = randombuild.Any().Example(i)
			case i > 0:
				b = randombuild.Plausible().Example(i)
			}
			list[i] = frozen{link.Encode(&b, nil), figures(t, b)}
		}
		text, err := json.MarshalIndent(list, "", " ")
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(nativeFile, append(text, '\n'), 0o644))
	}
	text, err := os.ReadFile(nativeFile)
	require.NoError(t, err)
	var list []frozen
	require.NoError(t, json.Unmarshal(text, &list))
	require.Len(t, list, 60)
	for _, want := range list {
		l := link.Decode(want.Link)
		require.Empty(t, l.Problems)
		got := figures(t, l.Build)
		require.Greater(t, len(want.Figures), 80, want.Link)
		require.Equal(t, slices.Sorted(maps.Keys(want.Figures)), slices.Sorted(maps.Keys(got)), want.Link)
		for path, v := range want.Figures {
			number, is := v.(float64)
			if !is {
				require.Equal(t, v, got[path], "%s of %s", path, want.Link)
				continue
			}
			other := got[path].(float64)
			require.LessOrEqual(t, math.Abs(other-number), 1e-9*math.Max(1e-3, math.Abs(number)), "%s of %s: %v, not %v", path, want.Link, other, number)
		}
	}
}
