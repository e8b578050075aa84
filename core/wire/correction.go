package wire

import "math"

// AmbientFactor returns the share of its rating that a conductor carries in air of ambientC, when the rating holds in air of referenceC and
// the conductor may reach limitC (> referenceC), all °C. Heat that leaves is about proportional to the rise, heat made to the square of
// the current, so the factor is √((limit − ambient)/(limit − reference)); it passes 1 in colder air and is 0 where the air is as hot as
// the limit. IEC 60364-5-52 table B.52.14 follows it to two digits (from memory; the column for PVC seen in a public copy).
func AmbientFactor(limitC, ambientC, referenceC float64) float64 {
	return math.Sqrt(max(0, limitC-ambientC) / (limitC - referenceC))
}

// bundle is IEC 60364-5-52 table B.52.17, bunched in air, for 1 circuit and more (from memory; 2, 3, 4, 6, 9 and 12 seen in a public copy).
// The table has no 10 and 11; they lie on the line between.
var bundle = [...]float64{1, 0.80, 0.70, 0.65, 0.60, 0.57, 0.54, 0.52, 0.50, 0.50 - 0.05/3, 0.50 - 0.10/3, 0.45}

// BundleFactor returns the share of its rating that a lead carries among circuits (1…12) lying together and equally loaded; fewer count as
// 1 and more as 12.
func BundleFactor(circuits int) float64 {
	return bundle[max(1, min(circuits, len(bundle)))-1]
}
