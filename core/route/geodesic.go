package route

import "math"

// The ellipsoid of WGS 84 (NIMA TR8350.2), which GPX counts its places on.
const (
	equator    = 6378137.0
	flattening = 1 / 298.257223563
)

// Distance is how far two places lie apart on the ellipsoid, m: Bowring's formulas for short lines (B. R. Bowring, Surveying and Mapping
// 41 (1981) 135). Held against exact geodesics: up to 5 km to a millimeter, up to 50 km to 1e-6 of the distance, poles included; further away
// it is no measure.
func Distance(a, b Point) float64 {
	const (
		first  = flattening * (2 - flattening) // e²
		second = first / (1 - first)           // e′²
	)
	lat := a.Lat * math.Pi / 180
	sin, cos := math.Sincos(lat)
	dLat := (b.Lat - a.Lat) * math.Pi / 180
	dLon := turned(b.Lon-a.Lon) * math.Pi / 180
	A := math.Sqrt(1 + second*cos*cos*cos*cos)
	B := math.Sqrt(1 + second*cos*cos)
	w := A * dLon / 2
	D := dLat / (2 * B) * (1 + 3*second/(4*B*B)*dLat*math.Sin(2*lat+2*dLat/3))
	sinD, cosD := math.Sincos(D)
	sinW, cosW := math.Sincos(w)
	E := sinD * cosW
	F := sinW / A * (B*cos*cosD - sin*sinD)
	half := math.Asin(math.Min(1, math.Hypot(E, F)))
	return 2 * half * equator * math.Sqrt(1+second) / (B * B)
}

// turned brings a difference of longitudes into −180…180: a way may cross the date line.
func turned(degrees float64) float64 {
	return degrees - 360*math.Round(degrees/360)
}

// heading splits a leg of a length in m into its parts to the east and to the north, in the direction of its two ends on a sphere: it
// serves the curves of a way alone.
func heading(a, b Point, meters float64) (east, north float64) {
	x := turned(b.Lon-a.Lon) * math.Cos((a.Lat+b.Lat)/2*math.Pi/180)
	y := b.Lat - a.Lat
	if r := math.Hypot(x, y); r > 0 {
		return meters * x / r, meters * y / r
	}
	return 0, 0
}
