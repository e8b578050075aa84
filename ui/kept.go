package ui

import "github.com/vugu/vugu"

// kept is a component's output with what it was made of. As long as that stays the same the very same nodes are handed out again, and the
// renderer compares nothing below them: most inputs and many readouts do not change while a slider moves.
//
// What a component is made of must hold everything that its template and the components in it read.
type kept[T comparable] struct {
	of    T
	again *vugu.BuildOut // the nodes alone: what they hold need not be built again
}

func (k *kept[T]) build(of T, fresh func() *vugu.BuildOut) *vugu.BuildOut {
	if k.again != nil && k.of == of {
		return k.again
	}
	out := fresh()
	k.of, k.again = of, &vugu.BuildOut{Out: out.Out}
	return out
}
