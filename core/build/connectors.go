package build

// ConnectorClass is one kind of plug or joint. Amperes are d.c. or r.m.s.
type ConnectorClass struct {
	Class
	ContinuousA float64
	PeakA       float64 // a few seconds
	VoltageDC   float64 // V
}

const noteConnector = "Class values: continuous current as the class is sold, about 1.8 times that for seconds; contacts age, and a loose one burns. Common practice, no published source; read the data sheet of yours."

// Connectors is the catalog of plugs and joints in battery and motor leads. Ids are frozen: links carry them.
var Connectors = []ConnectorClass{
	{Class{"pair-30", "Two-pole plug, 30 A class", noteConnector}, 30, 55, 500},
	{Class{"pair-60", "Two-pole plug, 60 A class", noteConnector}, 60, 110, 500},
	{Class{"pair-90", "Two-pole plug, 90 A class", noteConnector}, 90, 160, 500},
	{Class{"bullet-4", "Bullets, 4 mm", noteConnector}, 40, 75, 300},
	{Class{"bullet-55", "Bullets, 5.5 mm", noteConnector}, 80, 145, 300},
	{Class{"bullet-8", "Bullets, 8 mm", noteConnector}, 130, 235, 300},
	{Class{"round-60", "Round motor plug, 60 A class", noteConnector}, 60, 110, 120},
	{Class{"bolted-m5", "Bolted ring terminals, M5", noteConnector}, 150, 270, 1000},
}
