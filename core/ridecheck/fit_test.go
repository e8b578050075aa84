package ridecheck_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/core/build"
	rc "headroom/core/ridecheck"
)

// read returns measurements with the values that a board would show.
func read(t *testing.T, truth build.Build, list ...rc.Measurement) []rc.Measurement {
	t.Helper()
	for i, k := range rc.CheckAll(truth, list) {
		require.Empty(t, k.Skipped)
		list[i].Value = k.Predicted
	}
	return list
}

func changeOf(fit rc.Fit, key string) *rc.Change {
	for i := range fit.Changes {
		if fit.Changes[i].Key == key {
			return &fit.Changes[i]
		}
	}
	return nil
}

// TestOneMeasurementOneInput: log of the value is measured with σ/value and has a prior: the most probable value is between the two by their
// weights, and its uncertainty is 1/√(1/a² + 1/b²). The motor's resistance is proportional to what is measured.
func TestOneMeasurementOneInput(t *testing.T) {
	b := build.Default()
	at := 0.080
	m := rc.Measurement{Kind: rc.LeadsOhm, Value: 0.085, Sigma: 0.004, At: rc.At{Celsius: 20}}
	fit := rc.FitAll(b, []rc.Measurement{m})
	require.Empty(t, fit.Failed)
	require.Len(t, fit.Changes, 1, "nothing else is moved by it")
	c := fit.Changes[0]
	assert.Equal(t, "motorr", c.Key)
	assert.Equal(t, 40.0, c.From)
	// ½·((0.085 − 0.08·eᶿ)/0.004)² + ½·(θ/0.15)² is least where its slope is nothing.
	theta := math.Log(c.To / 40)
	slope := -(0.085-at*math.Exp(theta))/0.004*at*math.Exp(theta)/0.004 + theta/(0.15*0.15)
	assert.InDelta(t, 0, slope, 0.5, "of slopes around %g", at/0.004/0.004*0.005)
	within := 0.004 / (at * math.Exp(theta))
	assert.InEpsilon(t, c.To/math.Sqrt(1/(within*within)+1/(0.15*0.15)), c.Sigma, 5e-3) // the biweight takes a little
	assert.InDelta(t, 1-1/(0.15*math.Sqrt(1/(within*within)+1/(0.15*0.15))), c.Learned, 5e-3)
	got := fit.Build()
	for i := range build.Fields {
		f := &build.Fields[i]
		if f.Key != "motorr" {
			assert.Equal(t, f.Text(&b), f.Text(&got), f.Key)
		}
	}
	assert.InDelta(t, 1, fit.Rows[0].Weight, 0.01)
}

// TestWhatCannotBeToldApart: free spin as a road speed is Kv times radius and no more. A rolled turn tells them apart.
func TestWhatCannotBeToldApart(t *testing.T) {
	b := build.Default()
	truth := with(t, "kv", "14.2", "tirer", "141")
	spin := rc.Measurement{Kind: rc.FreeSpin, At: rc.At{BusV: 70}}
	fit := rc.FitAll(b, read(t, truth, spin))
	require.NotEmpty(t, fit.Alike)
	p := fit.Alike[0]
	assert.Equal(t, [2]string{"Motor Kv", "Tire radius"}, [2]string{p.One, p.Other})
	assert.Less(t, p.Correlation, -0.95)
	assert.Equal(t, "Motor Kv and tire radius cannot be told apart by these measurements: one more of the one looks like less of the other.", p.Text())
	product := func(f rc.Fit) float64 { return changeOf(f, "kv").To * changeOf(f, "tirer").To }
	assert.InEpsilon(t, 14.2*141, product(fit), 0.01, "their product is known all the same")

	fit = rc.FitAll(b, read(t, truth, spin, rc.Measurement{Kind: rc.Rollout}))
	for _, p := range fit.Alike {
		assert.NotEqual(t, [2]string{"Motor Kv", "Tire radius"}, [2]string{p.One, p.Other})
	}
	assert.InEpsilon(t, 14.2, changeOf(fit, "kv").To, 0.01)
	assert.InEpsilon(t, 141, changeOf(fit, "tirer").To, 0.005)

	// Duty knows flux over radius: at no load more Kv and a larger tire both lower it, so it too cannot tell them apart; both signs are said.
	ratio := rc.Pair{One: "Kv", Other: "Radius", Correlation: 0.99}
	assert.Contains(t, ratio.Text(), "more of both looks like no change")
}

// TestTheBuildTakesTheFit: what stands beside each measurement after the fit is what the new build predicts, and a change stands in its field.
func TestTheBuildTakesTheFit(t *testing.T) {
	b := build.Default()
	truth := with(t, "kv", "14.6", "cellr", "21", "soh", "92", "board", "19", "motorr", "45")
	list := read(t, truth,
		rc.Measurement{Kind: rc.FreeSpinTurns, At: rc.At{BusV: 70}}, rc.Measurement{Kind: rc.PackResistance, At: rc.At{Charge: 0.6}},
		rc.Measurement{Kind: rc.Capacity, Sigma: 100, At: rc.At{Charge: 0.9, EndCharge: 0.2}}, rc.Measurement{Kind: rc.BoardMass},
		rc.Measurement{Kind: rc.LeadsOhm, At: rc.At{Celsius: 20}}, rc.Measurement{Kind: rc.NoseMass})
	list = append(list[:6], rc.Measurement{Kind: rc.Duty}) // not complete, so it has no part in it
	fit := rc.FitAll(b, list)
	require.Empty(t, fit.Failed)
	got := fit.Build()
	require.NoError(t, got.Validate())
	for i, k := range rc.CheckAll(got, list) {
		row := fit.Rows[i]
		assert.Equal(t, k.Skipped, row.Skipped)
		if row.Kind == rc.NoseMass {
			continue // the center of mass stands in no field
		}
		assert.InDelta(t, k.Predicted, row.After, 1e-9*(1+math.Abs(k.Predicted)), row.Kind)
	}
	for i, k := range rc.CheckAll(b, list) {
		assert.Equal(t, k.Predicted, fit.Rows[i].Before)
		assert.Equal(t, k.Reading, fit.Rows[i].Reading)
	}
	for _, row := range fit.Rows[:6] {
		assert.Less(t, math.Abs(row.Value-row.After), math.Abs(row.Value-row.Before)+1e-9, row.Kind)
		assert.Less(t, math.Abs(row.Value-row.After), row.Reading, row.Kind)
	}
	for _, key := range []string{"kv", "cellr", "soh", "board", "motorr"} {
		c := changeOf(fit, key)
		require.NotNil(t, c, key)
		f := build.FieldFor(key)
		assert.Equal(t, f.Value(&got), c.To)
		assert.Equal(t, f.Value(&b), c.From)
		assert.Equal(t, f.Unit, c.Unit)
		assert.InDelta(t, f.Value(&truth), c.To, 3*c.Sigma, key)
	}
	assert.Nil(t, changeOf(fit, "cellah"), "a cell that has lost charge keeps its rating")
	assert.Nil(t, changeOf(fit, "cda"), "nobody rode it")
	center := changeOf(fit, "")
	require.NotNil(t, center)
	assert.Equal(t, "mm", center.Unit)
}

// TestMoreThanRated: a cell that gives more than its rating is rated too low; a state of health stays at the whole.
func TestMoreThanRated(t *testing.T) {
	b := build.Default()
	m := read(t, with(t, "cellah", "4.9"), rc.Measurement{Kind: rc.Capacity, At: rc.At{Charge: 0.95, EndCharge: 0.1}})
	m[0].Sigma = m[0].Value / 1000
	fit := rc.FitAll(b, m)
	got := fit.Build()
	assert.Equal(t, 1.0, got.HealthFraction)
	assert.InDelta(t, 4.9, build.FieldFor("cellah").Value(&got), 0.01)
	// Half-way: worn to 90 %, yet all of the rated charge is there and 2 % more.
	b = with(t, "soh", "90")
	m[0].Value *= 4.6 / 4.9
	fit = rc.FitAll(b, m)
	got = fit.Build()
	assert.InDelta(t, 1, got.HealthFraction, 1e-9)
	assert.InDelta(t, 4.6, build.FieldFor("cellah").Value(&got), 0.01)
	p := got.Parts()
	assert.InDelta(t, 2*4.6, 2*p.Cell.CapacityAh*got.HealthFraction, 0.02)
}

// TestEndsOfTheFields: a value that no field can hold ends at the field's end, and it is said.
func TestEndsOfTheFields(t *testing.T) {
	b := with(t, "cda", "1.15")
	m := rc.Measurement{Kind: rc.BatteryAmps, Sigma: 0.1, At: rc.At{Charge: 0.8, Speed: 10}}
	at := one(t, b, m).Predicted
	m.Value = at * 1.2
	n := m
	n.At.Speed = 5
	n.Value = one(t, b, n).Predicted
	fit := rc.FitAll(b, []rc.Measurement{m, n, m, n})
	c := changeOf(fit, "cda")
	require.NotNil(t, c)
	assert.Equal(t, 1.2, c.To)
	assert.True(t, c.AtEnd)
	got := fit.Build()
	require.NoError(t, got.Validate())
	assert.False(t, changeOf(fit, "rider").AtEnd)
}

// TestNothingToFit says so.
func TestNothingToFit(t *testing.T) {
	fit := rc.FitAll(build.Default(), nil)
	assert.Contains(t, fit.Failed, "nothing to fit")
	fit = rc.FitAll(build.Default(), []rc.Measurement{{Kind: rc.Duty}, {Kind: "weather"}})
	assert.Contains(t, fit.Failed, "nothing to fit")
	f := rc.NewFitting(build.Default(), nil)
	assert.False(t, f.Done())
	for f.Step() {
	}
	assert.True(t, f.Done())
	assert.False(t, f.Step())
}

// TestAsPredictedChangesNothing: a board that measures as planned keeps its link to the last digit.
func TestAsPredictedChangesNothing(t *testing.T) {
	b := build.Default()
	list := read(t, b, ridden(11)...)
	fit := rc.FitAll(b, list)
	require.Empty(t, fit.Failed)
	assert.Equal(t, b, fit.Build())
	assert.Equal(t, 1.0, fit.Scale)
	for _, c := range fit.Changes {
		assert.InDelta(t, c.From, c.To, 1e-6)
	}
	for _, r := range fit.Rows {
		assert.InDelta(t, 1, r.Weight, 1e-6)
	}
}

// TestDisagreeingReadings: readings that disagree by far more than they claim are all given less weight, and the fit says by how much.
func TestDisagreeingReadings(t *testing.T) {
	b := build.Default()
	var list []rc.Measurement
	for _, v := range []float64{0.070, 0.075, 0.080, 0.085, 0.090} {
		list = append(list, rc.Measurement{Kind: rc.LeadsOhm, Value: v, Sigma: 0.0005, At: rc.At{Celsius: 20}})
	}
	fit := rc.FitAll(b, list)
	// Off by 20, 10, 0, 10 and 20 of their uncertainties: 1.4826·10.
	assert.InDelta(t, 14.826, fit.Scale, 0.2)
	assert.InDelta(t, 40, fit.Changes[0].To, 0.3)
	assert.Greater(t, fit.Changes[0].Sigma, 5*40*0.0005/0.08/math.Sqrt(5))
}

// TestALogsWorth: as many measurements as a fit takes, and the many of one instrument do not pretend to know it perfectly.
func TestALogsWorth(t *testing.T) {
	b := build.Default()
	var list []rc.Measurement
	for i := range rc.MaxMeasurements {
		list = append(list, rc.Measurement{Kind: rc.Duty, Sigma: 0.01, At: rc.At{BusV: 70, Speed: 3 + 5*float64(i)/rc.MaxMeasurements}})
	}
	fit := rc.FitAll(b, read(t, with(t, "kv", "14"), list...))
	require.Empty(t, fit.Failed)
	assert.Len(t, fit.Rows, rc.MaxMeasurements)
	few := rc.FitAll(b, read(t, with(t, "kv", "14"), list[0], list[len(list)-1]))
	assert.Less(t, changeOf(fit, "kv").Sigma, changeOf(few, "kv").Sigma)
	assert.Greater(t, changeOf(fit, "kv").Sigma, changeOf(few, "kv").Sigma/3, "as if they were no more than ten")
}
