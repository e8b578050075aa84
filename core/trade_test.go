package core_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/core"
	"headroom/core/build"
	"headroom/core/drive"
	"headroom/core/limit"
	"headroom/core/link"
	"headroom/core/pack"
	"headroom/core/ride"
	"headroom/core/road"
	"headroom/core/solve"
)

const mph = 1.609344 / 3.6

func boardFor(b build.Build) *ride.Board {
	p := b.Parts()
	return &ride.Board{Drive: drive.New(&b, &p), Road: road.New(&b, &p), Pack: pack.New(&b, &p), Shift: b.Shift, DutyGoal: b.CruiseDuty}
}

// A board of 24s2p whose full pack spins its free wheel to 46 mph, and to 64 mph weakened, shows about 50 % duty at 23 mph on level
// ground, 60 at 28, 68 at 32 and 70 to 75 at 37. Common practice, no published source. The model is fitted on the two free-spin speeds
// alone.
func TestDutyOfAKnownBoard(t *testing.T) {
	b := link.Decode("s=24&p=2&ctrl=c130&tire=slick-6&surface=smooth").Build
	kv, fw := build.FieldFor("kv"), build.FieldFor("fw")
	kv.SetValue(&b, solve.Root(func(x float64) float64 {
		c := b
		kv.SetValue(&c, x)
		bd := boardFor(c)
		return bd.FreeSpin(bd.Pack.At(1)) - 46*mph
	}, 5, 30, 1e-9))
	fw.SetValue(&b, solve.Root(func(x float64) float64 {
		c := b
		fw.SetValue(&c, x)
		bd := boardFor(c)
		return bd.FreeSpinWeakened(bd.Pack.At(1)) - 64*mph
	}, 0, 200, 1e-9))
	bd := boardFor(b)
	src := bd.Pack.At(1)
	require.InDelta(t, 46*mph, bd.FreeSpin(src), 1e-6)
	require.InDelta(t, 64*mph, bd.FreeSpinWeakened(src), 1e-6)
	// speed, the duty that is seen from … to …, and how far from it the model may land, in points
	for _, c := range [][4]float64{{23, 50, 50, 4}, {28, 60, 60, 4}, {32, 68, 68, 4}, {37, 70, 75, 6}} {
		s := bd.Sample(src, c[0]*mph, 0)
		require.True(t, s.OK)
		duty := s.At.Duty * 100
		assert.GreaterOrEqual(t, duty, c[1]-c[3], "duty at %g mph", c[0])
		assert.LessOrEqual(t, duty, c[2]+c[3], "duty at %g mph", c[0])
	}
}

// A 24s pack of nickel-rich cells that rests at 97.8 V is 80 to 92 % charged. Common practice, no published source.
func TestRestingVoltageTellsTheCharge(t *testing.T) {
	bd := boardFor(link.Decode("s=24").Build)
	z := solve.Root(func(z float64) float64 { return bd.Pack.At(z).OpenCircuit - 97.8 }, 0, 1, 1e-9)
	assert.GreaterOrEqual(t, z, 0.80)
	assert.LessOrEqual(t, z, 0.92)
}

func TestSensitivitiesAreThePlansOwnDifferences(t *testing.T) {
	b := link.Decode("s=20&fw=20&profile=neighborhood").Build
	list, err := core.Sensitivities(b)
	require.NoError(t, err)
	require.Len(t, list, 5, "one for each leading readout")
	base, err := core.Plan(b)
	require.NoError(t, err)
	for _, s := range list {
		o := core.ReadoutFor(s.Readout)
		require.True(t, o.Lead)
		was, ok := o.Value(&base)
		require.True(t, ok)
		last := 0.0
		for i, m := range s.Most {
			f := build.FieldFor(m.Key)
			c := b
			f.SetValue(&c, f.Value(&b)+m.Step)
			moved, err := core.Plan(c)
			require.NoError(t, err)
			is, ok := o.Value(&moved)
			require.True(t, ok)
			assert.InDelta(t, is-was, m.Delta, 1e-9*(1+was), "%s by %s", s.Readout, m.Key)
			assert.Equal(t, o.Less, m.Delta < 0, "%s: only what helps is told", s.Readout)
			if i > 0 {
				assert.LessOrEqual(t, math.Abs(m.Delta), last, "the strongest first")
			}
			last = math.Abs(m.Delta)
			for _, never := range []string{"cellmax", "cellmin", "cellpeak", "cella", "vcut", "vmax", "fusev", "fuse", "chgfuse", "ctrlt", "vend"} {
				assert.NotEqual(t, never, m.Key, "a protection or a rating is nothing to turn up")
			}
		}
		assert.LessOrEqual(t, len(s.Most), 3)
	}
	assert.Equal(t, "p", list[len(list)-1].Most[0].Key, "the weakest margin of this board is the cells': more of them help most")
}

// boxesFull is a board whose boxes hold the cells that it has and not one more.
const boxesFull = "v=1&s=24&p=3&motor=hub65-wide&kpa=150&ctrl=c130&tire=slick-65&rider=95&cruise=32&profile=hills&fusetype=battery-450&split=12&boxl=230&box2l=230&phase=140&batt=55"

// What would help most is nothing that puts the board over: neither one cell more than the boxes hold nor a larger fuse.
func TestWhatHelpsPutsNothingOver(t *testing.T) {
	for _, text := range []string{boxesFull, "v=1", "v=1&p=1", boxesFull + "&fuse=60", "v=1&s=24", boxesFull + "&fuse=100"} {
		b := link.Decode(text).Build
		list, err := core.Sensitivities(b)
		require.NoError(t, err)
		base, err := core.Plan(b)
		require.NoError(t, err)
		over := func(r *core.Report) map[string]bool {
			set := map[string]bool{}
			for _, n := range r.Notes {
				set["note "+n.Code] = set["note "+n.Code] || n.Status == limit.Over
			}
			for _, bar := range r.Limits {
				set["bar "+bar.Key] = bar.Status == limit.Over
			}
			for _, row := range r.Settings {
				set["setting "+row.Key] = row.Status == limit.Over
			}
			return set
		}
		was := over(&base)
		for _, s := range list {
			assert.NotEmpty(t, s.Most, "%s: something helps %s", text, s.Readout)
			for _, m := range s.Most {
				assert.NotEqual(t, "fuse", m.Key, text)
				c := b
				f := build.FieldFor(m.Key)
				f.SetValue(&c, f.Value(&b)+m.Step)
				moved, err := core.Plan(c)
				require.NoError(t, err)
				for what, is := range over(&moved) {
					assert.False(t, is && !was[what], "%s: %s by %g puts over: %s", text, m.Key, m.Step, what)
				}
				if text == boxesFull && m.Step > 0 {
					assert.NotContains(t, []string{"s", "p"}, m.Key, "the boxes are full")
				}
			}
		}
	}
}

// Heat feeds the figures only where that is asked for, and then through the winding the ride settles at.
func TestHeatFeedsTheFigures(t *testing.T) {
	cool, err := core.Plan(link.Decode("profile=hills").Build)
	require.NoError(t, err)
	warm, err := core.Plan(link.Decode("profile=hills&heat=on").Build)
	require.NoError(t, err)
	assert.InDelta(t, 80, cool.Model.Motor.WindingC, 0)
	require.NotNil(t, cool.Heat.WindingC)
	assert.InDelta(t, *cool.Heat.WindingC, warm.Model.Motor.WindingC, 1e-9)
	hot, err := core.Plan(link.Decode("coil=120").Build)
	require.NoError(t, err)
	assert.InDelta(t, 1.0/3, hot.Envelope.Full[0].TorqueMax/cool.Envelope.Full[0].TorqueMax, 0.06, "120 °C lies two thirds of the way from 100 to 130")
	assert.Equal(t, string(drive.ByWinding), hot.Envelope.Full[0].BoundBy)
}
