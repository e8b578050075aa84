package ridelog

// daySeconds is a day of the clock; leap seconds do not count.
const daySeconds = 86400.0

// clock reads a time of day or a date with one, in s: since midnight without a date, since 1970-01-01 with one. It knows
// “hh:mm:ss”, with fractions after a point or comma and with AM or PM, “hh:mm” with a date before it, and dates as ISO 8601 has them
// (year, month, day, with a T or a blank before the time; slashes or points for the dashes). The zone is passed over, since only
// differences count. dated tells whether there was a date.
func clock(cell []byte) (seconds float64, dated, ok bool) {
	colon := -1
	for i, c := range cell {
		if c == ':' {
			colon = i
			break
		}
	}
	if colon < 1 {
		return 0, false, false
	}
	from := colon
	for from > 0 && digit(cell[from-1]) && colon-from < 2 {
		from--
	}
	if from == colon {
		return 0, false, false
	}
	days := 0
	if before := trim(cell[:from]); len(before) > 0 {
		if last := before[len(before)-1]; last == 'T' || last == 't' || last == ',' {
			before = before[:len(before)-1]
		}
		if days, ok = date(before); !ok {
			return 0, false, false
		}
		dated = true
	}
	hours := whole(cell[from:colon])
	rest := cell[colon+1:]
	minutes, rest, ok := two(rest)
	if !ok || minutes > 59 {
		return 0, false, false
	}
	second := 0.0
	if len(rest) > 0 && rest[0] == ':' {
		var s int
		if s, rest, ok = two(rest[1:]); !ok || s > 60 {
			return 0, false, false
		}
		second = float64(s)
		if len(rest) > 0 && (rest[0] == '.' || rest[0] == ',' || rest[0] == ':') {
			rest = rest[1:]
			part, unit := 0.0, 1.0
			for len(rest) > 0 && digit(rest[0]) && unit < 1e12 {
				part, unit = part*10+float64(rest[0]-'0'), unit*10
				rest = rest[1:]
			}
			second += part / unit
		}
	} else if !dated {
		return 0, false, false
	}
	switch rest = trim(rest); {
	case len(rest) == 0:
	case noon(rest):
		if hours > 12 || hours == 0 {
			return 0, false, false
		}
		hours %= 12
		if rest[0] == 'p' || rest[0] == 'P' {
			hours += 12
		}
	case rest[0] == 'Z' || rest[0] == 'z' || rest[0] == '+' || rest[0] == '-':
	default:
		return 0, false, false
	}
	if hours > 99 || dated && hours > 24 {
		return 0, false, false
	}
	return float64(days)*daySeconds + float64(hours)*3600 + float64(minutes)*60 + second, dated, true
}

func digit(c byte) bool { return c >= '0' && c <= '9' }

// two reads two digits.
func two(text []byte) (v int, rest []byte, ok bool) {
	if len(text) < 2 || !digit(text[0]) || !digit(text[1]) {
		return 0, nil, false
	}
	return int(text[0]-'0')*10 + int(text[1]-'0'), text[2:], true
}

// whole reads digits alone.
func whole(text []byte) int {
	v := 0
	for _, c := range text {
		v = v*10 + int(c-'0')
	}
	return v
}

// noon tells “AM” and “PM”, with or without points.
func noon(text []byte) bool {
	first := text[0] | 0x20
	return (first == 'a' || first == 'p') && len(text) >= 2 && (text[1]|0x20 == 'm' || text[1] == '.')
}

// date reads year, month and day as days since 1970-01-01. Where the year stands last the day of the month and the month cannot be told
// apart; that does no harm within a ride that does not pass midnight, and the month is taken to stand first only where it must.
func date(text []byte) (days int, ok bool) {
	var part, digits [3]int
	n := 0
	for i := 0; i < len(text); i++ {
		switch c := text[i]; {
		case digit(c):
			if digits[n]++; digits[n] > 4 {
				return 0, false
			}
			part[n] = part[n]*10 + int(c-'0')
		case (c == '-' || c == '/' || c == '.') && digits[n] > 0 && n < 2:
			n++
		default:
			return 0, false
		}
	}
	if n != 2 || digits[2] == 0 {
		return 0, false
	}
	year, month, day := part[0], part[1], part[2]
	if digits[0] != 4 {
		day, month, year = part[0], part[1], part[2]
		if month > 12 {
			day, month = month, day
		}
		if digits[2] == 2 {
			year += 2000
		}
	}
	if month < 1 || month > 12 || day < 1 || day > 31 {
		return 0, false
	}
	// Days of the Gregorian calendar, counted in years that begin in March, so that the leap day is the last of its year.
	if month < 3 {
		year, month = year-1, month+12
	}
	return 365*year + year/4 - year/100 + year/400 + (153*(month-3)+2)/5 + day - 1 - 719468, true
}
