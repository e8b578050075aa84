package build

// class is what the catalogs have in common.
type class interface{ option() Option }

// Class identifies one generic part: a frozen id used in links, a name, and where its values come from.
type Class struct{ ID, Name, Note string }

func (c Class) option() Option { return Option(c) }

func pick[T class](catalog []T, id string) T {
	for _, c := range catalog {
		if c.option().ID == id {
			return c
		}
	}
	return catalog[0]
}

// optionsOf lists a catalog for a form, built once: the catalogs never change while the program runs.
func optionsOf[T class](catalog []T) func() []Option {
	list := make([]Option, len(catalog))
	for i, c := range catalog {
		list[i] = c.option()
	}
	return func() []Option { return list }
}
