package core_test

import (
	"encoding/json"
	"testing"

	"headroom/core"
	"headroom/core/internal/randombuild"
	"headroom/core/limit"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Figures against Plan: the same JSON once what is left out is left out of both.
func TestFiguresAreThoseOfPlan(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := randombuild.Any().Draw(t, "build")
		plan, err := core.Plan(b)
		require.NoError(t, err)
		figures, err := core.Figures(b)
		require.NoError(t, err)
		plan.Envelope, plan.Rules, plan.Range.BySpeed, plan.Range.LowKm, plan.Range.HighKm = core.Envelope{}, nil, nil, nil, nil
		want, err := json.Marshal(plan)
		require.NoError(t, err)
		got, err := json.Marshal(figures)
		require.NoError(t, err)
		require.JSONEq(t, string(want), string(got))
	})
}

func TestWorstIsTheWorstOfNotesAndBars(t *testing.T) {
	seen := map[limit.Status]int{}
	rapid.Check(t, func(t *rapid.T) {
		r, err := core.Figures(randombuild.Plausible().Draw(t, "build"))
		require.NoError(t, err)
		status, code, why := r.Worst()
		seen[status]++
		for _, n := range r.Notes {
			require.False(t, n.Status.Worse(status), n.Code)
		}
		for _, bar := range r.Limits {
			require.False(t, bar.Status.Worse(status), bar.Key)
		}
		require.Equal(t, status == limit.Clear, code == "")
		require.Equal(t, status == limit.Clear, why == "")
	})
	assert.Positive(t, seen[limit.Over])
}
