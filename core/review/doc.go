// Package review goes through every limit in a controller and holds it against what this build should have.
//
// Each setting has a band in which it is clear, and limits past which it is over; between the two it is tight. With f the current
// margin asked for, A a rating and S the cells in series:
//
//	motor current       need of the ride … (1 − f)·A, at most A of the weakest part in the phase path
//	battery current     need of the ride … (1 − f)·A, at most A of the weakest part in the battery path
//	current back        braking of the ride … (1 − f)·3·A, at most 3·A, with A the cells' lasting charge rating
//	weakening current   … the least of λ/L_d (all of the magnet's flux gone) and what keeps the back-EMF inside the controller's limit
//	voltage to fall at  S·cell's careful cut-off … the loaded voltage at the charge to turn home; never below S·empty, above the full pack
//	voltage to end at   S·empty … 2 % below the one to fall at
//	voltage ceiling     1 % above the full pack … 3 % below the controller's limit; never below the full pack
//	winding             falls 10 K or more below its end, from 120 °C at most; ends at 130 °C, 180 °C at most
//	controller          falls from 85 °C at most, 110 °C as the limit
//
// Sources: the ratings are the parts'; λ/L_d is the characteristic current of any text on permanent-magnet machines. Winding classes
// B 130, F 155 and H 180 °C are IEC 60085. What one percentage, 10 points or 10 K of distance stands for, three times the charge rating
// for seconds, and the controller's temperatures are common practice, no published source; each rule says so where it stands.
//
// What this leaves out: settings that are not limits (filters, gains, angles, sensor tables), how fast a limit takes hold, and errors of
// the controller's own current and voltage measurement.
package review
