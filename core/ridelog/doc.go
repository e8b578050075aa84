// Package ridelog reads what a board's logger wrote during a ride: a table in CSV of any make, fed in pieces that may end anywhere, of
// any length. It tells how the table is written from its head (delimiter, decimal point, columns, units, signs), which may be corrected by
// hand, keeps figures and curves and never the rows, and finds what a ride check needs: stretches at steady speed, and volts against amps.
//
//	R     = −Σ(v'·i')/Σ(i'²)         v', i' what a straight line of time leaves of volts and amps within 40 s
//	shift = (T_max(v, V + R·I) − T)/(m_rider·g)      T by phase current, else by battery power, else by the level road
//
// Energy, charge and distance are sums by the trapezoid rule, over blanks of about a second with the figure before them. Nothing is summed
// across gaps of more than 5 s. Energy per distance is that of the time in which both are known. At full duty nothing is left, whatever the
// model says; and where the duty logged lies above the model's at the same speed, volts and current, the model promises too much.
//
// What this leaves out: wind, slopes that no altitude tells of, and the tenths of a second by which columns of one row may have been read
// apart.
package ridelog
