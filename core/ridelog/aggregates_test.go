package ridelog

import (
	"math"
	"math/rand/v2"
	"slices"
	"sort"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// someRows are rows as they come out of order, with holes and pauses.
func someRows(seed uint64, n int) []Row {
	lots := rand.New(rand.NewPCG(seed, 9))
	rows := make([]Row, n)
	at, trip := 0.0, 500.0
	for i := range rows {
		if i > 0 {
			step := 0.02 + 0.3*lots.Float64()
			if lots.IntN(150) == 0 {
				step = 3 + 10*lots.Float64()
			}
			at += step
			trip += 3 * step * lots.Float64()
		}
		r := &rows[i]
		*r = Row{Time: at, Speed: 12 * lots.Float64(), Duty: lots.Float64(), PackV: 60 + 10*lots.Float64(), BatteryA: 20 * lots.NormFloat64(),
			PhaseA: 40 * lots.NormFloat64(), Distance: trip, MotorC: 50 + 9*lots.NormFloat64(), ControllerC: 40 + lots.NormFloat64(), Altitude: 100 * lots.Float64()}
		for q := int(Speed); q < quantities; q++ {
			if lots.IntN(25) == 0 {
				r[q] = math.NaN()
			}
		}
	}
	return rows
}

// highest is the straightforward second computation of an extreme: of each reading the most that one beside it bears out, itself where none
// lies beside it.
func highest(rows []Row, of func(*Row) float64) *float64 {
	var have []int
	for i := range rows {
		if !math.IsNaN(of(&rows[i])) {
			have = append(have, i)
		}
	}
	var top *float64
	for k, i := range have {
		counted, some := math.Inf(-1), false
		for _, j := range []int{k - 1, k + 1} {
			if j >= 0 && j < len(have) && math.Abs(rows[have[j]][Time]-rows[i][Time]) <= 0.5 {
				counted, some = math.Max(counted, math.Min(of(&rows[i]), of(&rows[have[j]]))), true
			}
		}
		if !some {
			counted = of(&rows[i])
		}
		if top == nil || counted > *top {
			top = &counted
		}
	}
	return top
}

// Against a second computation over all rows at once, written without regard to memory.
func TestAggregatesAgainstAllRowsAtOnce(t *testing.T) {
	for seed := range uint64(20) {
		rows := someRows(seed, 3000)
		var g gather
		g.begin(Settings{})
		for i := range rows {
			g.add(&rows[i], i+2)
		}
		var r Ride
		g.finish(&r)

		// Short blanks are filled by the nearest figure before them, looked for backward.
		carried := func(i int, q Quantity) float64 {
			for j := i; j >= 0 && rows[i][Time]-rows[j][Time] <= 1.25; j-- {
				if !math.IsNaN(rows[j][q]) {
					return rows[j][q]
				}
			}
			return math.NaN()
		}
		filled := make([]Row, len(rows))
		for i := range rows {
			filled[i] = Row{Time: rows[i][Time], Speed: carried(i, Speed), PackV: carried(i, PackV), BatteryA: carried(i, BatteryA)}
		}
		var meters, moving, out, back, charge float64
		var sped, powered, charged float64
		for i := 1; i < len(rows); i++ {
			a, b := filled[i-1], filled[i]
			dt := b[Time] - a[Time]
			if dt > 5 {
				continue
			}
			if v := 0.5 * (a[Speed] + b[Speed]); !math.IsNaN(v) {
				meters, sped = meters+v*dt, sped+dt
				if v > 1 {
					moving += dt
				}
			}
			if w := 0.5 * (a[PackV]*a[BatteryA] + b[PackV]*b[BatteryA]); !math.IsNaN(w) {
				out, back = out+math.Max(w, 0)*dt, back+math.Max(-w, 0)*dt
				powered += dt
			}
			if amps := 0.5 * (a[BatteryA] + b[BatteryA]); !math.IsNaN(amps) {
				charge, charged = charge+amps*dt, charged+dt
			}
		}
		near := func(want, got float64, what string) {
			t.Helper()
			assert.InDelta(t, want, got, 1e-9*(1+math.Abs(want)), "%s, seed %d", what, seed)
		}
		near(rows[len(rows)-1][Time], r.Seconds, "seconds")
		near(moving, r.Moving, "moving")
		near(meters, g.sums.meters, "meters")
		near(out, r.Out, "out")
		near(back, r.Back, "back")
		near(charge, r.Charge, "charge")
		near(sped, r.SpeedS, "s of speed")
		near(powered, r.PoweredS, "s of power")
		near(charged, r.ChargedS, "s of charge")
		first, last := slices.IndexFunc(rows, func(r Row) bool { return !math.IsNaN(r[Distance]) }), len(rows)-1
		for math.IsNaN(rows[last][Distance]) {
			last--
		}
		near(rows[last][Distance]-rows[first][Distance], r.Meters, "meters by the counter")
		assert.True(t, r.ByCounter)

		for _, e := range []struct {
			what string
			got  *Extreme
			of   func(*Row) float64
		}{
			{"speed", r.TopSpeed, func(r *Row) float64 { return r[Speed] }},
			{"duty", r.HighestDuty, func(r *Row) float64 { return r[Duty] }},
			{"volts", r.HighestV, func(r *Row) float64 { return r[PackV] }},
			{"low volts", r.LowestV, func(r *Row) float64 { return -r[PackV] }},
			{"amps", r.MostA, func(r *Row) float64 { return r[BatteryA] }},
			{"amps back", r.MostBackA, func(r *Row) float64 { return -r[BatteryA] }},
			{"phase", r.MostPhaseA, func(r *Row) float64 { return math.Abs(r[PhaseA]) }},
			{"motor", r.MotorC, func(r *Row) float64 { return r[MotorC] }},
			{"controller", r.ControllerC, func(r *Row) float64 { return r[ControllerC] }},
		} {
			want := highest(rows, e.of)
			require.NotNil(t, e.got, e.what)
			near(math.Abs(*want), e.got.Value, e.what)
			row := &rows[e.got.Line-2]
			assert.Equal(t, row[Time], e.got.At, e.what)
			assert.InDelta(t, math.Abs(*want), math.Abs(e.of(row)), 1e-12, e.what)
		}

		// The sag against the whole seconds of the ten before, in which nothing came back.
		sag := func(i int) float64 {
			v, top := rows[i][PackV], rows[i][PackV]
			if math.IsNaN(v) {
				return v
			}
			for j := i; j >= 0 && math.Floor(rows[i][Time])-math.Floor(rows[j][Time]) < 10; j-- {
				if !math.IsNaN(rows[j][PackV]) && !(rows[j][BatteryA] < 0) {
					top = math.Max(top, rows[j][PackV])
				}
			}
			return top - v
		}
		by := map[float64]float64{}
		for i := range rows {
			by[rows[i][Time]] = sag(i)
		}
		near(*highest(rows, func(r *Row) float64 { return by[r[Time]] }), r.WorstSag.Value, "sag")
	}
}

// Every piece of a plot holds the lowest and highest of its time, however often the pieces were doubled.
func TestPlotHoldsTheExtremesOfEachPiece(t *testing.T) {
	for _, n := range []int{1, 5, 400, 3000, 20000} {
		rows := someRows(3, n)
		var p plotter
		p.begin()
		for i := range rows {
			p.add(&rows[i])
		}
		got := p.result()
		require.LessOrEqual(t, len(got.Buckets), buckets)
		last := rows[n-1][Time]
		assert.Equal(t, int(last/got.Width)+1, len(got.Buckets))
		if got.Width > narrowest {
			assert.Greater(t, len(got.Buckets), buckets/2-1, "no coarser than needed")
		}
		for _, q := range plotted {
			low, high := got.Band(q)
			wantLow, wantHigh := make([]float64, len(low)), make([]float64, len(low))
			for i := range low {
				wantLow[i], wantHigh[i] = math.Inf(1), math.Inf(-1)
			}
			for _, r := range rows {
				if v := r[q]; !math.IsNaN(v) {
					i := int(r[Time] / got.Width)
					wantLow[i], wantHigh[i] = math.Min(wantLow[i], v), math.Max(wantHigh[i], v)
				}
			}
			for i := range low {
				if math.IsInf(wantLow[i], 1) {
					assert.True(t, math.IsNaN(low[i]) && math.IsNaN(high[i]))
					continue
				}
				require.Equal(t, wantLow[i], low[i])
				require.Equal(t, wantHigh[i], high[i])
			}
		}
	}
	low, high := (&Plot{}).Band(Altitude)
	assert.Empty(t, low)
	assert.Empty(t, high)
}

// Against sorting all readings of a speed: the shares are right to a hundredth, the width of a cell.
func TestDutyBySpeedAgainstSorting(t *testing.T) {
	rows := someRows(4, 8000)
	var table dutyTable
	at := map[int][]float64{}
	for i := range rows {
		table.add(rows[i][Speed], rows[i][Duty])
		if v, d := rows[i][Speed], rows[i][Duty]; !math.IsNaN(v + d) {
			at[int(v*3.6/2)] = append(at[int(v*3.6/2)], d)
		}
	}
	list := table.result()
	require.Len(t, list, len(at))
	for _, x := range list {
		all := at[int(x.Speed*3.6/2)]
		sort.Float64s(all)
		require.Len(t, all, x.Readings)
		for _, c := range []struct{ share, got float64 }{{0.1, x.Low}, {0.5, x.Middle}, {0.9, x.High}} {
			want := all[int(c.share*float64(len(all)-1))]
			assert.InDelta(t, want, c.got, 0.012)
		}
	}
}

// Huber's advice in figures worked by hand: what is spoilt is left out, what a coarse logger steps over is kept.
func TestMiddle(t *testing.T) {
	for _, c := range []struct {
		list []float64
		fine float64
		want float64
	}{
		{nil, 1, math.NaN()},
		{[]float64{7}, 1, 7},
		{[]float64{10, 10, 10, 11, 90}, 1, 10.25},
		{[]float64{10, 10, 10, 11, 90}, 0, 10},
		{[]float64{1, 2, 3, 4, 5}, 0, 3},
		{[]float64{0, 100}, 1, 50},
	} {
		got := middle(slices.Clone(c.list), c.fine)
		if math.IsNaN(c.want) {
			assert.True(t, math.IsNaN(got))
			continue
		}
		assert.InDelta(t, c.want, got, 1e-12, c.list)
	}
}
