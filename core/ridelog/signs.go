package ridelog

import "math"

// From where on the signs of two currents must agree: slower, or with less power, braking may take power out of the battery. Engineering
// judgment with no published source.
const (
	agreeW    = 100 // W of the battery
	agreeRows = 10  // fewer tell nothing
)

// signs holds phase current against the battery's over the whole file, for the guess of its sign is made from the head alone.
type signs struct {
	same, other   int     // rows in which phase and battery current have the same sign, and not
	drove, braked float64 // A·m: phase current times speed over time, which goes as the work of the motor
}

func (s *signs) add(row *Row) {
	way := row[PackV] * row[BatteryA]
	if !(math.Abs(way) >= agreeW && row[Speed] >= slowSteady) || math.IsNaN(row[PhaseA]) || row[PhaseA] == 0 {
		return
	}
	if (way > 0) == (row[PhaseA] > 0) {
		s.same++
	} else {
		s.other++
	}
}

// between sums over the time between two rows.
func (s *signs) between(a, b *Row, dt float64) {
	switch w := (a[PhaseA]*a[Speed] + b[PhaseA]*b[Speed]) / 2 * dt; {
	case w > 0:
		s.drove += w
	case w < 0:
		s.braked -= w
	}
}

// doubt tells whether phase current seems to have its sign the other way round; turned says that the battery's has, so that it is held
// against the battery's as it will be once turned.
func (s *signs) doubt(turned bool) bool {
	n, against := s.same+s.other, s.other
	if n < agreeRows {
		return s.braked > 1.2*s.drove
	}
	if turned {
		against = s.same
	}
	return 3*against > n
}
