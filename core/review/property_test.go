package review_test

import (
	"encoding/json"
	"math"
	"slices"
	"testing"

	"headroom/core/build"
	"headroom/core/internal/randombuild"
	"headroom/core/limit"
	"headroom/core/review"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func maybe(t *rapid.T, name string, top float64) *float64 {
	if rapid.Bool().Draw(t, name+" exists") {
		return ptr(rapid.Float64Range(0, top).Draw(t, name))
	}
	return nil
}

func randomFacts(t *rapid.T) review.Facts {
	number := func(name string, top float64) float64 { return rapid.Float64Range(0, top).Draw(t, name) }
	return review.Facts{
		FullV: number("full", 200), FloorRestV: number("rest", 180), FloorLoadedV: maybe(t, "loaded", 180),
		BatteryPathA: number("battery", 1000), PhasePathA: number("phase", 1000), RegenCellsA: number("cells", 500),
		NeedPhaseA: maybe(t, "need phase", 1e6), NeedBatteryA: maybe(t, "need battery", 1e6), RideBrakeA: maybe(t, "brake", 1e4), RideBrakesA: maybe(t, "brakes", 1e4),
		MaxWeakenA: maybe(t, "weaken", 1e4), MaxWeakenLimitA: maybe(t, "weaken limit", 1e4), BackEMFOver: rapid.Bool().Draw(t, "over"),
		CharacteristicA: number("characteristic", 1e9), CeilingDuty: maybe(t, "ceiling", 1),
		NeedDuty: maybe(t, "need duty", 2), HoldDuty: maybe(t, "hold duty", 2), NeedBusV: maybe(t, "need bus", 180), HoldBusV: maybe(t, "hold bus", 180),
		HoldPhaseA: maybe(t, "hold phase", 1e3), HoldBatteryA: maybe(t, "hold battery", 1e3),
		DescentA: maybe(t, "descent", 300), DescentWantA: maybe(t, "descent wanted", 400), DescentOver: rapid.Bool().Draw(t, "descent over"), DescentBound: "duty",
		WindingC: maybe(t, "winding", 300), LeftShare: maybe(t, "left", 1), BoxAirC: number("box", 110), LossShare: maybe(t, "loss", 3),
	}
}

// Every build that the form allows, with every figure the physics may find, gives a whole table of finite numbers in order of danger.
func TestAnyBuild(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		b, f := randombuild.Any().Draw(rt, "build"), randomFacts(rt)
		p := b.Parts()
		rows := review.Check(&b, &p, f)
		_, err := json.Marshal(rows)
		require.NoError(rt, err, "JSON refuses NaN and infinity")
		assert.ElementsMatch(rt, natural, keys(rows))
		assert.ElementsMatch(rt, review.Settings(&b, &p, f), rows)
		rank := []limit.Status{limit.Over, limit.Tight, limit.Clear, ""}
		last := 0
		for _, r := range rows {
			at := slices.Index(rank, r.Status)
			assert.GreaterOrEqual(rt, at, last, "in order of danger")
			last = at
			assert.Equal(rt, r.Status == "", r.Has == nil)
			if r.Key != "regen" || !f.DescentOver && f.DescentA == nil { // a way down that no limit holds is over wherever the limit is set
				assert.Equal(rt, r.Status == limit.Clear || r.Status == "", r.By == 0, "%s: outside by something", r.Key)
			}
			assert.False(rt, math.Signbit(r.Should) && r.Should != 0, "%s is never negative", r.Key)
			assert.Equal(rt, build.FieldFor(r.Key).Given(&b), r.Has != nil)
		}
	})
}

// Doing what a row says makes that row clear, wherever anything can.
func TestWhatItShouldBeIsClear(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		b, f := randombuild.Plausible().Draw(rt, "build"), randomFacts(rt)
		p := b.Parts()
		for _, r := range review.Settings(&b, &p, f) {
			fixed, field := b, build.FieldFor(r.Key)
			field.SetValue(&fixed, r.Should)
			// The form may not hold it: out of range, or more digits than a link keeps.
			entered := math.Abs(field.Value(&fixed)-r.Should) < 1e-9
			empty := r.Low != nil && r.High != nil && *r.Low > *r.High
			// More than class B is never recommended, and a way down that no limit holds has no right one.
			hot := r.Key == "coilmax" && r.Should == 130 && r.Low != nil && *r.Low > 130
			stuck := r.Key == "regen" && r.Status == limit.Over && r.Should == *r.Has
			if !entered || empty || hot || stuck {
				continue
			}
			q := fixed.Parts()
			for _, again := range review.Settings(&fixed, &q, f) {
				if again.Key == r.Key {
					assert.Equal(rt, limit.Clear, again.Status, "%s set to %v: %s\n%s", r.Key, r.Should, again.Why, randombuild.Text(&fixed))
				}
			}
		}
	})
}
