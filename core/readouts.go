package core

import (
	"strconv"

	"headroom/core/boxes"
	"headroom/core/protect"
)

// Readout is one figure that the page can show: its report key, words and unit. The Readouts table is the only list of them.
type Readout struct {
	Key    string // path in the report's JSON
	Label  string
	Unit   string // of the value in the report
	Digits int    // after the decimal point, in Unit
	Help   string // one sentence a person can use
	Lead   bool   // stands in the readout bar
	Less   bool   // less of it is what helps

	value  func(*Report) *float64
	detail func(*Report) string
}

// Value returns the figure; ok is false where the report could not compute it.
func (o *Readout) Value(r *Report) (v float64, ok bool) {
	if p := o.value(r); p != nil {
		return *p, true
	}
	return 0, false
}

// Detail returns a few words that belong to the figure of this report, or "".
func (o *Readout) Detail(r *Report) string {
	if o.detail == nil {
		return ""
	}
	return o.detail(r)
}

// Readouts is every readout, in the page's order.
var Readouts = []Section{
	{"Speed", []Readout{
		{Key: "speed.cruise_ceiling_kmh.low", Label: "Cruise ceiling, low charge", Unit: "km/h", Lead: true,
			Help:  "Highest level-ground speed that keeps the balance reserve you ask for and stays under your duty, when the charge is low. A top speed with no reserve is a fall.",
			value: func(r *Report) *float64 { return &r.Speed.CruiseCeilingKmh.Low }, detail: func(r *Report) string { return r.Speed.LimitedBy }},
		{Key: "speed.cruise_ceiling_kmh.half", Label: "Cruise ceiling, half charge", Unit: "km/h", Help: "The same at 50 %.",
			value: func(r *Report) *float64 { return &r.Speed.CruiseCeilingKmh.Half }},
		{Key: "speed.cruise_ceiling_kmh.full", Label: "Cruise ceiling, full charge", Unit: "km/h", Help: "The same on a full pack: it does not last.",
			value: func(r *Report) *float64 { return &r.Speed.CruiseCeilingKmh.Full }},
		{Key: "speed.level_top_kmh", Label: "Level top speed", Unit: "km/h", Help: "Full charge, nothing left: not a speed to ride.",
			value: func(r *Report) *float64 { return &r.Speed.LevelTopKmh }},
		{Key: "speed.stop_m", Label: "Stop from the ceiling", Unit: "m", Digits: 1, Help: "Level ground, hardest braking that every limit allows with the pack as the ride starts. A rider may not stay on that long.",
			value: func(r *Report) *float64 { return r.Speed.StopM }},
		{Key: "speed.fall_m", Label: "Fall it equals", Unit: "m", Digits: 1, Help: "Being thrown at the ceiling is like falling from this height.",
			value: func(r *Report) *float64 { return &r.Speed.FallM }},
		{Key: "speed.free_spin_kmh", Label: "Free-spin speed", Unit: "km/h", Help: "Lifted wheel, full charge, no field weakening. Easy to measure, so the first thing to check on a finished board.",
			value: func(r *Report) *float64 { return &r.Speed.FreeSpinKmh }},
		{Key: "speed.free_spin_weakened_kmh", Label: "Free-spin speed, weakened", Unit: "km/h", Help: "The same with field weakening as it is set.",
			value: func(r *Report) *float64 { return &r.Speed.FreeSpinWeakenedKmh }},
	}, []string{"over-ceiling", "little-wanted", "no-brake"}},
	{"At the worst moment of the ride, low charge", []Readout{
		{Key: "ride.shift_mm", Label: "Balance reserve", Unit: "mm", Lead: true,
			Help:  "How much further forward your weight may move before the motor can no longer hold the deck level.",
			value: func(r *Report) *float64 { return &r.Ride.ShiftMm }, detail: func(r *Report) string { return "set by " + r.Ride.BoundBy }},
		{Key: "ride.reserve_nm", Label: "Torque to spare", Unit: "N·m", Help: "Largest torque at this speed minus what riding takes.",
			value: func(r *Report) *float64 { return &r.Ride.ReserveNm }},
		{Key: "ride.grade_pct", Label: "Grade it equals", Unit: "%", Help: "The hill that would use up the spare torque at this speed.",
			value: func(r *Report) *float64 { return &r.Ride.GradePct }},
		{Key: "ride.duty_pct", Label: "Duty", Unit: "%", Help: "Share of the bus voltage in use.",
			value: func(r *Report) *float64 { return r.Ride.DutyPct }},
		{Key: "ride.bus_v", Label: "Voltage under load", Unit: "V", Digits: 1, Help: "At the controller's terminals.",
			value: func(r *Report) *float64 { return r.Ride.BusV }},
		{Key: "ride.battery_a", Label: "Battery current", Unit: "A", Digits: 1, Help: "At that moment.",
			value: func(r *Report) *float64 { return r.Ride.BatteryA }},
		{Key: "ride.phase_a", Label: "Phase current", Unit: "A", Digits: 1, Help: "Peak amperes in each motor lead.",
			value: func(r *Report) *float64 { return r.Ride.PhaseA }},
		{Key: "ride.power_w", Label: "Power", Unit: "W", Help: "Drawn from the pack.",
			value: func(r *Report) *float64 { return r.Ride.PowerW }},
	}, []string{"no-reserve", "low-reserve"}},
	{"Range", []Readout{
		{Key: "range.km", Label: "Range", Unit: "km", Lead: true, Help: "At the riding speed, from the start charge down to where the ride must end.",
			value: func(r *Report) *float64 { return r.Range.Km }, detail: func(r *Report) string { return "until " + r.Range.StoppedBy }},
		{Key: "range.low_km", Label: "Range, all against you", Unit: "km", Help: "Rolling +15 %, drag +10 %, mass +3 %, pressure −10 %.",
			value: func(r *Report) *float64 { return r.Range.LowKm }},
		{Key: "range.high_km", Label: "Range, all for you", Unit: "km", Help: "The same inputs the other way.",
			value: func(r *Report) *float64 { return r.Range.HighKm }},
		{Key: "range.wh_per_km", Label: "Consumption", Unit: "Wh/km", Digits: 1, Help: "Drawn at the controller.",
			value: func(r *Report) *float64 { return r.Range.WhPerKm }},
	}, []string{"no-ride", "range-cut-short"}},
	{"Downhill and overspeed", []Readout{
		{Key: "regen.max_descent_pct", Label: "Steepest descent", Unit: "%", Digits: 1, Help: "At the ride's speed and starting charge, before braking passes a limit. A full pack cannot take energy back: at the top of a hill this is what holds you.",
			value: func(r *Report) *float64 { return r.Regen.MaxDescentPct }, detail: func(r *Report) string { return "set by " + r.Regen.BoundBy }},
		{Key: "regen.bus_v", Label: "Voltage there", Unit: "V", Digits: 1, Help: "Braking raises the bus above the resting pack.",
			value: func(r *Report) *float64 { return &r.Regen.BusV }},
		{Key: "overspeed.back_emf_v", Label: "Back-EMF if control is lost", Unit: "V", Digits: 1, Help: "Peak between two leads at the weakened free-spin speed. A lifted wheel that spins that fast puts it on the bus the moment the controller stops.",
			value: func(r *Report) *float64 { return &r.Overspeed.BackEMFV }},
	}, []string{"descent", "overfull", "brake-", "overspeed", "no-brake"}},
	{"Heat", []Readout{
		{Key: "heat.winding_c", Label: "Winding, settled", Unit: "°C", Help: "Where the ride's mean losses bring it in the end.",
			value: func(r *Report) *float64 { return r.Heat.WindingC }},
		{Key: "heat.hub_c", Label: "Hub, settled", Unit: "°C", Help: "Iron, hub and shell.",
			value: func(r *Report) *float64 { return r.Heat.HubC }},
		{Key: "heat.steady_nm", Label: "Steady torque", Unit: "N·m", Digits: 1, Help: "What the motor may give for hours before the controller takes current back.",
			value: func(r *Report) *float64 { return r.Heat.SteadyNm }},
		{Key: "heat.minutes_to_limit", Label: "Steepest climb lasts", Unit: "min", Digits: 1, Help: "From air temperature until the controller takes current back; none means it never does.",
			value: func(r *Report) *float64 { return r.Heat.MinutesToLimit }},
		{Key: "heat.pack_rise_k", Label: "Pack warms by", Unit: "K", Digits: 1, Help: "Over the whole ride, if no heat gets out.",
			value: func(r *Report) *float64 { return r.Heat.PackRiseK }},
	}, []string{"heat", "climb", "pack-heat", "winding-assumed"}},
	{"Pack", []Readout{
		{Key: "pack.full_v", Label: "Full pack", Unit: "V", Digits: 1, Lead: true, Less: true, Help: "What the charger must end at, and every part must stand.",
			value: func(r *Report) *float64 { return &r.Pack.FullV }},
		{Key: "pack.loaded_v", Label: "Full, at the current limit", Unit: "V", Digits: 1, Help: "What is left of it when the battery current limit is reached.",
			value: func(r *Report) *float64 { return &r.Pack.LoadedV }},
		{Key: "pack.sag_v", Label: "Sag at the current limit", Unit: "V", Digits: 1, Help: "Full pack at rest minus the line above.",
			value: func(r *Report) *float64 { return &r.Pack.SagV }},
		{Key: "pack.nominal_v", Label: "Nominal", Unit: "V", Digits: 1, Help: "What rated energy is stated with.",
			value: func(r *Report) *float64 { return &r.Pack.NominalV }},
		{Key: "pack.energy_wh", Label: "Rated energy", Unit: "Wh", Help: "Cells × rated capacity × nominal voltage.",
			value: func(r *Report) *float64 { return &r.Pack.EnergyWh }},
		{Key: "pack.capacity_ah", Label: "Usable charge", Unit: "Ah", Digits: 1, Help: "Parallel count × capacity × state of health.",
			value: func(r *Report) *float64 { return &r.Pack.CapacityAh }},
		{Key: "pack.resistance_ohm", Label: "Resistance, half charge", Unit: "Ω", Digits: 3, Help: "Cells, links, fuse, leads and the rest.",
			value: func(r *Report) *float64 { return &r.Pack.ResistanceOhm }},
		{Key: "pack.continuous_a", Label: "Continuous current", Unit: "A", Help: "Parallel count × the cell's continuous rating.",
			value: func(r *Report) *float64 { return &r.Pack.ContinuousA }},
		{Key: "pack.peak_a", Label: "Peak current", Unit: "A", Help: "Parallel count × the cell's rating for seconds.",
			value: func(r *Report) *float64 { return &r.Pack.PeakA }},
		{Key: "pack.mass_kg", Label: "Mass of the cells", Unit: "kg", Digits: 2, Help: "Cells alone.",
			value: func(r *Report) *float64 { return &r.Pack.MassKg }},
	}, []string{"controller-voltage", "cell-voltage", "link-resistance", "bms"}},
	{"Current margins", []Readout{
		{Key: "protection.margin_pct", Label: "Weakest current margin", Unit: "%", Lead: true, Help: "Spare of the part that the current overloads first.",
			value: func(r *Report) *float64 { return &r.Protection.MarginPct }, detail: func(r *Report) string { return r.Protection.Weakest }},
		{Key: "protection.spare_a", Label: "Spare current there", Unit: "A", Help: "Amperes to that part's rating.",
			value: func(r *Report) *float64 { return &r.Protection.SpareA }},
		{Key: "protection.fuse.voltage_dc", Label: "Fuse d.c. voltage", Unit: "V", Help: "Must reach the full pack; a fuse below it may burn on.",
			value: func(r *Report) *float64 { return &r.Protection.Fuse.VoltageDC }},
		{Key: "protection.fuse.short_circuit_a", Label: "Dead short would draw", Unit: "A", Help: "Full pack into nothing; the fuse's breaking capacity must reach it.",
			value: func(r *Report) *float64 { return &r.Protection.Fuse.ShortCircuitA }},
	}, []string{"current-"}},
	{"Fuse and leads", []Readout{
		{Key: "protection.fuse.open_s_at_short", Label: "Dead short opens the fuse within", Unit: "s", Digits: 3, Help: "The latest that the band of its class allows.",
			value: func(r *Report) *float64 { return r.Protection.Fuse.LastAtShort }, detail: func(r *Report) string {
				return "the lead stands it for " + fixed(r.Protection.Fuse.LeadWithstand, 2) + " s"
			}},
		{Key: "protection.leads.drop_v", Label: "Volts lost in the leads", Unit: "V", Digits: 2, Help: "There and back at the highest battery current.",
			value: func(r *Report) *float64 { return &r.Protection.Leads.DropV }},
		{Key: "protection.leads.battery.steady_c", Label: "Copper of the battery lead", Unit: "°C", Help: "Where it settles on the hardest ten minutes of the ride, in the warm box.",
			value: func(r *Report) *float64 { return r.Protection.Leads.Battery.SteadyC }, detail: func(r *Report) string { return gaugeThatDoes(&r.Protection.Leads.Battery) }},
		{Key: "protection.precharge.ohm", Label: "Pre-charge resistor", Unit: "Ω", Help: "Fills the controller's capacitors before the main switch closes, so that no spark eats the connector.",
			value: func(r *Report) *float64 { return &r.Protection.Precharge.Ohm }, detail: func(r *Report) string {
				return "95 % after " + fixed(r.Protection.Precharge.Seconds, 2) + " s"
			}},
		{Key: "protection.precharge.energy_j", Label: "Heat in it, each time", Unit: "J", Digits: 1, Help: "As much as goes into the capacitors. Its pulse rating must reach it.",
			value: func(r *Report) *float64 { return &r.Protection.Precharge.EnergyJ }},
		{Key: "protection.precharge.peak_w", Label: "Power in it at first", Unit: "W", Help: "For a moment; it falls as the capacitors fill.",
			value: func(r *Report) *float64 { return &r.Protection.Precharge.PeakW }},
		{Key: "protection.precharge.inrush_a", Label: "Inrush without it", Unit: "A", Help: "What the contacts meet when they close on empty capacitors.",
			value: func(r *Report) *float64 { return &r.Protection.Precharge.InrushA }},
	}, []string{"fuse-", "lead-heat", "connector-voltage"}},
	{"Charging", []Readout{
		{Key: "charge.charger_v", Label: "Charger", Unit: "V", Digits: 1, Help: "Must be the full pack to a tenth of a volt.",
			value: func(r *Report) *float64 { return &r.Charge.ChargerV }, detail: func(r *Report) string { return "full pack " + fixed(r.Charge.FullV, 1) + " V" }},
		{Key: "charge.minutes_to_80", Label: "To 80 %", Unit: "min", Help: "From the charge that it is plugged in at.",
			value: func(r *Report) *float64 { return r.Charge.MinutesTo80 }},
		{Key: "charge.minutes", Label: "To the end", Unit: "min", Help: "Until the charge wanted is reached or the charger calls it full.",
			value: func(r *Report) *float64 { return &r.Charge.Minutes }},
		{Key: "charge.end_pct", Label: "Charge reached", Unit: "%", Digits: 1, Help: "Where it ends.",
			value: func(r *Report) *float64 { return &r.Charge.EndPct }},
		{Key: "charge.c_rate", Label: "Charging rate", Unit: "1/h", Digits: 2, Help: "Rated charges per hour.",
			value: func(r *Report) *float64 { return &r.Charge.CRate }},
		{Key: "charge.cell_a", Label: "Current in each cell", Unit: "A", Digits: 2, Help: "Against the most that the cell may be charged with.",
			value: func(r *Report) *float64 { return &r.Charge.CellA }},
		{Key: "charge.wall_wh", Label: "Energy from the wall", Unit: "Wh", Help: "For this charge.",
			value: func(r *Report) *float64 { return &r.Charge.WallWh }},
		{Key: "charge.cost", Label: "Cost of it", Unit: "", Digits: 2, Help: "In your money, at the price of energy entered.",
			value: func(r *Report) *float64 { return &r.Charge.Cost }},
		{Key: "charge.storage_v", Label: "Store it at", Unit: "V", Digits: 1, Help: "Resting pack at half charge. Cells age least between 40 and 60 % and cool (common practice, no published source).",
			value: func(r *Report) *float64 { return &r.Charge.StorageV }},
	}, []string{"cell-voltage", "charger-voltage", "charge-"}},
	{"Weight and boxes", []Readout{
		{Key: "weight.cg_forward_mm", Label: "Center of mass before the axle", Unit: "mm", Help: "Of the board alone; negative is behind.",
			value: func(r *Report) *float64 { return &r.Weight.ForwardMm }},
		{Key: "weight.cg_up_mm", Label: "Center of mass above the axle", Unit: "mm", Help: "Of the board alone; negative is below.",
			value: func(r *Report) *float64 { return &r.Weight.UpMm }},
		{Key: "weight.tip_nm", Label: "Tips with", Unit: "N·m", Digits: 1, Help: "Torque about the axle when nobody stands on it; positive lowers the nose.",
			value: func(r *Report) *float64 { return &r.Weight.TipNm }, detail: func(r *Report) string { return "let go, it drops " + r.Weight.Drops }},
		{Key: "weight.trim_mm", Label: "Stand off center by", Unit: "mm", Help: "Forward of the axle, to hold the board level with no motor torque.",
			value: func(r *Report) *float64 { return &r.Weight.TrimMm }},
		{Key: "weight.nose_deg", Label: "Nose clears", Unit: "°", Digits: 1, Help: "Tilt at which the nose touches flat ground.",
			value: func(r *Report) *float64 { return r.Weight.NoseDeg }},
		{Key: "weight.tail_deg", Label: "Tail clears", Unit: "°", Digits: 1, Help: "Tilt at which the tail touches flat ground.",
			value: func(r *Report) *float64 { return r.Weight.TailDeg }},
		{Key: "boxes.main.need_length_mm", Label: "Main box needs inside", Unit: "mm", Help: "Shortest inner length that holds its cells at the width and height entered.",
			value: func(r *Report) *float64 { return r.Boxes.Main.NeedLength }, detail: func(r *Report) string { return packed(&r.Boxes.Main) }},
		{Key: "boxes.second.need_length_mm", Label: "Second box needs inside", Unit: "mm", Help: "The same for the box before the wheel.",
			value: func(r *Report) *float64 { return r.Boxes.Second.NeedLength }, detail: func(r *Report) string { return packed(&r.Boxes.Second) }},
	}, []string{"clearance", "box-"}},
	{"Motor and wheel", []Readout{
		{Key: "motor.torque_per_a", Label: "Torque per phase ampere", Unit: "N·m/A", Digits: 3, Help: "Peak amperes, before saturation.",
			value: func(r *Report) *float64 { return &r.Motor.TorquePerA }},
		{Key: "motor.flux_wb", Label: "Flux linkage", Unit: "Wb", Digits: 4, Help: "Peak, one phase.",
			value: func(r *Report) *float64 { return &r.Motor.FluxWb }},
		{Key: "model.tire.rolling_radius_m", Label: "Rolling radius", Unit: "m", Digits: 4, Help: "Effective: distance per turn divided by 2π.",
			value: func(r *Report) *float64 { return &r.Model.Tire.RollingRadiusM }},
		{Key: "tire.deflection_m", Label: "Tire deflection", Unit: "m", Digits: 4, Help: "How far the tire squats under board and rider.",
			value: func(r *Report) *float64 { return &r.Tire.DeflectionM }},
		{Key: "tire.patch_m2", Label: "Contact patch", Unit: "m²", Digits: 4, Help: "Load over pressure; the real one is some 10 % smaller.",
			value: func(r *Report) *float64 { return &r.Tire.PatchM2 }},
		{Key: "tire.clearance_m", Label: "Clearance at full spin", Unit: "m", Digits: 4, Help: "What is left of the gap around the tire when it grows at the weakened free-spin speed.",
			value: func(r *Report) *float64 { return &r.Tire.ClearanceM }},
		{Key: "weight.total_kg", Label: "Board and rider", Unit: "kg", Digits: 1, Help: "All that the wheel carries.",
			value: func(r *Report) *float64 { return &r.Weight.TotalKg }},
		{Key: "weight.board_kg", Label: "Board", Unit: "kg", Digits: 1, Help: "Summed from the parts unless you entered the scale's figure.",
			value: func(r *Report) *float64 { return &r.Weight.BoardKg }},
	}, []string{"saturation", "rub", "rim", "pressure-"}},
}

var readoutByKey = func() map[string]*Readout {
	m := map[string]*Readout{}
	for i := range Readouts {
		for j := range Readouts[i].Rows {
			m[Readouts[i].Rows[j].Key] = &Readouts[i].Rows[j]
		}
	}
	return m
}()

// ReadoutFor returns the readout with a report key, nil if there is none.
func ReadoutFor(key string) *Readout { return readoutByKey[key] }

// packed tells how the cells of a box stand; "" where there are none.
func packed(b *boxes.Box) string {
	if b.Cells == 0 || b.NeedLength == nil {
		return ""
	}
	return strconv.Itoa(b.Cells) + " cells in " + strconv.Itoa(b.Rows) + " rows and " + strconv.Itoa(b.Layers) + " layers"
}

// gaugeThatDoes names the thinnest gauge that is clear.
func gaugeThatDoes(h *protect.LeadHeat) string {
	if h.SuggestAWG == nil {
		return "no gauge of 4 to 20 would be clear"
	}
	return "AWG " + strconv.Itoa(*h.SuggestAWG) + " is the thinnest that would be clear"
}
