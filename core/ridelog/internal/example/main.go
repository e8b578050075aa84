// Command example writes the example log in testdata: `go run ./core/ridelog/internal/example > testdata/ride_log.csv`.
package main

import (
	"fmt"
	"math"
	"os"

	"headroom/core/link"
	"headroom/core/ridelog/internal/ridesim"
)

func main() {
	l := ridesim.Usual()
	l.Fastest = 1.6 // more than is wise, so that the reserve falls under the wanted one
	log := ridesim.Ride(link.Decode(ridesim.ExampleTruth).Build, l, 600, 4)
	var out []ridesim.Sample
	for i, s := range log {
		if i > 2400 && i <= 2640 { // the logger was stopped for half a minute
			continue
		}
		switch i {
		case 700, 701, 3000:
			s.Volts = math.NaN()
		case 1500:
			s.Amps = math.NaN()
		case 2000, 4000:
			out = append(out, s) // written twice
		}
		out = append(out, s)
	}
	if _, err := os.Stdout.Write(ridesim.CSV(out)); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}
