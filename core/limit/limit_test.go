package limit_test

import (
	"math"
	"testing"

	"headroom/core/limit"

	"github.com/stretchr/testify/assert"
)

func TestJudgeAtItsBoundaries(t *testing.T) {
	below := func(v float64) float64 { return math.Nextafter(v, math.Inf(-1)) }
	above := func(v float64) float64 { return math.Nextafter(v, math.Inf(1)) }
	for _, c := range []struct {
		used, want, limit float64
		status            limit.Status
	}{
		{0, 80, 100, limit.Clear}, {below(80), 80, 100, limit.Clear}, {80, 80, 100, limit.Clear},
		{above(80), 80, 100, limit.Tight}, {below(100), 80, 100, limit.Tight}, {100, 80, 100, limit.Tight},
		{above(100), 80, 100, limit.Over}, {1e300, 80, 100, limit.Over},
		{100, 100, 100, limit.Clear}, {0, 0, 0, limit.Over}, {0, -1, -1, limit.Over},
		{math.NaN(), 80, 100, limit.Over}, {1, 80, math.NaN(), limit.Over}, {1, math.NaN(), 100, limit.Tight}, {math.Inf(1), 80, 100, limit.Over},
	} {
		assert.Equal(t, c.status, limit.Judge(c.used, c.want, c.limit), "%v of %v, wanted %v", c.used, c.limit, c.want)
	}
}

func TestNewBar(t *testing.T) {
	b := limit.NewBar("pack.full_v", 85, 100, 0.1, "text")
	assert.Equal(t, limit.Bar{Key: "pack.full_v", Used: 85, Limit: 100, Want: 90, Status: limit.Clear, Text: "text"}, b)
	assert.Equal(t, limit.Tight, limit.NewBar("", 95, 100, 0.1, "").Status)
	assert.Equal(t, limit.Over, limit.NewBar("", 105, 100, 0.1, "").Status)
}

func TestWorse(t *testing.T) {
	order := []limit.Status{limit.Clear, limit.Tight, limit.Over}
	for i, s := range order {
		for j, u := range order {
			assert.Equal(t, i > j, s.Worse(u), "%s worse than %s", s, u)
		}
	}
}
