package protect

import "headroom/core/pack"

// Touch is what the full pack's voltage means to a hand.
type Touch struct {
	FullV float64 `json:"full_v"`
	Class string  `json:"class"`
	Text  string  `json:"text"`
}

// Limits of touch, V d.c.
const (
	TouchableV = 60.0  // IEC 60598-1; ES1 of IEC 62368-1 (from memory)
	ExtraLowV  = 120.0 // IEC 61140; ES2 of IEC 62368-1 (from memory)
)

// CheckTouch sorts the full pack's voltage. A limit that is just met is not passed.
func CheckTouch(k *pack.Pack) Touch {
	switch {
	case k.FullV > ExtraLowV:
		return Touch{k.FullV, "above 120 V d.c.",
			"Above the 120 V d.c. of extra-low voltage (IEC 61140) and of ES2 (IEC 62368-1): touching both ends can kill, dry hands or not. Build it in parts below 60 V that are joined last, double-insulate every joint, fit a service plug, work with insulated tools, one hand and never alone."}
	case k.FullV > TouchableV:
		return Touch{k.FullV, "above 60 V d.c.",
			"Above the 60 V d.c. that may be touched (IEC 60598-1; ES1 of IEC 62368-1), within the 120 V of extra-low voltage (IEC 61140): touching both ends can hurt or kill, wet skin above all. Insulate, cover, work with one hand, never alone."}
	}
	return Touch{k.FullV, "up to 60 V d.c.",
		"Within the 60 V d.c. that may be touched when dry (IEC 60598-1; ES1 of IEC 62368-1). A short circuit burns and welds as with any pack: rings and watches off."}
}
