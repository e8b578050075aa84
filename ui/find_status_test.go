package ui

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/core"
	"headroom/core/limit"
	"headroom/core/link"
)

// A board around which both clear and tight builds are found.
const (
	bothBase   = "fusetype=battery-450&fuse=60&awg=6&crossawg=6&conn=bolted-m5&plug=bolted-m5&chgtype=pv-1000&regen=20&batt=40&phase=90&chga=4"
	bothWishes = "range=25&ceiling=26&mass=20&s=16-20&p=2&cell=21700-balanced%2C21700-energy&tire=trail-6%2Cslick-6%2Cstreet-5&ctrl=c100%2Cc130"
)

func searchedBoth(t *testing.T) *Planner {
	t.Helper()
	p := opened(t, bothBase)
	p.recallFind(bothWishes)
	p.SetOpen(findID, true)
	p.StartFind()
	worked(p)
	return p
}

func statesOf(t *testing.T, p *Planner) (list []limit.Status) {
	t.Helper()
	for _, row := range all(findCard(t, p), carries("data-found")) {
		r, err := core.Plan(link.Decode(value(row, "data-found")).Build)
		require.NoError(t, err)
		status, code, _ := r.Worst()
		require.NotEqual(t, limit.Over, status, "none that is over is ever offered")
		said := find(row, class("st"))
		require.NotNil(t, said)
		assert.Equal(t, string(status), tidy(said), "in words")
		assert.NotNil(t, find(said, element("path")), "and as a shape")
		assert.NotNil(t, find(row, class(string(status))), "and in color")
		if code != "" {
			assert.Contains(t, tidy(row), core.Words(code), "with its reason")
		}
		list = append(list, status)
	}
	return list
}

// By whatever the table is ordered, clear builds stand first, and every row, dot and near miss says its status.
func TestClearBuildsStandFirstInTheTable(t *testing.T) {
	p := searchedBoth(t)
	p.finds.rows = 1000
	for _, key := range []string{"", "mass", "range", "ceiling"} {
		p.SortFind(key)
		list := statesOf(t, p)
		tight := 0
		for _, s := range list {
			if s == limit.Tight {
				tight++
			} else {
				assert.Zero(t, tight, "by %q", key)
			}
		}
		require.Positive(t, tight)
		require.Less(t, tight, len(list))
		dots := svg(t, findCard(t, p), "plot")
		assert.Len(t, all(dots, class("dot"), class("tight")), tight)
		assert.Len(t, all(dots, class("dot"), class("clear")), len(list)-tight)
		assert.Contains(t, tidy(find(findCard(t, p), attribute("data-message", "find-states"))), decimal(float64(len(list)-tight), 0)+" clear, first; then "+decimal(float64(tight), 0)+" tight")
	}
	assert.NotEqual(t, dotShape(limit.Clear, 5, 5, 3), dotShape(limit.Tight, 5, 5, 3))

	p.TickFind("clear", true)
	assert.True(t, strings.HasSuffix(p.finds.given["clear"], "on"))
	assert.Contains(t, p.finds.text(), "clear=on")
	p.StartFind()
	worked(p)
	p.finds.rows = 1000
	for _, s := range statesOf(t, p) {
		assert.Equal(t, limit.Clear, s)
	}
	assert.Contains(t, tidy(find(findCard(t, p), attribute("data-message", "find-states"))), "All are clear")
	assert.NotNil(t, find(findCard(t, p), attribute("name", "find-clear"), carries("aria-describedby")))
	p.TickFind("clear", false)
	assert.NotContains(t, p.finds.text(), "clear")
}

// Where none is clear, that is said before the table.
func TestNoClearBuildIsSaid(t *testing.T) {
	p := opened(t, bothBase+"&bms=path&bmsa=100")
	p.recallFind(bothWishes)
	p.SetOpen(findID, true)
	p.StartFind()
	worked(p)
	for _, s := range statesOf(t, p) {
		assert.Equal(t, limit.Tight, s)
	}
	assert.Contains(t, tidy(find(findCard(t, p), attribute("data-message", "find-states"))), "No clear build among them")
}

// Prices of the table, of near misses and of the saved list are in the shop's currency, by its code.
func TestFoundPricesHaveTheirCurrency(t *testing.T) {
	p := opened(t, bothBase)
	p.DemoPrices()
	p.SetQuote("currency", "JPY")
	p.recallFind(bothWishes + "&price=1410")
	p.SetOpen(findID, true)
	p.StartFind()
	worked(p)
	card := findCard(t, p)
	assert.Equal(t, "price JPY", tidy(find(card, attribute("name", "find-sort"), attribute("value", "price"))))
	assert.Contains(t, tidy(above(find(card, attribute("name", "find-price")), class("field"))), "JPY")
	found := p.finds.run.result().Found
	require.NotEmpty(t, found)
	require.NotNil(t, found[0].Price)
	body := &FindBuildsBody{P: p}
	cells := body.row(&found[0]).Cells
	assert.Equal(t, p.bareMoney(p.currency(), p.inMoney(priceOf(&found[0]))), cells[len(cells)-1])
	assert.NotContains(t, cells[len(cells)-1], ".", "yen have no hundredths")
	dear := 0
	for _, m := range p.finds.run.result().Near {
		if m.Wish == "price" {
			dear++
			assert.Contains(t, body.missed(&m), "wanted JPY\u00a01410")
		}
	}
	require.Positive(t, dear)
	var file string
	p.OnSave = func(_, _ string, content []byte) { file = string(content) }
	p.SaveFoundTable()
	assert.Contains(t, file, "price (JPY)")
}
