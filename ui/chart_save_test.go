package ui

import (
	"encoding/csv"
	"encoding/xml"
	"errors"
	"io"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/core"
)

func TestFiguresAreSaved(t *testing.T) {
	p := unfolded(opened(t, "v=1"))
	p.SetUnits(US)
	saved := map[string]string{}
	p.OnSave = func(name, mime string, body []byte) { saved[name] = string(body); saved[name+" "] = mime }
	for _, plot := range plotsOf(p) {
		p.SaveTable(plot)
	}
	assert.Equal(t, "text/csv;charset=utf-8", saved["headroom-range.csv "])
	file := saved["headroom-torque.csv"]
	assert.Equal(t, strings.Count(file, "\n"), strings.Count(file, "\r\n"))
	rows, err := csv.NewReader(strings.NewReader(file)).ReadAll()
	require.NoError(t, err)
	assert.Equal(t, []string{"curve", "speed (km/h)", "torque (N·m)", "speed (mph)", "torque (lbf·ft)"}, rows[0])
	byCurve := map[string][][]string{}
	for _, row := range rows[1:] {
		byCurve[row[0]] = append(byCurve[row[0]], row[1:])
	}
	number := func(s string) float64 {
		v, err := strconv.ParseFloat(s, 64)
		require.NoError(t, err)
		return v
	}
	for name, at := range map[string]func(*core.Point) float64{
		"left, low":               func(q *core.Point) float64 { return q.ReserveNm },
		"most torque, low charge": func(q *core.Point) float64 { return q.TorqueMax },
		"left, full":              nil,
		"taken by level riding":   nil,
		"with the wanted reserve": nil,
		"most torque, full":       nil,
		"left, half":              nil,
		"most torque, half":       nil,
	} {
		require.Len(t, byCurve[name], 25, name)
		if at == nil {
			continue
		}
		for i, row := range byCurve[name] {
			q := &p.Report.Envelope.Low[i]
			assert.Equal(t, q.SpeedKmh, number(row[0]), "to the last digit")
			assert.Equal(t, at(q), number(row[1]))
			assert.InEpsilon(t, 1+q.SpeedKmh/1.609344, 1+number(row[2]), 1e-12)
		}
	}
	p.SetUnits(Metric)
	rows, err = csv.NewReader(strings.NewReader(plotsOf(p)["volts"].CSV())).ReadAll()
	require.NoError(t, err)
	assert.Equal(t, []string{"curve", "distance (km)", "voltage (V)"}, rows[0], "the same unit is not told twice")
	assert.Len(t, rows, 1+2*25)

	odd := &Plot{ID: "odd", X: Axis{Label: `a "b", c`}, Data: []Series{{Name: "x\ny", Points: []XY{{1, 2}}}}}
	rows, err = csv.NewReader(strings.NewReader(odd.CSV())).ReadAll()
	require.NoError(t, err)
	assert.Equal(t, `a "b", c ()`, rows[0][1])
	assert.Equal(t, []string{"x\ny", "1", "2"}, rows[1])
}

// elements reads a picture as XML and counts what is in it.
func elements(t require.TestingT, file string) (count map[string]int, words string) {
	count = map[string]int{}
	d := xml.NewDecoder(strings.NewReader(file))
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return count, words
		}
		require.NoError(t, err)
		switch v := token.(type) {
		case xml.StartElement:
			count[v.Name.Local]++
			for _, a := range v.Attr {
				require.NotContains(t, a.Value, "NaN")
				require.NotContains(t, a.Value, "Inf")
				require.NotEqual(t, "href", a.Name.Local)
			}
		case xml.CharData:
			words += spaced(string(v)) + "\n"
		}
	}
}

func TestPicturesStandAlone(t *testing.T) {
	p := unfolded(opened(t, "v=1"))
	for id, plot := range plotsOf(p) {
		count, words := elements(t, plot.File())
		assert.Equal(t, 1, count["svg"], id)
		assert.Equal(t, 1, count["style"], id)
		assert.Zero(t, count["image"]+count["script"]+count["foreignObject"], id)
		assert.GreaterOrEqual(t, count["path"], len(plot.Lines)+len(plot.Bands), id)
		assert.Contains(t, words, plot.Title, id)
		for _, s := range plot.samples() {
			assert.Contains(t, words, s.Name, id)
		}
	}
}
