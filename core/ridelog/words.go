package ridelog

import (
	"slices"
	"strings"
	"unicode"
)

// rule is one way that loggers name a quantity: all words of one of the alternatives must be there, and none of those against.
type rule struct {
	q       Quantity
	score   int
	words   string // alternatives apart by |
	against string
}

// rules are the words that columns of logs are named with: English, and the commonest of German, French, Spanish and Italian. The better
// the name tells, the higher the score. Common practice, no published source.
var rules = []rule{
	{Time, 6, "timestamp|elapsed time|time elapsed|time ms|time s|ride time|datetime|date time", "zone remaining charge"},
	{Time, 5, "time|zeit|temps|tiempo|tempo|uhrzeit|heure|hora|ora", "zone remaining charge date"},
	{Time, 4, "elapsed|seconds|millis|milliseconds|sekunden|ms|clock|t", ""},
	{Speed, 6, "speed|velocity|geschwindigkeit|vitesse|velocidad|velocita|velocità", "gps max avg average mean wind limit rpm"},
	{Speed, 3, "gps speed|gps velocity|kmh|mph", "max avg average mean wind limit"},
	{Duty, 6, "duty|duty cycle|dutycycle|modulation", "max avg average"},
	{Duty, 4, "pwm|tastgrad|tastverhältnis", "max avg average"},
	{PackV, 6, "pack voltage|battery voltage|input voltage|bus voltage|batt voltage|bat voltage|vbat|vbatt|vin|vbus|pack volts|battery volts|batteriespannung|akkuspannung|pack v|battery v|bus v|input v", "cell min max avg"},
	{PackV, 4, "voltage|volts|spannung|tension|tensión|tensione|voltaje", "cell phase min max avg d q"},
	{BatteryA, 6, "battery current|pack current|input current|bus current|batt current|bat current|ibat|ibatt|iin|battery amps|pack amps|batteriestrom|akkustrom|battery a|pack a|bus a|input a|dc current", "max avg average limit"},
	{BatteryA, 3, "current|amps|strom|courant|corriente|corrente", "motor phase winding id iq max avg average limit charge"},
	{PhaseA, 6, "motor current|phase current|motor amps|phase amps|motorstrom|phasenstrom|motor a|phase a|winding current", "max avg average limit"},
	{PhaseA, 4, "iq|imot|imotor|q current|current q", "max avg average limit"},
	{Power, 6, "battery power|input power|pack power|power w|bus power", "max avg average motor"},
	{Power, 4, "power|watts|leistung|puissance|potencia|potenza", "max avg average motor"},
	{Distance, 6, "trip|trip distance|distance|strecke|distanz|distancia|distanza", "total gps remaining"},
	{Distance, 3, "odometer|odo|total distance|mileage|gps distance", "remaining"},
	{MotorC, 6, "motor temp|motor temperature|winding temp|winding temperature|coil temp|motortemperatur|temp motor|temperature motor", ""},
	{ControllerC, 6, "controller temp|controller temperature|mosfet temp|fet temp|driver temp|inverter temp|temp mosfet|temp controller|temp fet|mosfet temperature|fet temperature|inverter temperature", "motor"},
	{ControllerC, 3, "temp|temperature|temperatur|température|temperatura", "motor battery batt ambient air bms cell imu"},
	{Altitude, 6, "altitude|elevation|höhe|hohe|altura|altitud|quota|seehöhe", "max"},
}

// unitNames are the ways that units are written, in small letters.
var unitNames = map[string]string{
	"s": "s", "sec": "s", "secs": "s", "second": "s", "seconds": "s", "ms": "ms", "msec": "ms", "millis": "ms", "milliseconds": "ms",
	"µs": "µs", "us": "µs", "min": "min", "minutes": "min", "hh:mm:ss": unitClock, "h:m:s": unitClock,
	"km/h": "km/h", "kmh": "km/h", "kph": "km/h", "kmph": "km/h", "mph": "mph", "mi/h": "mph", "m/s": "m/s", "mps": "m/s",
	"%": "%", "percent": "%", "pct": "%", "0-1": "0–1", "0–1": "0–1", "0..1": "0–1",
	"v": "V", "volt": "V", "volts": "V", "mv": "mV", "a": "A", "amp": "A", "amps": "A", "ampere": "A", "ma": "mA",
	"w": "W", "watt": "W", "watts": "W", "kw": "kW",
	"km": "km", "m": "m", "meter": "m", "meters": "m", "mi": "mi", "mile": "mi", "miles": "mi", "ft": "ft", "feet": "ft",
	"c": "°C", "°c": "°C", "degc": "°C", "celsius": "°C", "f": "°F", "°f": "°F", "degf": "°F", "fahrenheit": "°F",
	"arms": "A r.m.s.", "a rms": "A r.m.s.", "a r.m.s.": "A r.m.s.", "rms": "A r.m.s.",
}

// isUnits tells whether a row holds units, or nothing, in every cell.
func isUnits(row []string) bool {
	some := false
	for _, cell := range row {
		text := strings.Trim(strings.ToLower(cell), "[]() ")
		if text == "" || text == "-" {
			continue
		}
		if _, ok := unitNames[text]; !ok {
			return false
		}
		some = true
	}
	return some
}

// wordsOf cuts a header into small words: at anything that is no letter, and where a capital follows a small letter.
func wordsOf(header string) []string {
	var words []string
	var word []rune
	end := func() {
		if len(word) > 0 {
			words, word = append(words, strings.ToLower(string(word))), nil
		}
	}
	var before rune
	for _, r := range header {
		if !unicode.IsLetter(r) {
			end()
		} else {
			if unicode.IsUpper(r) && unicode.IsLower(before) {
				end()
			}
			word = append(word, r)
		}
		before = r
	}
	end()
	return words
}

// unitText is the unit that a header names: in brackets, after a slash or comma, or as its last word.
func unitText(header string) string {
	text := strings.ToLower(strings.TrimSpace(header))
	if open := strings.LastIndexAny(text, "[("); open >= 0 {
		if shut := strings.IndexAny(text[open:], "])"); shut > 0 {
			if id, ok := unitNames[strings.TrimSpace(text[open+1:open+shut])]; ok {
				return id
			}
		}
	}
	for _, tail := range []string{"km/h", "m/s", "mi/h", "a rms", "%", "°c", "°f"} {
		if strings.HasSuffix(text, tail) {
			return unitNames[tail]
		}
	}
	words := wordsOf(header)
	if len(words) < 2 {
		if len(words) == 1 && (words[0] == "ms" || words[0] == "millis" || words[0] == "milliseconds" || words[0] == "seconds" || words[0] == "kmh" || words[0] == "mph") {
			return unitNames[words[0]]
		}
		return ""
	}
	return unitNames[words[len(words)-1]]
}

// unitOf picks the unit of a quantity from its name, else from a row of units, else the usual one.
func unitOf(q Quantity, named, row string) string {
	for _, id := range []string{named, row} {
		if _, ok := q.unit(id); ok {
			return id
		}
		if q == PhaseA && (id == "A" || id == "mA") {
			return id + " peak"
		}
	}
	return q.Units()[0].ID
}

// names tells whether a text is a unit of a quantity. An A of phase current is one, though it leaves open whether peaks are meant.
func names(q Quantity, text string) bool {
	_, ok := q.unit(text)
	return ok || q == PhaseA && (text == "A" || text == "mA")
}

// scoreOf tells how well a header fits a rule.
func (r *rule) scoreOf(words []string) int {
	for _, not := range strings.Fields(r.against) {
		if slices.Contains(words, not) {
			return 0
		}
	}
	for _, way := range strings.Split(r.words, "|") {
		need := strings.Fields(way)
		if all(need, words) {
			return 10*r.score + 2*len(need) - min(len(words), 8) // the fewer other words the better
		}
	}
	return 0
}

func all(need, words []string) bool {
	for _, n := range need {
		if !slices.Contains(words, n) {
			return false
		}
	}
	return true
}
