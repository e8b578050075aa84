package review

const (
	// Winding classes, °C: IEC 60085.
	classB, classH = 130, 180
	// fallMost is the winding temperature where current should begin to fall at the latest, °C: 10 K below class B, since sensors read
	// less than the hottest turn (common practice, no published source), and the usual magnet grades weaken from about there (from memory).
	fallMost = 120
	// fallOver is the stretch of temperature over which current should fall, K (common practice, no published source).
	fallOver = 10
	// Switch temperatures, °C: usual begin of derating, and what the silicon's 150 °C leaves for the way from junction to sensor (common
	// practice, no published source).
	switchWarm, switchMost = 85, 110
)

func derateBand(d *board) band {
	k := newBand(5)
	end := d.value("coilmax")
	k.high, k.limitHigh, k.open = min(fallMost, end-fallOver), end, true
	k.above = "Current begins to fall late."
	k.farAbove = "Current ends in one step: the nose drops."
	k.basis = "No current is left at " + say(end, "°C") + ". Falling from 120 °C at most, over 10 K or more, is common practice with no published source."
	return k
}

func windingEndBand(*board) band {
	k := newBand(5)
	k.high, k.limitHigh = classB, classH
	k.above = "Only a winding of class F or H stands this, and magnets may not."
	k.farAbove = "No usual winding stands this."
	k.basis = "Insulation class B stands 130 °C, F 155 °C, H 180 °C (IEC 60085)."
	return k
}

func controllerBand(*board) band {
	k := newBand(1)
	k.high, k.limitHigh = switchWarm, switchMost
	k.above = "The switches run hotter than is usual before anything is done about it."
	k.farAbove = "The switches may fail before current is taken back."
	k.basis = "A usual begin is 85 °C, the most 110 °C (common practice, no published source)."
	return k
}
