package charge

import (
	"fmt"
	"math"
	"strconv"

	"headroom/core/build"
	"headroom/core/limit"
)

// Check is a judgement that has no bar.
type Check struct {
	Status limit.Status `json:"status"`
	Text   string       `json:"text"` // one sentence
}

const (
	tolerance = 50  // mV on the pack: a charger's printed voltage is given to a tenth of a volt
	half      = 50  // %: a charger that cannot fill half a pack was never meant for it
	alike     = 100 // mV: what a charger of another series count may be off to be named
)

// Temperatures of the cells in °C. Below 0 °C lithium plates on graphite; 0–45 °C is what data sheets usually allow, and less
// current below 10 °C (common practice from cell data sheets, no published source).
const (
	plating = 0
	chilly  = 10
	warm    = 45
)

// usual charge voltages of one cell, V: layered oxides, iron phosphate, high-voltage oxides (common practice, no published source).
var usual = [...]float64{4.2, 3.65, 4.35}

// Full voltages of one cell, mV. Iron phosphate is charged to 3.65 V and has nothing to gain above it. 4.25 V is the upper limit charging
// voltage of IEC 62133-2 for layered oxides (from memory); high-voltage types go beyond and say so in their data sheet.
const (
	ironFull  = 3650
	ironMost  = 3700
	oxideMost = 4250
)

func (r *Report) judge(b *build.Build, p *build.Parts) {
	r.Cell = judgeCell(&p.Cell)
	r.Voltage = r.judgeVoltage(b.Series, p.Cell.FullV)
	r.Temperature = JudgeTemperature(b.ChargeC)
	r.Current = limit.NewBar("charge.cell_a", r.CellA, r.CellLimitA, b.Margin,
		fmt.Sprintf("The charger puts %.3g A through each cell, and %.3g A is the most that it may be charged with.", r.CellA, r.CellLimitA))
	r.Status = r.Current.Status
	for _, s := range [...]limit.Status{r.Cell.Status, r.Voltage.Status, r.Temperature.Status} {
		if s.Worse(r.Status) {
			r.Status = s
		}
	}
}

// judgeCell holds the cell's full voltage against its chemistry: charged past it a cell swells, vents and burns, whatever the charger's label.
func judgeCell(c *build.CellClass) Check {
	volts, full := number(c.FullV), math.Round(1000*c.FullV)
	switch iron := c.Chemistry == build.IronPhosphate; {
	case iron && full > ironMost:
		return Check{limit.Over, "The cells are to be charged to " + volts + " V; iron phosphate is full at 3.65 V. Charged past that a cell swells, vents and burns."}
	case iron && full > ironFull:
		return Check{limit.Tight, "The cells are to be charged to " + volts + " V; iron phosphate is full at 3.65 V and gains nothing above it."}
	case full > oxideMost:
		return Check{limit.Tight, "The cells are to be charged to " + volts + " V. Most take 4.2 V and are harmed above 4.25 V: only if their data sheet says so."}
	}
	return Check{limit.Clear, "The cell's full voltage is usual for its chemistry."}
}

// judgeVoltage compares in whole millivolts, so that exactly a twentieth of a volt off is within.
func (r *Report) judgeVoltage(series int, cellV float64) Check {
	off := math.Round(1000 * r.ChargerErrorV)
	volts := number(math.Abs(off) / 1000)
	switch {
	case off > tolerance:
		return Check{limit.Over, "The charger ends " + volts + " V above the full pack and would overcharge every cell" +
			rightFor(r.ChargerV, series, cellV) + "."}
	case off < -tolerance:
		c := Check{limit.Tight, "The charger ends " + volts + " V below the full pack and fills it to " + number(math.Floor(r.FillPct)) + " % at most"}
		// Made for another pack: whoever takes it for this board's may take that board's for it too.
		if other := rightFor(r.ChargerV, series, cellV); other != "" || r.FillPct < half {
			c.Status, c.Text = limit.Over, c.Text+other
		}
		c.Text += "."
		return c
	}
	return Check{limit.Clear, "The charger ends at the voltage of the full pack."}
}

// rightFor names the pack whose full voltage is nearest to the charger's, within a tenth of a volt; the pack that is judged is none.
func rightFor(volts float64, series int, cellV float64) string {
	best, text := float64(alike+1), ""
	for _, one := range [...]float64{cellV, usual[0], usual[1], usual[2]} {
		count := math.Round(volts / one)
		if count == float64(series) && one == cellV {
			continue
		}
		if off := math.Abs(math.Round(1000 * (volts - count*one))); off < best {
			best, text = off, fmt.Sprintf("; it is right for %s cells of %s V", number(count), number(one))
		}
	}
	return text
}

// JudgeTemperature says whether cells at a temperature in °C may be charged, by a charger or by braking.
func JudgeTemperature(celsius float64) Check {
	at := "Cells at " + number(celsius) + " °C "
	switch {
	case celsius < plating:
		return Check{limit.Over, at + "must not be charged: below 0 °C lithium plates onto the graphite and stays there."}
	case celsius < chilly:
		return Check{limit.Tight, at + "take a charge badly: many data sheets ask for less current below 10 °C."}
	case celsius > warm:
		return Check{limit.Tight, at + "are above the 45 °C up to which data sheets usually allow a charge."}
	}
	return Check{limit.Clear, at + "are within the 10 to 45 °C where they charge best."}
}

// number writes a value with as many decimals as it has, three at most.
func number(v float64) string { return strconv.FormatFloat(math.Round(1000*v)/1000, 'f', -1, 64) }
