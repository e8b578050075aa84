//go:build !js

package browser

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"headroom/wasm/page/pagetest"
)

// TestShots writes pictures of the page into the folder named by HEADROOM_SHOTS (`make shots`), for people to look at.
func TestShots(t *testing.T) {
	folder := os.Getenv("HEADROOM_SHOTS")
	if folder == "" {
		t.Skip("HEADROOM_SHOTS names no folder")
	}
	require.NoError(t, os.MkdirAll(folder, 0o755))
	for _, size := range [][2]int64{{360, 800}, {390, 844}, {768, 1024}, {1440, 900}} {
		for _, scheme := range []string{"light", "dark"} {
			tab := openSized(t, os.Getenv("HEADROOM_SHOTS_LINK"), size[0], size[1])
			media(tab, "prefers-color-scheme", scheme)
			for _, step := range [][2]string{
				{"top", `window.scrollTo(0,0)`},
				{"why", `document.getElementById("why-speed.cruise_ceiling_kmh.low").click()`},
				{"middle", `document.querySelector("#why .close").click();window.scrollTo(0,900)`},
				{"path", `document.querySelectorAll("details").forEach(d=>d.open=true);document.querySelector(".path").scrollIntoView()`},
				{"settings", `document.querySelector("#settings").scrollIntoView()`},
				{"fuse", `document.querySelector('[data-chart="fuse"]').scrollIntoView()`},
				{"boxes", `document.querySelector(".cells").scrollIntoView()`},
				{"side", `document.querySelector(".board").scrollIntoView()`},
				{"find", `document.querySelector(".find").scrollIntoView()`},
				{"ride-check", `document.querySelector("#ride-check").scrollIntoView()`},
				{"prices", `document.querySelector("#prices").scrollIntoView()`},
				{"quote", `document.querySelector("#quote").scrollIntoView()`},
				{"share", `document.querySelector(".share").scrollIntoView()`},
				{"rules", `document.querySelector(".rules").scrollIntoView()`},
				{"sun", `document.querySelector('button.sun').click();window.scrollTo(0,0)`},
				{"end", `document.querySelector('button.sun').click();document.querySelectorAll("details").forEach(d=>d.open=true);window.scrollTo(0,document.body.scrollHeight-2400)`},
			} {
				name, do := step[0], step[1]
				pagetest.Eval[any](tab, do+";0")
				tab.Do(chromedp.Sleep(300 * time.Millisecond))
				picture, err := chromedp.Run(tab.Context(), chromedp.CaptureScreenshot())
				require.NoError(t, err)
				file := filepath.Join(folder, fmt.Sprintf("%dx%d-%s-%s.png", size[0], size[1], scheme, name))
				require.NoError(t, os.WriteFile(file, picture, 0o644))
			}
		}
	}
}
