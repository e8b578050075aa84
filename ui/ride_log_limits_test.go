package ui

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"

	"headroom/core/limit"
)

// The highest voltage and duty of a log are held against what the build bears, in words and shapes.
func TestRideLogExtremesAreJudged(t *testing.T) {
	b := opened(t, "v=1")
	parts := b.Build.Parts()
	most, full := parts.Controller.AbsoluteV, b.Report.Pack.FullV
	for _, c := range []struct {
		volts, duty     float64
		ofVolts, ofDuty limit.Status
	}{
		{full - 3, 0.5, limit.Clear, limit.Clear},
		{full * 1.01, b.Build.CruiseDuty + 0.01, limit.Tight, limit.Tight},
		{most + 1, b.Build.MaxDuty, limit.Over, limit.Over},
	} {
		for _, rows := range []int{400, 1} { // in all rows, or in one that those beside it do not bear out
			p, _ := logged(t, "time,speed (m/s),voltage,duty (%),battery current", 400, func(i int) string {
				volts, duty := full-3, 0.5
				if rows == 400 || i == 20 {
					volts, duty = c.volts, c.duty
				}
				return fmt.Sprintf("%.1f,3,%.2f,%.2f,2", float64(i)/10, volts, 100*duty)
			})
			ofVolts, ofDuty := c.ofVolts, c.ofDuty
			if rows == 1 && ofVolts == limit.Over {
				ofVolts, ofDuty = limit.Tight, limit.Tight
			}
			page := show(t, p)
			for key, want := range map[string]limit.Status{"high_v": ofVolts, "duty_pct": ofDuty} {
				n := find(page, attribute("data-log", key))
				assert.NotNil(t, find(n, class("st "+string(want))), "%s of %v: %s", key, c, tidy(n))
			}
			assert.Contains(t, tidy(find(page, attribute("data-log", "reserve_mm"))), "braking is not judged")
		}
	}
}
