// Package ridecheck holds what was measured on the finished board against the plan, says what a difference most likely means, and fits the
// plan to it.
//
// A measurement y with standard uncertainty σ stands against what the plan predicts, f(θ). The plan's inputs are not known exactly: each is its
// stated value times e^θ, and θ has standard uncertainty τ. With J = ∂f/∂θ the prediction is unsure by √Σ(J·τ)², to first order (JCGM
// 100:2008, Guide to the expression of uncertainty in measurement, 5.1.2), and bands are two standard uncertainties wide on either side (6.2.1,
// coverage about 95 %). What a difference most likely means follows from the same sum: each input's share in it.
//
// The fit is the θ of highest probability under those priors,
//
//	½·Σ n_i·ρ(r_i/s) + ½·Σ (θ/τ)²  →  least          r = (y − f(θ))/σ
//
// by K. Levenberg (Quart. Appl. Math. 2 (1944) 164) and D. Marquardt (J. SIAM 11 (1963) 431), within bounds that the fields of the build set.
// ρ is Huber's (Ann. Math. Stat. 35 (1964) 73, k = 1.345) first; then, with the scale s = max(1, 1.4826·median|r|) it leaves, Tukey's
// biweight (A. E. Beaton and J. W. Tukey, Technometrics 16 (1974) 147, c = 4.685), which leaves a gross error out altogether. Both
// constants give 95 % efficiency on normal errors. The fit begins without readings that stand out among three or more of their own kind, since
// one such would pull on it as long as the others are far off too. A gross error still widens s, and counts among the readings of its kind; so what was left
// out is taken away from both, and the fit goes on from there until nothing more goes out or comes back. What remains of a tenth of
// nonsense among good readings is under 2 % of every input that was measured; good readings that are lost are another matter. The
// uncertainty of what was fitted is the inverse of the Gauss–Newton matrix, priors included.
//
// An input of whose uncertainty the measurements take less than a tenth stays as it was, and the others are fitted once more without it. What
// it leaves open of them stays in their uncertainty.
//
// Readings of one kind come from one instrument and share part of its error, however many they are: n of them count as n/(1 + (n−1)·c), c
// the part of the variance that is common (engineering judgment, no published source: a tenth). n_i is that over n.
//
// What this leaves out: wind that differs from the build's, a winding warmer than the build's, slip of the tire, and every error that two
// kinds of measurement share. A fit can only be as good as the model: what the model leaves out goes into the inputs.
package ridecheck
