package quote

import (
	"math"
	"strconv"
	"strings"

	"headroom/core/money"
)

// figure is a number with at most so many digits after the point.
func figure(v float64, digits int) string {
	scale := math.Pow10(digits)
	return strconv.FormatFloat(math.Round(v*scale)/scale, 'f', -1, 64)
}

// text puts words and numbers together.
func text(parts ...any) string {
	var out strings.Builder
	for _, part := range parts {
		switch v := part.(type) {
		case string:
			out.WriteString(v)
		case int:
			out.WriteString(strconv.Itoa(v))
		case money.Decimal:
			out.WriteString(v.String())
		}
	}
	return out.String()
}

// Counted is a quantity with its unit, as people write it: "42 pieces", "0.139 m²".
func Counted(quantity money.Decimal, unit string) string {
	switch {
	case unit == "m2":
		unit = "m²"
	case quantity != money.One && (unit == "piece" || unit == "pair" || unit == "set"):
		unit += "s"
	}
	return strings.TrimSpace(quantity.String() + " " + unit)
}

func lower(s string) string {
	if len(s) > 1 && s[1] >= 'A' && s[1] <= 'Z' {
		return s // PVC
	}
	return strings.ToLower(s[:1]) + s[1:]
}

func upper(s string) string { return strings.ToUpper(s[:1]) + s[1:] }
