package route

import (
	"math"

	"headroom/core/build"
	"headroom/core/heat"
	"headroom/core/pack"
	"headroom/core/ride"
	"headroom/core/road"
)

const (
	gather  = 0.6  // m/s², how fast a rider gathers speed without hurry
	slow    = 0.8  // m/s², and loses it before a curve
	lateral = 2.0  // m/s² in a curve; all three common practice, no published source
	walking = 1.0  // m/s; below it a rider has stepped off
	stuck   = 0.02 // m/s²; who can gather speed no faster does not get away

	rounds = 3 // of the whole way: the speeds of one rest on the charges of the one before

	lowestAir = -400.0 // m above sea level, as far as the air is followed
	highAir   = 9000.0
)

// What sets the speed at a place.
const (
	ByWish    = "riding speed"
	ByReserve = string(ride.StopReserve)
	ByDuty    = string(ride.StopDuty)
	ByBraking = "braking"
	ByCurve   = "curve"
	ByChange  = "gathering or losing speed"
)

// Rider is a board with what is wanted of it.
type Rider struct {
	Board    ride.Board
	Motor    build.MotorClass
	AmbientC float64
	WindingC float64 // that the Board's drive is computed at
	Wanted   float64 // m/s
	Start    float64 // charge, fraction
	Floor    float64 // charge to turn home at
	From, To float64 // m/s at the two ends; 0 begins and ends standing
}

// Place is one node of the way as ridden.
type Place struct {
	Meters  float64
	Ele     float64
	Grade   float64 // of the segment that follows
	Speed   float64 // m/s
	Charge  float64
	Shift   float64 // least reserve on the segment that follows, m
	Most    float64 // torque that the limits leave there, N·m
	Winding float64 // °C
	By      string  // what sets the speed on the segment that follows
}

// Descent is the place where the way down comes nearest to what braking can hold.
type Descent struct {
	At      int // node; -1 where no way down had to be held
	Ceiling ride.Descent
}

// Ride is a way ridden as far as it goes.
type Ride struct {
	Places   []Place
	Meters   float64   // ridden, on the map
	Stop     ride.Stop // "" where the end was reached
	Seconds  float64
	EnergyWh float64 // drawn at the controller, braking counted back
	HeatWh   float64 // left in the pack's resistance
	Road     float64 // m ridden along the slopes
	Lowest   int     // node with the least reserve
	Hottest  int     // node with the warmest winding
	Hub      float64 // °C at the end
	Descent  Descent
	Unheld   float64 // m of the way where braking passes what the limits take back
	Overfull float64 // charge pushed into a full pack, fraction
}

// Traveler rides a path, a piece a call, so that a page that has only one thread stays awake. The speed is the wanted one where reserve,
// duty, braking and curve allow it at the charge there, and changes no faster than a rider without hurry. How far the charge has fallen at a
// place depends on the speeds before it, so the whole way is ridden several times over.
type Traveler struct {
	rider Rider
	path  *Path
	level float64 // air density where the path knows no elevations

	charge []float64   // at each node, of the round before
	caps   []float64   // highest speed on each segment
	by     []string    // what sets it
	ends   []ride.Stop // why a segment cannot be ridden; "" where it can
	plan   []float64   // highest speed at each node from which what comes can be met

	round, at int
	marching  bool
	done      bool
	ride      Ride
	state     heat.State
	z, v      float64
	least     float64 // N·m of braking left where it was least
}

// NewTraveler begins; nothing is computed yet.
func NewTraveler(rider Rider, path *Path) *Traveler {
	n := len(path.Ele)
	t := &Traveler{rider: rider, path: path, level: rider.Board.Road.Density}
	t.charge, t.plan = make([]float64, n), make([]float64, n)
	t.caps, t.by, t.ends = make([]float64, n-1), make([]string, n-1), make([]ride.Stop, n-1)
	for i := range t.charge {
		t.charge[i] = rider.Start
	}
	return t
}

// Done tells whether the whole way has been ridden.
func (t *Traveler) Done() bool { return t.done }

// Ride is the outcome; it holds once Done does.
func (t *Traveler) Ride() *Ride { return &t.ride }

// Share is how much of the work is done, 0…1.
func (t *Traveler) Share() float64 {
	if t.done {
		return 1
	}
	n := float64(len(t.caps))
	part := float64(t.at)
	if t.marching {
		part += n
	}
	return (float64(t.round)*2*n + part) / (rounds * 2 * n)
}

// piece is how many segments one step looks at.
const piece = 8

// Step does one piece of the work and tells whether there was any.
func (t *Traveler) Step() bool {
	if t.done {
		return false
	}
	for range piece {
		if t.at == len(t.caps) {
			t.turn()
			return true
		}
		if t.marching {
			if !t.march(t.at) {
				t.finish()
				return true
			}
		} else {
			t.cap(t.at)
		}
		t.at++
	}
	return true
}

// turn goes on from looking to riding, and from riding to the next round.
func (t *Traveler) turn() {
	if t.marching {
		t.finish()
		return
	}
	t.lookAhead()
	t.at, t.marching = 0, true
	t.z, t.v, t.least = t.rider.Start, t.plan[0], math.Inf(1)
	t.state = heat.State{Winding: t.rider.AmbientC, Hub: t.rider.AmbientC}
	t.ride = Ride{Descent: Descent{At: -1}, Places: make([]Place, 0, len(t.plan))}
}

func (t *Traveler) finish() {
	n := len(t.ride.Places)
	last := Place{Meters: t.ride.Meters, Ele: t.eleAt(t.ride.Meters), Speed: t.v, Charge: t.z, Winding: t.state.Winding}
	if n > 0 {
		before := &t.ride.Places[n-1]
		last.Shift, last.Most, last.Grade, last.By = before.Shift, before.Most, before.Grade, before.By
	}
	t.ride.Places = append(t.ride.Places, last)
	t.ride.Hub = t.state.Hub
	for i := range t.ride.Places {
		if t.ride.Places[i].Winding > t.ride.Places[t.ride.Hottest].Winding {
			t.ride.Hottest = i
		}
		if t.ride.Places[i].Shift < t.ride.Places[t.ride.Lowest].Shift {
			t.ride.Lowest = i
		}
	}
	if t.round++; t.round == rounds {
		t.done = true
		return
	}
	// Beyond a stop nothing is known of the charge but that it would be lower still.
	for i := range t.charge {
		t.charge[i] = t.z
		if i < len(t.ride.Places) {
			t.charge[i] = t.ride.Places[i].Charge
		}
	}
	t.at, t.marching = 0, false
}

func (t *Traveler) eleAt(meters float64) float64 {
	at := math.Min(meters/t.path.Step, float64(len(t.path.Grade)))
	i := min(int(at), len(t.path.Grade)-1)
	return t.path.Ele[i] + (at-float64(i))*t.path.Step*t.path.Grade[i]
}

// thin sets the air of a segment. A path without elevations has that of the build.
func (t *Traveler) thin(i int) {
	t.rider.Board.Road.Density = t.level
	if !t.path.Level {
		ele := math.Min(highAir, math.Max(lowestAir, t.path.Ele[i]))
		t.rider.Board.Road.Density = road.AirDensity(ele, t.rider.AmbientC)
	}
}

// wantedNm is the reserve asked for, N·m.
func (t *Traveler) wantedNm() float64 {
	return t.rider.Board.Shift * t.rider.Board.Road.Rider * road.Gravity
}

// length is that of a segment along its slope, m.
func (t *Traveler) length(i int) float64 {
	return t.path.Step * math.Hypot(1, t.path.Grade[i])
}

// advance moves the outcome on by a share of a segment, which takes s for the whole of it.
func (t *Traveler) advance(i int, share, seconds float64, p *ride.Passing, src pack.Source, speed float64) {
	seconds *= share
	r := &t.ride
	r.Meters += share * t.path.Step
	r.Road += share * t.length(i)
	r.Seconds += seconds
	r.EnergyWh += p.Power * seconds / 3600
	r.HeatWh += src.Resistance * p.Square * seconds / 3600
	if p.LeftToTheRider {
		r.Unheld += share * t.path.Step
	}
	model := heat.New(t.rider.Motor, speed, t.rider.AmbientC)
	t.state = model.After(t.state, heat.LossesAt(p.Copper, p.Iron, t.rider.WindingC), seconds)
}
