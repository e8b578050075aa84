// Package cell is one lithium-ion cell: open-circuit voltage and resistance against state of charge, temperature and age.
//
//	U(z): table per chemistry, monotone cubic between points
//	R(z, T, age) = R₂₅ · shape(z) · exp(Eₐ/R · (1/T − 1/298.15)) · (1 + growth)
//
// Sources stand beside each table. State of charge z is a fraction, 0…1; values outside are taken at the nearer end.
//
// What this leaves out: hysteresis of the open-circuit voltage, relaxation after a load change, loss of usable charge in
// the cold, and the difference from cell to cell.
package cell
