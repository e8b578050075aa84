package find_test

import (
	"headroom/core/build"
	"headroom/core/find"
)

// misfit tells of a tire that another rim carries, where the hub or the tire could have had one that fits.
func misfit(b *build.Build, task *find.Task) bool {
	rims := func(motor, tire string) bool {
		try := *b
		try.Motor, try.Tire = motor, tire
		p := try.Parts()
		return p.Motor.Rim == p.Tire.Rim
	}
	if rims(b.Motor, b.Tire) {
		return false
	}
	motors, tires := build.FieldFor("motor").Options(), build.FieldFor("tire").Options()
	for _, m := range task.Space[4] {
		if rims(motors[int(m)].ID, b.Tire) {
			return true
		}
	}
	for _, v := range task.Space[5] {
		if rims(b.Motor, tires[int(v)].ID) {
			return true
		}
	}
	return false
}
