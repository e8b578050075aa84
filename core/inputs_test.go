package core_test

import (
	"encoding/json"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"headroom/core"
	"headroom/core/build"
	"headroom/core/link"
)

// Whoever has a printed report can plan the same build again.
func TestPrintedBuildCanBePlannedAgain(t *testing.T) {
	own := build.Default()
	require.Nil(t, build.FieldFor("profile").Set(&own, "own"))
	require.Nil(t, build.FieldFor("own").Set(&own, "500~20~2_800~25~-1"))
	for _, b := range append(odd(100), own) {
		r, err := core.Plan(b)
		require.NoError(t, err)
		text, err := json.Marshal(r.Build)
		require.NoError(t, err)
		var printed map[string]any
		require.NoError(t, json.Unmarshal(text, &printed))
		again := b
		for i := range build.Fields {
			f := &build.Fields[i]
			require.Contains(t, printed, f.Key)
			if f.Optional && !f.Given(&b) {
				continue // the class value is printed, and stays the class's
			}
			require.Nil(t, f.Set(&again, fmt.Sprint(printed[f.Key])), f.Key)
		}
		require.Equal(t, link.Encode(&b, nil), link.Encode(&again, nil))
	}
}
