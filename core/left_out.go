package core

// LeftOut is what the model as a whole does not know, each in one sentence. What a single figure leaves out stands with its method.
var LeftOut = []string{
	"Bumps, kerbs and the rider's own balance: the reserve says how much the motor can add, not how much a bump will ask for.",
	"Differences from cell to cell: the weakest group sags more, is empty first and is full first.",
	"Charge that cold locks away, hysteresis of the open-circuit voltage, and voltage that recovers slowly after a load.",
	"Hot spots in the winding, magnets that weaken when hot, and radiation and sun on the hub.",
	"Switching ripple, current loops and sensors: the controller is taken to hold exactly what it is set to.",
	"Tires that are worn, warm or damaged; the rolling coefficient is that of a class until you fit yours.",
	"Water, vibration, loose screws and bad welds: what fails most on real boards is in no equation.",
}
