//go:build !js

package browser

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"headroom/wasm/page/pagetest"
)

// lighthouse is the version whose scores are reported: they differ from one to the next.
const lighthouse = "lighthouse@12.2.3"

// BenchmarkLighthouse reports the scores of Lighthouse's mobile preset, of 100. It is fetched by npm for this run alone; where that cannot be,
// the table says so.
func BenchmarkLighthouse(b *testing.B) {
	npx, err := exec.LookPath("npx")
	if err != nil {
		remarks = append(remarks, "NOT MEASURED WITH LIGHTHOUSE: npm is missing here")
		b.Skip(remarks[len(remarks)-1])
	}
	file := filepath.Join(b.TempDir(), "report.json")
	command := exec.Command(npx, "--yes", lighthouse, serve(b), "--quiet", "--output=json", "--output-path="+file,
		"--only-categories=performance,accessibility,best-practices,seo", "--chrome-flags=--headless --no-sandbox --disable-gpu")
	command.Env = append(os.Environ(), "CHROME_PATH="+pagetest.Path())
	// Once is enough, and takes half a minute.
	if text, err := command.CombinedOutput(); err != nil {
		remarks = append(remarks, "NOT MEASURED WITH LIGHTHOUSE: npm could not get it, or it failed: "+err.Error())
		b.Skipf("%s\n%s", remarks[len(remarks)-1], text)
	}
	text, err := os.ReadFile(file)
	require.NoError(b, err)
	var told struct {
		Categories map[string]struct {
			Score     float64
			AuditRefs []struct {
				ID     string
				Weight float64
			}
		}
		Audits map[string]struct {
			Score        *float64
			DisplayValue string
		}
	}
	require.NoError(b, json.Unmarshal(text, &told))
	for _, c := range []struct {
		name string
		goal float64
	}{{"performance", 95}, {"accessibility", 100}, {"best-practices", 100}, {"seo", 100}} {
		score := told.Categories[c.name].Score * 100
		b.ReportMetric(score, c.name)
		figures = append(figures, figure{what: "Lighthouse, " + c.name, value: score, goal: c.goal, atLeast: true})
		for _, r := range told.Categories[c.name].AuditRefs {
			if a := told.Audits[r.ID]; r.Weight > 0 && a.Score != nil && *a.Score < 0.9 {
				figures = append(figures, figure{what: "which takes from it: " + r.ID + " " + a.DisplayValue, value: *a.Score * 100, noGoal: true})
			}
		}
	}
}
