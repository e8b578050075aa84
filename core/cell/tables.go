package cell

import "headroom/core/build"

// Open-circuit voltages at 0, 5, … 100 % state of charge, V. The same tables stand in testdata/ with the stoichiometries
// they were computed from; a test holds the two against each other.
//
// Nickel-rich: 21700, 5 Ah, LiNi₀.₈Mn₀.₁Co₀.₁O₂ and graphite with silicon. C.-H. Chen et al., J. Electrochem. Soc. 167
// (2020) 080534.
var ocvNickelRich = []float64{
	2.5000, 3.1094, 3.2959, 3.4339, 3.4852, 3.5286, 3.5814,
	3.6290, 3.6670, 3.7054, 3.7509, 3.7983, 3.8406, 3.8896,
	3.9479, 3.9943, 4.0421, 4.0809, 4.0967, 4.1236, 4.2000,
}

// Nickel-cobalt: LiNiCoAlO₂ and graphite. G.-H. Kim et al., J. Electrochem. Soc. 158 (2011) A955.
var ocvNickelCobalt = []float64{
	2.7000, 3.1939, 3.2471, 3.3099, 3.3721, 3.4331, 3.4918,
	3.5472, 3.5978, 3.6430, 3.6846, 3.7253, 3.7678, 3.8163,
	3.8742, 3.9300, 3.9803, 4.0295, 4.0803, 4.1354, 4.2000,
}

// Iron phosphate: 18650, 2 Ah, LiFePO₄ and graphite. Computed from the open BPX parameter set of 2022 (About:Energy),
// CC BY-SA 4.0: attribution and this line stay with the numbers.
var ocvIronPhosphate = []float64{
	2.0000, 3.1365, 3.1882, 3.2039, 3.2296, 3.2541, 3.2674,
	3.2727, 3.2750, 3.2764, 3.2781, 3.2809, 3.2864, 3.2953,
	3.3057, 3.3136, 3.3181, 3.3205, 3.3218, 3.3227, 3.6486,
}

// Resistance at 0, 10, … 100 % state of charge over that at 50 %. Published 1C-against-C/20 resistances of the two BPX 2022
// cells (testdata/cell_effective_dc_resistance_bpx.csv, CC BY-SA 4.0), made monotone by isotonic regression (pool adjacent
// violators) because the scatter between neighbours is measurement, and held constant outside the measured 10–90 %.
var (
	shapeNickel = []float64{1.3706, 1.3706, 1.1617, 1.1617, 1.1232, 1, 0.9945, 0.9945, 0.9945, 0.9476, 0.9476}
	shapeIron   = []float64{5.893, 5.893, 1.809, 1.315, 1.125, 1, 1, 1, 0.987, 0.910, 0.910}
)

type table struct{ ocv, shape *curve }

// No published shape was found for the nickel-cobalt cell; it takes that of the other nickel chemistry.
var tables = map[build.Chemistry]table{
	build.NickelRich:    {newCurve(ocvNickelRich), newCurve(shapeNickel)},
	build.NickelCobalt:  {newCurve(ocvNickelCobalt), newCurve(shapeNickel)},
	build.IronPhosphate: {newCurve(ocvIronPhosphate), newCurve(shapeIron)},
}
