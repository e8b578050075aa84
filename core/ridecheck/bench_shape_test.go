package ridecheck

import (
	"fmt"
	"testing"
	"time"

	"headroom/core/build"
)

func TestScratch(t *testing.T) {
	b := build.Default()
	truth := b
	build.FieldFor("kv").Set(&truth, "14.4")
	build.FieldFor("cellr").Set(&truth, "20")
	build.FieldFor("cda").Set(&truth, "0.68")
	build.FieldFor("tirer").Set(&truth, "141")
	p := truth.Parts()
	m := model{b: truth, p: p}
	m.settle()
	var ms []Measurement
	add := func(k Kind, a At) {
		x := Measurement{Kind: k, At: a}
		v, ok := m.predict(&x)
		if !ok {
			t.Fatal(k)
		}
		x.Value = v
		ms = append(ms, x)
	}
	add(Rollout, At{})
	add(FreeSpinTurns, At{BusV: 74})
	add(FreeSpin, At{BusV: 74})
	add(FreeSpinAmps, At{BusV: 74})
	add(PackResistance, At{RestV: 66})
	add(LoadedVolts, At{RestV: 66, Amps: 30})
	add(Capacity, At{RestV: 74, EndV: 60})
	add(LeadsOhm, At{Celsius: 20})
	for _, v := range []float64{3, 5, 7, 8} {
		add(Duty, At{BusV: 66, Speed: v})
		add(BatteryAmps, At{BusV: 66, Speed: v})
	}
	add(EnergyUsed, At{RestV: 74, Speed: 6, Meters: 8000})
	add(BoardMass, At{})
	add(NoseMass, At{})
	start := time.Now()
	fit := FitAll(b, ms)
	fmt.Println(time.Since(start), fit.Failed, fit.Scale)
	for _, r := range fit.Rows {
		fmt.Printf("%-16s %10.4f before %10.4f after %10.4f σ %.4f w %.2f\n", r.Kind, r.Value, r.Before, r.After, r.Reading, r.Weight)
	}
	for _, c := range fit.Changes {
		fmt.Printf("%-24s %8.4g → %8.4g ± %.3g %s learned %.2f\n", c.Label, c.From, c.To, c.Sigma, c.Unit, c.Learned)
	}
	for _, p := range fit.Alike {
		fmt.Println(p.Text(), p.Correlation)
	}
	start = time.Now()
	for _, c := range CheckAll(b, ms) {
		fmt.Printf("%-16s %10.4f (%.4f ± %.4f) off %.1f %s: %s\n", c.Kind, c.Value, c.Predicted, c.Band(), c.Off, c.Status, c.Means)
	}
	fmt.Println(time.Since(start))
}
