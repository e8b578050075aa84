package core

import (
	"strconv"

	"headroom/core/balance"
	"headroom/core/boxes"
	"headroom/core/build"
	"headroom/core/charge"
	"headroom/core/limit"
	"headroom/core/protect"
	"headroom/core/review"
	"headroom/core/rules"
)

// Report is everything the planner knows about one build. Its JSON keys are stable: scripts and the page read them. Speeds are
// km/h, distances km, temperatures °C, masses kg; everything else is SI unless its name carries a unit. No field ever holds NaN
// or infinity; what cannot be computed is absent (a nil pointer) and a note says why.
type Report struct {
	Build      Inputs          `json:"build"`
	Pack       Pack            `json:"pack"`
	Motor      Motor           `json:"motor"`
	Speed      Speed           `json:"speed"`
	Ride       Ride            `json:"ride"`
	Range      Range           `json:"range"`
	Envelope   Envelope        `json:"envelope"`
	Tire       Tire            `json:"tire"`
	Regen      Regen           `json:"regen"`
	Overspeed  Overspeed       `json:"overspeed"`
	Heat       Heat            `json:"heat"`
	Protection Protection      `json:"protection"`
	Charge     Charge          `json:"charge"`
	Weight     balance.Balance `json:"weight"`
	Boxes      Boxes           `json:"boxes"`
	Settings   []review.Row    `json:"settings"` // in order of danger
	Rules      []rules.Fact    `json:"rules"`
	Model      Model           `json:"model"`
	Limits     []limit.Bar     `json:"limits"`
	Notes      []Note          `json:"notes"`
}

// Pack is the battery at rest and under load.
type Pack struct {
	FullV         float64 `json:"full_v"`
	NominalV      float64 `json:"nominal_v"`
	EmptyV        float64 `json:"empty_v"`
	DrawnA        float64 `json:"drawn_a"`  // the most that the limits allow out of it at any speed and charge
	LoadedV       float64 `json:"loaded_v"` // full pack under that current
	SagV          float64 `json:"sag_v"`    // full pack at rest minus LoadedV
	CapacityAh    float64 `json:"capacity_ah"`
	EnergyWh      float64 `json:"energy_wh"`      // rated
	ResistanceOhm float64 `json:"resistance_ohm"` // at half charge
	ContinuousA   float64 `json:"continuous_a"`
	PeakA         float64 `json:"peak_a"`
	MassKg        float64 `json:"mass_kg"` // cells alone
	Cells         int     `json:"cells"`
}

// Motor is what the motor's constants say.
type Motor struct {
	FluxWb     float64 `json:"flux_wb"`
	TorquePerA float64 `json:"torque_per_a"` // N·m per peak phase ampere, before saturation
}

// Charges holds one figure at full, half and low charge.
type Charges struct {
	Full float64 `json:"full"`
	Half float64 `json:"half"`
	Low  float64 `json:"low"`
}

// Speed is how fast the wheel and the board go.
type Speed struct {
	FreeSpinKmh         float64  `json:"free_spin_kmh"`          // full charge, lifted wheel, no field weakening
	FreeSpinWeakenedKmh float64  `json:"free_spin_weakened_kmh"` // the same with field weakening as set
	LevelTopKmh         float64  `json:"level_top_kmh"`          // full charge; nothing is left there
	CruiseCeilingKmh    Charges  `json:"cruise_ceiling_kmh"`
	LimitedBy           string   `json:"limited_by"`       // of the ceiling at low charge
	StopM               *float64 `json:"stop_m,omitempty"` // from the ceiling at low charge, with the pack as the ride starts
	FallM               float64  `json:"fall_m"`           // the fall that the ceiling at low charge equals, v²/2g
}

// Ride is the worst moment of the ride held against the limits at low charge, where the least is left. Pointers are nil where the load cannot
// be carried at all.
type Ride struct {
	SpeedKmh  float64  `json:"speed_kmh"`  // the ride's highest
	WorstKmh  float64  `json:"worst_kmh"`  // where the least reserve is left; the rest is at this moment
	ChargePct float64  `json:"charge_pct"` // the low charge that the rest is at
	RoundM    float64  `json:"round_m"`    // one round of the ride
	RoundS    float64  `json:"round_s"`
	DutyPct   *float64 `json:"duty_pct,omitempty"`
	BusV      *float64 `json:"bus_v,omitempty"`
	BatteryA  *float64 `json:"battery_a,omitempty"`
	PowerW    *float64 `json:"power_w,omitempty"`
	PhaseA    *float64 `json:"phase_a,omitempty"`
	LoadNm    float64  `json:"load_torque"`
	MaxNm     float64  `json:"torque_max"`
	ReserveNm float64  `json:"reserve_nm"`
	ShiftMm   float64  `json:"shift_mm"`
	GradePct  float64  `json:"grade_pct"`
	BoundBy   string   `json:"bound_by"`
}

// Range is how far the board goes at the riding speed. The distances are nil where the ride uses no charge: downhill, or with the
// wind.
type Range struct {
	Km        *float64       `json:"km,omitempty"`
	LowKm     *float64       `json:"low_km,omitempty"`
	HighKm    *float64       `json:"high_km,omitempty"`
	WhPerKm   *float64       `json:"wh_per_km,omitempty"`
	StoppedBy string         `json:"stopped_by"`
	EndPct    float64        `json:"end_pct"`
	BySpeed   []RangeAtSpeed `json:"by_speed"`
}

// RangeAtSpeed is one point of range against steady speed.
type RangeAtSpeed struct {
	SpeedKmh  float64  `json:"speed_kmh"`
	Km        *float64 `json:"km,omitempty"`
	WhPerKm   *float64 `json:"wh_per_km,omitempty"` // nil where no ride is held at all
	StoppedBy string   `json:"stopped_by"`
}

// Envelope is level-ground speed from standstill to free spin at three charges.
type Envelope struct {
	Full []Point `json:"full"`
	Half []Point `json:"half"`
	Low  []Point `json:"low"`
}

// Point is one speed of the envelope. Duty, BusV, BatteryA and the phase currents are at the load torque; they are absent where
// the load cannot be carried.
type Point struct {
	SpeedKmh   float64  `json:"speed_kmh"`
	TorqueMax  float64  `json:"torque_max"`
	LoadTorque float64  `json:"load_torque"`
	Duty       *float64 `json:"duty,omitempty"`
	BusV       *float64 `json:"bus_v,omitempty"`
	BatteryA   *float64 `json:"battery_a,omitempty"`
	PhaseDA    *float64 `json:"phase_d_a,omitempty"`
	PhaseQA    *float64 `json:"phase_q_a,omitempty"`
	ReserveNm  float64  `json:"reserve_nm"`
	ShiftMm    float64  `json:"shift_mm"`
	GradePct   float64  `json:"grade_pct"`
	BoundBy    string   `json:"bound_by"`
}

// Protection is what the current meets.
type Protection struct {
	Rows      []protect.Row `json:"rows"`
	Weakest   string        `json:"weakest"`
	MarginPct float64       `json:"margin_pct"` // of the weakest part
	SpareA    float64       `json:"spare_a"`
	Fuse      protect.Fuse  `json:"fuse"`

	Suggest   protect.Suggestion `json:"suggest"` // the fuse to fit
	Leads     protect.Leads      `json:"leads"`
	LinkOhm   float64            `json:"link_ohm"` // strip of one link alone, 20 °C
	Precharge protect.Precharge  `json:"precharge"`
	Touch     protect.Touch      `json:"touch"`
}

// Charge is one charge of the pack, and the fuse in the charge lead.
type Charge struct {
	charge.Report
	Fuse protect.ChargeFuse `json:"fuse"`
}

// Boxes is whether and how the cells fit.
type Boxes struct {
	Main   boxes.Box `json:"main"`
	Second boxes.Box `json:"second"`
}

// Tire is the wheel's rubber on this board.
type Tire struct {
	DeflectionM float64 `json:"deflection_m"`
	PatchM2     float64 `json:"patch_m2"`
	GrowthM     float64 `json:"growth_m"`    // at the weakened free-spin speed
	ClearanceM  float64 `json:"clearance_m"` // what of the rub clearance is left there
}

// Regen is the regeneration ceiling at the ride's highest speed and its starting charge.
type Regen struct {
	MaxDescentPct *float64 `json:"max_descent_pct,omitempty"` // steepest descent that can be held; nil where no limit was met
	RidePct       float64  `json:"ride_pct"`                  // the ride's own steepest descent, ≥ 0
	BoundBy       string   `json:"bound_by"`
	SpeedKmh      float64  `json:"speed_kmh"`
	ChargePct     float64  `json:"charge_pct"`
	BusV          float64  `json:"bus_v"`
	BatteryA      float64  `json:"battery_a"`
	Least         Braking  `json:"least"`                  // where braking has least left on the ride's own steepest descent
	RideA         *float64 `json:"ride_a,omitempty"`       // the most that the ride pushes back; nil where the ride cannot be held
	LastingA      *float64 `json:"lasting_a,omitempty"`    // its r.m.s. over the ten minutes that push back most
	OverfullPct   *float64 `json:"overfull_pct,omitempty"` // of a full charge, pushed into a pack that is full, see ride.Board.Charging
	CellV         *float64 `json:"cell_v,omitempty"`       // the highest that the ride's braking lifts a cell to at the starting charge
	RoomPct       *float64 `json:"room_pct,omitempty"`     // the charge to start with so that there is room; nil where there is, or never is
}

// Braking is what it holds at one charge, at the ride's highest speed.
type Braking struct {
	ChargePct     float64  `json:"charge_pct"`
	MaxDescentPct *float64 `json:"max_descent_pct,omitempty"` // nil where no limit was met
	BoundBy       string   `json:"bound_by"`
	ShiftMm       *float64 `json:"shift_mm,omitempty"` // what is left on the ride's own descent, as a shift; nil where nothing has to brake there
}

// Overspeed is what the magnets make of the bus when the controller lets go at the weakened free-spin speed.
type Overspeed struct {
	BackEMFV float64      `json:"back_emf_v"`
	Status   limit.Status `json:"status"` // against the controller's absolute limit
}

// Heat is how warm the ride makes motor and pack. Nil where there is no such temperature, torque or time.
type Heat struct {
	WindingC       *float64 `json:"winding_c,omitempty"` // settled, mean of the ride
	HubC           *float64 `json:"hub_c,omitempty"`
	LimitC         float64  `json:"limit_c"`                    // where the controller begins to take current back
	SteadyNm       *float64 `json:"steady_nm,omitempty"`        // torque that settles there, at the climb's speed
	ClimbPct       float64  `json:"climb_pct"`                  // the ride's steepest climb
	ClimbKmh       float64  `json:"climb_kmh"`                  // the speed on it
	MinutesToLimit *float64 `json:"minutes_to_limit,omitempty"` // on it without end, from air temperature; nil if never in 4 h
	PackRiseK      *float64 `json:"pack_rise_k,omitempty"`      // over the whole ride, all heat kept

	climb     climbTimes // where MinutesToLimit is not nil
	warmShift *float64   // the reserve in mm with the winding as warm as the ride makes it; nil where the figures assume that or warmer
}

// Model is every resolved constant that an outsider needs to recompute the figures.
type Model struct {
	Motor struct {
		ResistanceOhm float64 `json:"resistance_ohm"` // 20 °C
		LdH           float64 `json:"ld_h"`
		LqH           float64 `json:"lq_h"`
		PolePairs     float64 `json:"pole_pairs"`
		FluxWb        float64 `json:"flux_wb"`
		SaturationA   float64 `json:"saturation_a"`
		HysteresisK   float64 `json:"hysteresis_k"`
		EddyK         float64 `json:"eddy_k"`
		WindingC      float64 `json:"winding_c"`
	} `json:"motor"`
	Controller struct {
		OnResistanceOhm float64 `json:"on_resistance_ohm"`
		SwitchingK      float64 `json:"switching_k"`
		StandbyW        float64 `json:"standby_w"`
	} `json:"controller"`
	Tire struct {
		RollingRadiusM float64 `json:"rolling_radius_m"` // at rest
		LoadedRadiusM  float64 `json:"loaded_radius_m"`
		GrowthK        float64 `json:"growth_k"`
	} `json:"tire"`
	Road struct {
		Mass          float64         `json:"mass_kg"`
		AirDensity    float64         `json:"air_density"`
		CdaM2         float64         `json:"cda_m2"`
		RollingForceN []ForceAtSpeed  `json:"rolling_force_n"`
		Uncertainty   UncertaintyNote `json:"uncertainty"`
	} `json:"road"`
	Pack struct {
		OpenCircuitV  Charges `json:"open_circuit_v"`
		ResistanceOhm Charges `json:"resistance_ohm"`
	} `json:"pack"`
}

// ForceAtSpeed is one point of a force curve.
type ForceAtSpeed struct {
	SpeedKmh float64 `json:"speed_kmh"`
	N        float64 `json:"n"`
}

// UncertaintyNote is the stated uncertainty of the inputs that make the band of the range, as fractions.
type UncertaintyNote struct {
	Rolling  float64 `json:"rolling"`
	DragArea float64 `json:"drag_area"`
	Mass     float64 `json:"mass"`
	Pressure float64 `json:"pressure"`
}

// Note is one thing a person must know.
type Note struct {
	Code   string       `json:"code"`
	Status limit.Status `json:"status"`
	Text   string       `json:"text"`
}

// Bar returns the bar of a readout, nil if it has no limit.
func (r *Report) Bar(key string) *limit.Bar {
	for i := range r.Limits {
		if r.Limits[i].Key == key {
			return &r.Limits[i]
		}
	}
	return nil
}

// Inputs is every input as resolved; it marshals to one JSON object by link key, in the table's order.
type Inputs struct {
	build build.Build
	parts build.Parts
}

// MarshalJSON writes numbers in the link's unit, choices as ids and rows as the link has them.
func (in Inputs) MarshalJSON() ([]byte, error) {
	out := []byte{'{'}
	for i := range build.Fields {
		f := &build.Fields[i]
		if i > 0 {
			out = append(out, ',')
		}
		out = strconv.AppendQuote(out, f.Key)
		out = append(out, ':')
		if f.Kind == build.Choice || f.Kind == build.Rows {
			out = strconv.AppendQuote(out, f.Text(&in.build))
		} else {
			out = strconv.AppendFloat(out, f.ValueIn(&in.build, &in.parts), 'g', -1, 64)
		}
	}
	return append(out, '}'), nil
}
