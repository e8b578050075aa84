// Writes geodesic.csv: distances of pairs of places on WGS 84 by the exact method of C. F. F. Karney, Algorithms for geodesics,
// J. Geodesy 87 (2013) 43, in the author's own package geographiclib-geodesic 2.2.0 (MIT).
//   npm install geographiclib-geodesic@2.2.0 && node testdata/geodesic.mjs > testdata/geodesic.csv
import geodesic from "geographiclib-geodesic";
const wgs84 = geodesic.Geodesic.WGS84;
let seed = 1;
const draw = () => (seed = (seed * 48271) % 2147483647) / 2147483647; // Park and Miller's generator
console.log("lat1,lon1,lat2,lon2,distance_m");
for (const reach of [1, 10, 100, 1000, 5000, 20000, 50000])
	for (let i = 0; i < 12; i++) {
		const lat1 = i == 0 ? 0 : i == 1 ? 90 : i == 2 ? -89.999 : Number((170 * draw() - 85).toFixed(7));
		const lon1 = i == 3 ? 179.9999 : Number((360 * draw() - 180).toFixed(7));
		const there = wgs84.Direct(lat1, lon1, 360 * draw(), reach * (0.5 + 0.5 * draw()));
		const lat2 = Number(there.lat2.toFixed(8)), lon2 = Number(there.lon2.toFixed(8));
		console.log([lat1, lon1, lat2, lon2, wgs84.Inverse(lat1, lon1, lat2, lon2).s12.toFixed(6)].join(","));
	}
