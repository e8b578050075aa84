package core_test

import (
	"strings"
	"testing"

	"headroom/core"
	"headroom/core/internal/randombuild"
	"headroom/core/limit"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// caution is a note with a build that raises it at a status and one that does not raise it at all.
type caution struct {
	code   string
	raised string // changes of the default build, "s=20 p=3"
	status limit.Status
	silent string
}

// Every note that a report may hold. The numbers beside the limits are worked in the tests of the packages that judge them; here each
// must be able to speak, and to be silent.
var raisedBy = []caution{
	{"controller-voltage", "s=24", limit.Over, "s=21"},
	{"controller-voltage", "s=23", limit.Tight, "s=21"},
	{"fuse-voltage", "fusetype=blade-32 fuse=80", limit.Over, ""}, // 32 V on 75.6 V, whatever its amperes
	{"fuse-voltage", "fusetype=blade-58 fuse=80", limit.Over, "fusetype=blade-58 fuse=80 s=13"},
	{"fuse-breaking", "fusebreak=300", limit.Over, ""},
	{"fuse-class", "fusetype=blade-58 fuse=105 s=13", limit.Tight, "fusetype=blade-58 fuse=100 s=13"},
	{"fuse-lead", "fuse=200 awg=16", limit.Over, ""},
	{"fuse-lead", "ins=pvc", limit.Tight, ""},
	{"lead-heat", "awg=20 ins=pvc temp=50 rider=160 grade=12", limit.Over, ""},
	{"connector-voltage", "s=30 plug=round-60", limit.Over, "plug=round-60 s=28"}, // 126 V and 117.6 V on a 120 V plug
	{"link-resistance", "linkr=0.01", limit.Tight, ""},
	{"bms", "bms=path", limit.Tight, ""}, {"bms", "bms=none", limit.Tight, ""},
	{"cell-voltage", "cell=26650-iron cellmax=3.71", limit.Over, "cell=26650-iron"}, {"cell-voltage", "cell=26650-iron cellmax=3.66", limit.Tight, "cell=26650-iron cellmax=3.65"},
	{"cell-voltage", "cellmax=4.26", limit.Tight, "cellmax=4.25"},
	{"charger-voltage", "chgv=79.8", limit.Over, "chgv=75.6"},
	{"charger-voltage", "chgv=75", limit.Tight, "chgv=75.6"},
	{"charger-voltage", "chgv=71.4", limit.Over, "chgv=75.6"}, // a 17s charger
	{"charge-temperature", "chgtemp=-1", limit.Over, "chgtemp=20"},
	{"charge-temperature", "chgtemp=5", limit.Tight, "chgtemp=20"},
	{"charge-current", "chga=14 chgfuse=30", limit.Over, ""}, // 7 A in each of two cells that take 6.75 A
	{"charge-current", "chga=12 chgfuse=30", limit.Tight, ""},
	{"charge-fuse", "chgtype=blade-58", limit.Over, ""},
	{"charge-fuse", "chga=8 chgfuse=10", limit.Tight, "chga=7 chgfuse=10"}, // 75 % of 10 A
	{"charge-fuse", "chgfuse=100", limit.Tight, ""},
	{"clearance", "endz=-150", limit.Over, ""}, {"clearance", "endz=-75", limit.Tight, ""},
	{"box-main", "boxl=225", limit.Over, "boxl=230"}, // 9 columns of 21.6 mm, two linings and 30 mm of room are 226.4 mm
	{"box-second", "split=9 box2l=100", limit.Over, "split=9"},
	{"settings", "coilmax=160 derate=100", limit.Tight, ""}, {"settings", "ovv=101", limit.Over, "ovv=77"}, {"settings", "ovv=90", limit.Tight, "ovv=77"},
	{"no-reserve", "cruise=100", limit.Over, ""}, {"low-reserve", "shift=100", limit.Tight, ""}, {"over-ceiling", "shift=100", limit.Tight, ""},
	{"little-wanted", "shift=14", limit.Tight, "shift=15"}, {"rim", "tire=street-5", limit.Tight, "tire=street-5 motor=hub5-wide"},
	{"no-ride", "vcut=75", limit.Over, "start=20 floor=20"}, {"no-ride", "start=20 floor=21", limit.Over, "start=20 floor=20"},
	{"no-range", "grade=-20", limit.Clear, ""}, {"range-cut-short", "vcut=64", limit.Tight, ""},
	{"overspeed", "fw=100", limit.Over, ""},
	{"descent", "grade=-20 regen=1", limit.Over, ""}, {"descent", "regen=2", limit.Tight, ""},
	{"descent", "grade=-16.7 regen=8", limit.Over, "grade=-10 start=90"}, {"descent", "grade=-12 regen=8 start=90", limit.Tight, ""},
	{"overfull", "grade=-19", limit.Over, "grade=-19 start=80"}, {"overfull", "grade=-10 start=94.5", limit.Tight, "grade=-10 start=94"}, // 5.6 % of a charge in ten minutes
	{"brake-voltage", "grade=-19", limit.Tight, "grade=-19 start=80"}, {"brake-voltage", "profile=carve p=1", limit.Tight, "profile=carve"},
	{"brake-temperature", "grade=-10 start=80 temp=-5", limit.Over, "temp=-5"}, {"brake-temperature", "grade=-10 start=80 temp=5", limit.Tight, "temp=5"},
	{"brake-temperature", "profile=hills temp=-5 p=6 vcut=40", limit.Tight, "profile=hills temp=5 p=6"},
	{"brake-current", "cell=18650-energy p=4 grade=-17 regen=16 start=80", limit.Over, "cell=18650-energy p=4 grade=-10 regen=16 start=80"},
	{"brake-current", "cell=18650-energy p=6 grade=-17 regen=16 start=80", limit.Tight, ""}, // some 9 A into 6 cells of 1.75 A
	{"no-brake", "wind=-60 regen=0 ovv=20", limit.Over, ""},
	{"heat", "grade=20 cruise=10", limit.Over, ""},
	{"climb", "profile=hills p=3", limit.Tight, "profile=hills p=2 motor=hub65-wide tire=slick-65 s=24"},
	{"rub", "rub=0", limit.Over, ""},
	{"saturation", "isat=30", limit.Over, ""}, {"saturation", "isat=120", limit.Tight, "isat=140"},
	{"pressure-high", "kpa=210", limit.Over, ""}, {"pressure-low", "kpa=50", limit.Tight, ""},
	{"current-cells", "p=1 batt=60", limit.Over, ""}, {"current-links", "linkmm2=1", limit.Over, ""}, {"current-BMS", "bms=path bmsa=30", limit.Over, "bms=path"},
	{"current-fuse", "fuse=40", limit.Over, ""}, {"current-connector", "conn=pair-30", limit.Tight, ""},
	{"current-leads", "awg=20", limit.Over, ""}, {"current-leads between boxes", "split=9 crossawg=20", limit.Over, "split=9"},
	{"current-controller", "ctrlbatt=40", limit.Over, ""}, {"current-controller phases", "ctrlphase=100", limit.Over, ""},
	{"current-phase leads", "phawg=20", limit.Over, ""}, {"current-motor plug", "plug=bullet-4", limit.Over, ""},
	{"current-motor winding", "phase=200", limit.Over, ""},
	{"pack-heat", "temp=50 cell=21700-energy s=18 p=2 grade=4 rgrow=100 batt=25 regen=15 shift=15 tire=slick-6", limit.Over, "temp=50"},
	{"pack-heat", "temp=45 cell=21700-energy s=18 p=2 grade=4 batt=25 regen=15 shift=15 tire=slick-6", limit.Tight, "temp=40"},
	{"winding-assumed", "coil=20 grade=6 cruise=15 p=4", limit.Tight, "coil=84 grade=6 cruise=15 p=4"}, // it settles at 83 °C
	{"winding-assumed", "grade=8 p=4", limit.Over, "grade=8 p=4 heat=on"},
	{"winding-assumed", "coil=70 grade=6 cruise=15 p=4", limit.Tight, "coil=20 heat=on grade=6 cruise=15 p=4"},
	{"touch-voltage", "s=15", limit.Clear, "s=14"}, // 63 V and 58.8 V at the 60 V of IEC 60598-1
}

func changed(t *testing.T, text string) core.Report {
	t.Helper()
	var pairs []string
	for _, pair := range strings.Fields(text) {
		key, value, _ := strings.Cut(pair, "=")
		pairs = append(pairs, key, value)
	}
	return plan(t, pairs...)
}

func TestEveryCautionSpeaksAndIsSilent(t *testing.T) {
	for _, c := range raisedBy {
		assert.Equal(t, c.status, codes(changed(t, c.raised))[c.code], "%s with %q", c.code, c.raised)
		_, noted := codes(changed(t, c.silent))[c.code]
		assert.False(t, noted, "%s with %q", c.code, c.silent)
	}
}

// No note is left out of the list above, and whatever is over anywhere in the report is said at its top.
func TestWhateverIsOverReachesTheTop(t *testing.T) {
	known := map[string]bool{"estimate": true}
	for _, c := range raisedBy {
		known[c.code] = true
	}
	overs := 0
	rapid.Check(t, func(t *rapid.T) {
		b := randombuild.Any().Draw(t, "build")
		r, err := core.Plan(b)
		require.NoError(t, err)
		for _, n := range r.Notes {
			require.True(t, known[n.Code], "%s has no builds that raise it and do not", n.Code)
		}
		over := false
		for _, bar := range r.Limits {
			over = over || bar.Status == limit.Over
		}
		for _, row := range r.Protection.Rows {
			over = over || row.Status == limit.Over
		}
		for _, row := range r.Settings {
			over = over || row.Status == limit.Over
		}
		leads := r.Protection.Leads
		over = over || leads.Battery.Status == limit.Over || leads.Phase.Status == limit.Over || leads.Between != nil && leads.Between.Status == limit.Over
		over = over || r.Charge.Status == limit.Over || r.Weight.Status == limit.Over || r.Overspeed.Status == limit.Over ||
			r.Boxes.Main.Status == limit.Over || r.Boxes.Second.Status == limit.Over
		fuse := r.Protection.Fuse
		over = over || !fuse.VoltageOK || !fuse.BreakingOK || !fuse.LeadOK || !r.Charge.Fuse.VoltageOK || !r.Charge.Fuse.BreakingOK
		if over {
			overs++
			require.Equal(t, limit.Over, r.Notes[0].Status, randombuild.Text(&b))
		}
	})
	require.Positive(t, overs)
	assert.NotEqual(t, limit.Over, plan(t).Notes[0].Status, "and the default board is none of them")
}
