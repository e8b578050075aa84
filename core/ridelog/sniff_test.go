package ridelog

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// told is a layout in short: delimiter, decimal point, first line of figures, and quantity and unit of each column.
func told(l *Layout) string {
	list := []string{string(l.Delimiter) + string(l.Decimal) + itoa(l.FirstLine)}
	for _, c := range l.Columns {
		text := "-"
		if c.Quantity != None {
			text = c.Quantity.String() + " " + c.Unit
			if c.Flip {
				text += " flipped"
			}
		}
		list = append(list, text)
	}
	if l.Spread {
		list = append(list, "spread")
	}
	return strings.Join(list, "|")
}

// Headers in the ways that loggers and spreadsheets write them; the expectations are what a person reads in them.
func TestLayoutsAreGuessed(t *testing.T) {
	for _, c := range []struct{ name, head, want string }{
		{"units as last words", "time_s,speed_kmh,duty_pct,pack_v,battery_a,phase_a\n0.0,1.0,2.0,70.1,3.5,9\n0.1,1.5,2.5,70.0,3.5,9\n",
			",.2|time s|speed km/h|duty %|pack voltage V|battery current A|phase current A peak"},
		{"units in brackets, milliseconds by name", "Time (ms);Speed (mph);Duty cycle;Input Voltage [V];Battery Current (A);Motor Current (A RMS)\n0;1.0;0.12;70.1;3.5;9\n100;1.5;0.15;70.0;3.5;9\n",
			";.2|time ms|speed mph|duty 0–1|pack voltage V|battery current A|phase current A r.m.s."},
		{"decimal commas, other languages, a date", "Uhrzeit;Geschwindigkeit km/h;Spannung;Batteriestrom;Höhe\n12:00:00,0;20,5;70,1;3,5;101,5\n12:00:00,5;20,7;70,0;3,5;101,6\n",
			";,2|time clock|speed km/h|pack voltage V|battery current A|altitude m"},
		{"quoted cells with commas in them", "\"t\",\"speed\",\"voltage\"\n\"0,0\",\"1,5\",\"70,1\"\n\"0,1\",\"1,6\",\"70,0\"\n",
			",,2|time s|speed km/h|pack voltage V"},
		{"tabs, lines before the header, a row of units", "Ride of a day\nwritten by a logger\n\nTimestamp\tVelocity\tVoltage\tCurrent\tTemp motor\tTemp mosfet\nms\tm/s\tmV\tA\t°F\t°C\n1700000000000\t1\t70100\t3\t80\t30\n1700000000100\t1\t70100\t3\t80\t30\n",
			"\t.6|time ms|speed m/s|pack voltage mV|battery current A|motor temperature °F|controller temperature °C"},
		{"milliseconds and fractions by the figures", "timestamp,speed,pwm,voltage,current\n1000,10,0.31,70,5\n1100,10,0.30,70,5\n1200,10,0.31,70,5\n",
			",.2|time ms|speed km/h|duty 0–1|pack voltage V|battery current A"},
		{"currents that are negative while driving", "time,speed,voltage,batteryCurrent,motorCurrent\n0,10,70,-5,-12\n1,10,70,-6,-14\n2,10,70,1,2\n",
			",.2|time s|speed km/h|pack voltage V|battery current A flipped|phase current A peak flipped"},
		{"several of a kind: the plain one", "time,max speed,gps speed,speed,cell voltage min,pack voltage,motor current,battery current,total distance,trip\n0,30,10,10,3.5,70,12,5,100.0,1.0\n1,30,10,10,3.5,70,12,5,100.0,1.0\n",
			",.2|time s|-|-|speed km/h|-|pack voltage V|phase current A peak|battery current A|-|distance km"},
		{"no header", "0,10,70\n1,10,70\n2,10,70\n", ",.1|-|-|-"},
		{"date and time apart", "Date,Time,Speed\n2026-05-01,10:00:00,10\n2026-05-01,10:00:01,11\n", ",.2|-|time clock|speed km/h"},
		{"a coarse clock", "time,speed\n10:00:00,1\n10:00:00,2\n10:00:00,3\n10:00:01,4\n10:00:01,5\n10:00:01,6\n10:00:02,6\n", ",.2|time clock|speed km/h|spread"},
		{"a column of words under a known name", "time,speed,speed\n0,slow,3\n1,fast,4\n2,fast,4\n", ",.2|time s|-|speed km/h"},
		{"bytes at the beginning that mark UTF-8", "\ufefftime,speed\n0,1\n1,2\n", ",.2|time s|speed km/h"},
		{"power for current", "seconds,speed,voltage,power\n0,10,70,300\n1,10,70,310\n", ",.2|time s|speed km/h|pack voltage V|power W"},
	} {
		l, _ := Sniff([]byte(c.head))
		assert.Equal(t, c.want, told(&l), c.name)
	}
}

// A board at 36 km/h goes 10 m in a second: a distance that names no unit is told by that.
func TestUnitOfTheDistanceByTheSpeed(t *testing.T) {
	for unit, each := range map[string]float64{"m": 10, "km": 0.01, "mi": 10 / 1609.344, "ft": 10 / 0.3048} {
		for head, want := range map[string]string{"distance": unit, "distance (km)": "km"} {
			text := "time,speed," + head + "\n"
			for i := range 30 {
				text += fmt.Sprintf("%d,36,%.6f\n", i, each*float64(i)+3)
			}
			l, failure := Sniff([]byte(text))
			require.Empty(t, failure)
			assert.Equal(t, want, l.Columns[2].Unit, "%s in %s", head, unit)
		}
	}
	l, _ := Sniff([]byte("time,speed,distance\n0,0,500\n1,0,500\n2,0,500\n3,0,500\n"))
	assert.Equal(t, "km", l.Columns[2].Unit, "at rest nothing tells")
}

func TestWhatIsNoLog(t *testing.T) {
	for text, want := range map[string]string{
		"":                               "No table",
		"a text of words":                "No table",
		"{\"a\": 1,\n \"b\": 2}":         "",
		"time,speed\n":                   "no rows of figures",
		"\xff\xfet\x00i\x00":             "UTF-16",
		"PK\x03\x04\x00\x00":             "no text",
		"speed,volts\n1,70\n2,70\n":      "time",
		"time,altitude\n1,70\n2,70\n":    "speed or the pack voltage",
		"time,speed\nx,y\nz,w\na,b\n":    "no rows of figures",
		strings.Repeat("x", HeadBytes+9): "No table",
	} {
		_, failure := Read([]byte(text), Settings{})
		assert.NotEmpty(t, failure, "%.20q", text)
		assert.Contains(t, failure, want, "%.20q", text)
	}
}

func TestLayoutCanBeCorrected(t *testing.T) {
	l, failure := Sniff([]byte("a,b (mph),c\n0,10,70\n1,10,70\n2,10,70\n"))
	require.Contains(t, failure, "time")
	l.Use(0, Time)
	l.Use(1, Speed)
	assert.Equal(t, ",.2|time s|speed mph|-", told(&l))
	l.Use(2, Speed)
	assert.Equal(t, ",.2|time s|-|speed km/h", told(&l), "a quantity is in one column")
	assert.Empty(t, l.Missing())
	again := l.Copy()
	again.Use(2, PackV)
	assert.Equal(t, Speed, l.Columns[2].Quantity, "a copy is a layout of its own")

	r, failure := Read([]byte("a,b (mph),c\n0,10,70\n1,10,70\n2,10,70\n"), Settings{Layout: &again})
	assert.Empty(t, failure)
	assert.Equal(t, 3, r.Used)
	assert.Equal(t, 70.0, r.HighestV.Value)
	assert.Nil(t, r.TopSpeed)
}

func TestEveryQuantityHasWordsAndUnits(t *testing.T) {
	for _, q := range Quantities() {
		assert.NotEmpty(t, q.String())
		if q == None {
			continue
		}
		assert.NotEmpty(t, q.Units(), q)
		assert.Less(t, kinds[q].lo, kinds[q].hi, q)
		for _, u := range q.Units() {
			got, ok := q.unit(u.ID)
			assert.True(t, ok)
			assert.Equal(t, u, got)
		}
	}
	for name, id := range unitNames {
		found := false
		for _, q := range Quantities() {
			if _, ok := q.unit(id); ok || q == PhaseA && (id == "A" || id == "mA") {
				found = true
			}
		}
		assert.True(t, found, "unit %s of %q is no quantity's", id, name)
	}
	for tr := range Trouble(troubles) {
		assert.NotEmpty(t, tr.String())
	}
}

// NIST SP 811, appendix B: exact factors.
func TestUnitsAreThePublishedOnes(t *testing.T) {
	for _, c := range []struct {
		q        Quantity
		unit     string
		v, wants float64
	}{
		{Speed, "km/h", 36, 10}, {Speed, "mph", 100, 44.704}, {Distance, "mi", 1, 1609.344}, {Distance, "ft", 10, 3.048}, {MotorC, "°F", 212, 100},
		{ControllerC, "°F", 32, 0}, {Altitude, "ft", 100, 30.48}, {PhaseA, "A r.m.s.", 10, 14.142135623730951}, {Time, "min", 2, 120}, {Duty, "%", 55, 0.55},
	} {
		u, ok := c.q.unit(c.unit)
		require.True(t, ok, c.unit)
		assert.InDelta(t, c.wants, c.v*u.Factor+u.Offset, 1e-9, "%v %s", c.q, c.unit)
	}
}
