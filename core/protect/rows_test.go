package protect_test

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"testing"

	"headroom/core/build"
	"headroom/core/internal/randombuild"
	"headroom/core/limit"
	"headroom/core/pack"
	"headroom/core/protect"
	"headroom/core/wire"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// cool is air of 30 °C around everything, where leads and contacts carry their full rating.
func cool(t *testing.T, pairs ...string) build.Build {
	return with(t, append([]string{"temp", "30", "warm", "0"}, pairs...)...)
}

func keys(b build.Build) []string {
	p := b.Parts()
	k := pack.New(&b, &p)
	var list []string
	for _, r := range protect.Rows(&b, &p, &k, protect.Loads{}) {
		list = append(list, r.Key)
	}
	return list
}

func TestRowsInTheOrderOfTheCurrent(t *testing.T) {
	plain := []string{"cells", "links", "fuse", "connector", "leads", "controller", "controller_phases", "phase_leads", "motor_plug", "motor_winding"}
	assert.Equal(t, plain, keys(with(t, "bms", build.BMSCharge)))
	assert.Equal(t, plain, keys(with(t, "bms", build.BMSNone)))
	assert.Equal(t, slices.Insert(slices.Clone(plain), 2, "bms"), keys(with(t, "bms", build.BMSPath)))
	b := build.Default()
	b.Split = 1
	assert.Equal(t, slices.Insert(slices.Clone(plain), 5, "cross_leads"), keys(b))
}

func TestUnits(t *testing.T) {
	all := rows(t, with(t, "bms", build.BMSPath), protect.Loads{SteadyPhase: 50, PeakPhase: 100})
	for part, unit := range map[string]string{
		"cells": "A", "links": "A", "BMS": "A", "fuse": "A", "connector": "A", "leads": "A", "controller": "A",
		"controller phases": "A peak", "motor winding": "A peak", "phase leads": "A r.m.s.", "motor plug": "A r.m.s.",
	} {
		assert.Equal(t, unit, all[part].Unit, part)
	}
	for _, part := range []string{"phase leads", "motor plug"} {
		assert.InDelta(t, 35.355, all[part].LoadA, 1e-3, "a sine's peak over √2")
		assert.InDelta(t, 70.711, all[part].PeakA, 1e-3, "the same")
	}
	assert.Equal(t, 80.0, all["BMS"].RatingA)
	assert.Equal(t, 80.0, all["BMS"].PeakRating, "it opens there")
}

// Nickel of 8 mm² carries 40 A at 5 A/mm² (common practice, no published source); copper, 4.054 times as good (IEC 60028, handbook), √4.054
// times that. Peak by hand: √(30·3.95e6/(6.99e-8·10)) = 13.02 A/mm² of nickel.
func TestLinks(t *testing.T) {
	nickel := rows(t, with(t, "link", "nickel", "linkmm2", "8"), protect.Loads{})["links"]
	assert.InEpsilon(t, 40, nickel.RatingA, 1e-9)
	assert.InEpsilon(t, 8*13.02, nickel.PeakRating, 1e-3)
	copper := rows(t, with(t, "link", "copper", "linkmm2", "8"), protect.Loads{})["links"]
	assert.InEpsilon(t, 40*math.Sqrt(4.054), copper.RatingA, 1e-3)
	b := with(t, "link", "nickel", "linkmm2", "1.6", "linkmm", "20")
	p := b.Parts()
	assert.InEpsilon(t, 43.69e-3*0.02, protect.LinkOhm(&b, &p), 1e-3, "0.2 × 8 mm nickel: 43.69 mΩ/m by its resistivity, a handbook's")
}

func TestFuseFactorIsTheSheet(t *testing.T) {
	for celsius, amps := range map[float64]float64{-40: 40, 0: 40, 20: 40, 65: 34, 85: 30, 110: 25, 125: 22} {
		assert.InEpsilon(t, amps/40, protect.FuseFactor(celsius), 1e-12, "a maker's sheet of a 40 A blade at %g °C", celsius)
	}
	assert.InEpsilon(t, 37.0/40, protect.FuseFactor(42.5), 1e-12, "half way from 20 to 65 °C")
	assert.InEpsilon(t, 17.0/40, protect.FuseFactor(150), 1e-12, "the last line carried on")
	assert.InEpsilon(t, 0.3, protect.FuseFactor(175), 1e-12)
	assert.InEpsilon(t, 0.3, protect.FuseFactor(400), 1e-12, "at the least")
	r := rows(t, with(t, "fuse", "40", "temp", "40", "warm", "25"), protect.Loads{})["fuse"]
	assert.InEpsilon(t, 34, r.PeakRating, 1e-12, "65 °C in the box")
	assert.InEpsilon(t, 0.75*34, r.RatingA, 1e-12)
	assert.InEpsilon(t, 0.85, r.Derating, 1e-12)
}

func TestContacts(t *testing.T) {
	r := rows(t, cool(t, "conn", "pair-60"), protect.Loads{})["connector"]
	assert.Equal(t, []float64{60, 110, 1}, []float64{r.RatingA, r.PeakRating, r.Derating})
	r = rows(t, with(t, "conn", "pair-60", "temp", "50", "warm", "10"), protect.Loads{})["connector"]
	assert.InEpsilon(t, math.Sqrt(0.5), r.Derating, 1e-12, "60 °C of 90: √(30/60)")
	assert.InEpsilon(t, 60*math.Sqrt(0.5), r.RatingA, 1e-12)
	assert.InEpsilon(t, 110*math.Sqrt(0.5), r.PeakRating, 1e-12)
	r = rows(t, with(t, "plug", "bullet-8", "temp", "-20", "warm", "0"), protect.Loads{})["motor plug"]
	assert.Equal(t, 130.0, r.RatingA, "never above its rating")
	r = rows(t, with(t, "temp", "50", "warm", "60"), protect.Loads{SteadyA: 30})["connector"]
	assert.Equal(t, 0.01, r.Derating, "air hotter than the contacts may be")
	assert.Equal(t, limit.Over, r.Status)
}

// AWG 10 carries 55 A in a chassis (Handbook of Electronic Tables and Formulas); its 5.2612 mm² stand k·A/√10 for 10 s.
func TestLeads(t *testing.T) {
	r := rows(t, cool(t, "awg", "10", "ins", "pvc"), protect.Loads{})["leads"]
	assert.InEpsilon(t, 55, r.RatingA, 1e-9)
	k := 226 * math.Sqrt(math.Log(1+(70.0-30)/(234.5+30))) // A·√s/mm²: IEC 60364-5-54
	assert.InEpsilon(t, k*5.2612/math.Sqrt(10), r.PeakRating, 1e-4, "from cold")

	loaded := rows(t, cool(t, "awg", "10", "ins", "pvc"), protect.Loads{SteadyA: 40})["leads"]
	assert.Less(t, loaded.PeakRating, r.PeakRating, "warm from the ride, less is left")
	hot := rows(t, cool(t, "awg", "10", "ins", "pvc"), protect.Loads{SteadyA: 400})["leads"]
	assert.InEpsilon(t, 55, hot.PeakRating, 1e-9, "what it carries for hours it carries for seconds")

	r = rows(t, with(t, "awg", "10", "ins", "pvc", "temp", "40", "warm", "10", "bundle", "3"), protect.Loads{})["leads"]
	assert.InEpsilon(t, math.Sqrt(0.5)*0.70, r.Derating, 1e-12, "IEC 60364-5-52: 50 °C of 70 and three circuits")
	assert.InEpsilon(t, 55*math.Sqrt(0.5)*0.70, r.RatingA, 1e-9)

	b := cool(t, "mm2", "8.3656", "phmm2", "13.3018", "crossmm2", "3.3088")
	b.Split = 4
	p := b.Parts()
	pk := pack.New(&b, &p)
	for _, row := range protect.Rows(&b, &p, &pk, protect.Loads{}) {
		if want := map[string]float64{"leads": 73, "phase_leads": 101, "cross_leads": 41}[row.Key]; want > 0 {
			assert.InEpsilon(t, want, row.RatingA, 1e-3, "%s: AWG 8, 6 and 12 of the handbook by their area", row.Key)
		}
	}
}

func TestClearWith(t *testing.T) {
	for _, c := range []struct {
		part, want string
		loads      protect.Loads
		pairs      []string
	}{
		{"cells", "", protect.Loads{PeakA: 56}, []string{"p", "2"}}, // 70 A for 20 % to spare
		{"cells", "3 in parallel", protect.Loads{PeakA: 57}, []string{"p", "2"}},
		{"cells", "12 in parallel", protect.Loads{PeakA: 336}, []string{"p", "2"}},
		{"cells", protect.None, protect.Loads{PeakA: 337}, []string{"p", "2"}},
		{"links", "", protect.Loads{SteadyA: 32}, []string{"link", "nickel", "linkmm2", "8.01"}}, // 5 A/mm², 20 % to spare
		{"links", "8.5 mm²", protect.Loads{SteadyA: 32.5}, []string{"link", "nickel", "linkmm2", "8"}},
		{"links", "0.5 mm²", protect.Loads{SteadyA: 1}, []string{"link", "nickel", "linkmm2", "0.2"}},
		{"BMS", "", protect.Loads{PeakA: 64}, []string{"bms", "path", "bmsa", "80"}},
		{"BMS", "BMS of 85 A", protect.Loads{PeakA: 65}, []string{"bms", "path", "bmsa", "80"}},
		{"connector", "", protect.Loads{SteadyA: 24}, []string{"conn", "pair-30"}},
		{"connector", "Bullets, 4 mm", protect.Loads{SteadyA: 25}, []string{"conn", "pair-30"}},
		{"connector", "Two-pole plug, 60 A class", protect.Loads{SteadyA: 40}, []string{"conn", "pair-30"}}, // before the round plug, alike
		{"connector", "Bolted ring terminals, M5", protect.Loads{SteadyA: 120}, []string{"conn", "pair-30"}},
		{"connector", protect.None, protect.Loads{SteadyA: 121}, []string{"conn", "pair-30"}},
		{"motor plug", "Bullets, 8 mm", protect.Loads{SteadyPhase: 140}, []string{"plug", "pair-90"}},
		{"leads", "", protect.Loads{SteadyA: 43.9}, []string{"awg", "10"}},
		{"leads", "AWG 9", protect.Loads{SteadyA: 44.1}, []string{"awg", "10"}},
		{"leads", "AWG 20", protect.Loads{SteadyA: 8.7}, []string{"mm2", "0.2"}},
		{"leads", "AWG 4", protect.Loads{SteadyA: 107.9}, []string{"awg", "10"}},
		{"leads", protect.None, protect.Loads{SteadyA: 108.1}, []string{"awg", "10"}},
		{"phase leads", "AWG 8", protect.Loads{SteadyPhase: 58 * math.Sqrt2}, []string{"phawg", "10"}},
		{"controller", "130 V class", protect.Loads{PeakA: 65}, []string{"ctrl", "c100"}},
		{"controller", "170 V class", protect.Loads{PeakA: 65}, []string{"ctrl", "c100", "s", "40", "cellmax", "3.5"}},             // 140 V
		{"controller", "130 V class", protect.Loads{PeakA: 65}, []string{"ctrl", "c100", "s", "26", "cellmax", "4", "cella", "1"}}, // 104 V
		{"controller phases", "170 V class", protect.Loads{PeakPhase: 201}, []string{"ctrl", "c100"}},
		{"controller phases", protect.None, protect.Loads{PeakPhase: 241}, []string{"ctrl", "c100"}},
		{"motor winding", "6.5-inch hub, narrow stator", protect.Loads{PeakPhase: 150}, []string{"motor", "hub5-narrow"}},
		{"motor winding", protect.None, protect.Loads{PeakPhase: 185}, []string{"motor", "hub5-narrow"}},
	} {
		r := rows(t, cool(t, append([]string{"margin", "20"}, c.pairs...)...), c.loads)[c.part]
		assert.Equal(t, c.want, r.ClearWith, "%s under %+v with %v", c.part, c.loads, c.pairs)
		assert.Equal(t, c.want == "", r.Status == limit.Clear, "%s under %+v with %v", c.part, c.loads, c.pairs)
	}
}

// A class whose voltage is just the full pack's is offered, one a volt below is not.
func TestClearWithMeetsTheVoltage(t *testing.T) {
	at := cool(t, "s", "25", "cellmax", "4", "ctrl", "c60", "ctrlbatt", "5") // 100 V
	assert.Equal(t, "100 V class", rows(t, at, protect.Loads{PeakA: 50})["controller"].ClearWith)
	above := cool(t, "s", "25", "cellmax", "4.01", "ctrl", "c60", "ctrlbatt", "5")
	assert.Equal(t, "130 V class", rows(t, above, protect.Loads{PeakA: 50})["controller"].ClearWith)

	// The round plug stands 120 V. It is the only 60 A class once the two-pole plug is out of the way, so the next one tells.
	names := func(full float64) []string {
		b := build.Default()
		p := b.Parts()
		k := pack.New(&b, &p)
		k.FullV = full
		var list []string
		for _, steady := range []float64{25, 33, 49, 65, 73, 105} {
			for _, r := range protect.Rows(&b, &p, &k, protect.Loads{SteadyPhase: steady * math.Sqrt2, PeakA: 1}) {
				if r.Key == "motor_plug" {
					list = append(list, r.ClearWith)
				}
			}
		}
		return list
	}
	assert.Equal(t, names(120), names(130), "another class of the same size is there")
	assert.Equal(t, "Bullets, 8 mm", names(300)[4])
	assert.Equal(t, "Bolted ring terminals, M5", names(301)[4], "bullets stand 300 V")
}

func TestRowsAreFiniteAndTheirHelpHelps(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := randombuild.Any().Draw(t, "build")
		p := b.Parts()
		k := pack.New(&b, &p)
		l := drawLoads(t)
		for _, r := range protect.Rows(&b, &p, &k, l) {
			_, err := json.Marshal(r)
			require.NoError(t, err, "%s of %s", r.Part, randombuild.Text(&b))
			assert.Equal(t, r.Status == limit.Clear, r.ClearWith == "", r.Part)
			assert.Greater(t, r.RatingA, 0.0, r.Part)
			assert.Greater(t, r.PeakRating, 0.0, "%s: %s", r.Part, randombuild.Text(&b))
			assert.LessOrEqual(t, r.Derating, 1.0, r.Part)
			var n float64
			switch {
			case r.Key == "links" && r.Status != limit.Clear:
				_, err = fmt.Sscanf(r.ClearWith, "%g mm²", &n)
				require.NoError(t, err)
				b.StripArea = n * 1e-6
			case r.Key == "leads" && r.Status != limit.Clear && r.ClearWith != protect.None:
				_, err = fmt.Sscanf(r.ClearWith, "AWG %g", &n)
				require.NoError(t, err)
				p.LeadArea = wire.Area(int(n))
			}
		}
		for _, r := range protect.Rows(&b, &p, &k, l) {
			if r.Key == "links" || r.Key == "leads" && r.ClearWith != protect.None {
				assert.Equal(t, limit.Clear, r.Status, "%s: %s", r.Part, randombuild.Text(&b))
			}
		}
	})
}

func drawLoads(t *rapid.T) protect.Loads {
	amps := func(name string, most float64) float64 {
		return rapid.OneOf(rapid.Just(0.0), rapid.Float64Range(0, most)).Draw(t, name)
	}
	l := protect.Loads{SteadyA: amps("steady", 400), StallA: amps("stall", 400), SteadyPhase: amps("phase", 600)}
	l.PeakA, l.PeakPhase = max(l.SteadyA, amps("peak", 400)), max(l.SteadyPhase, amps("phase peak", 600))
	return l
}
