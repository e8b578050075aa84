// Package review goes through every limit in a controller and holds it against what this build should have.
//
// Each setting has a band in which it is clear, and limits past which it is over; between the two it is tight. With f the current
// margin asked for, A a rating and S the cells in series:
//
//	motor current       need of the ride … (1 − f)·A, at most A of the weakest part in the phase path; never below what holds the ride
//	battery current     need of the ride … (1 − f)·A, at most A of the weakest part in the battery path; never below what holds the ride
//	current back        braking of the ride, a fifth to spare … (1 − f)·3·A, at most 3·A, with A the cells' lasting charge rating; never below
//	                    what holds the steepest way down
//	weakening current   … the least of λ/L_d (all of the magnet's flux gone) and what keeps the back-EMF inside the controller's limit
//	highest duty        need of the ride … 95 %; never below what holds the ride
//	voltage to fall at  S·cell's careful cut-off … the loaded voltage with the reserve at the charge to turn home; never below S·empty, above
//	                    what the bus falls to while the ride is held, above the full pack
//	voltage to end at   S·empty … 2 % below the one to fall at
//	voltage ceiling     1 % above the full pack … 3 % below the controller's limit; never below the full pack
//	winding             falls from what the ride brings it to … 10 K below its end, 120 °C at most; ends 10 K above what the ride brings it to …
//	                    130 °C, 180 °C at most; never so low that what is left of the current does not hold the ride
//	controller          falls from what the ride's losses bring the switches to … 85 °C, 110 °C as the limit; never at the air in the box
//
// What holds the ride is what keeps more than no balance reserve at the charge to turn home, and the reserve asked for at the charge it starts
// with, since without that there is no range. It is found with the other limits of current lifted, so that a setting answers for itself; where
// the parts do not stand it no setting is to blame, and the ride is judged. That the switches come to 110 °C when the controller carries its
// lasting rating in air of 25 °C, and warm in proportion to their losses, is an assumption (common practice, no published source); so it makes
// a setting tight and not over.
//
// Sources: the ratings are the parts'; λ/L_d is the characteristic current of any text on permanent-magnet machines. Winding classes
// B 130, F 155 and H 180 °C are IEC 60085. What one percentage, 10 points or 10 K of distance stands for, three times the charge rating
// for seconds, and the controller's temperatures are common practice, no published source; each rule says so where it stands.
//
// What this leaves out: settings that are not limits (filters, gains, angles, sensor tables), how fast a limit takes hold, and errors of
// the controller's own current and voltage measurement.
package review
