//go:build js

package page

import (
	"syscall/js"
	"time"

	"github.com/hack-pad/safejs"
	"github.com/vugu/vugu"

	"headroom/wasm/render"
)

// Page is one running tree of components. Its methods may be called from any goroutine of the program.
type Page struct {
	root     vugu.Builder
	onPanic  func(any)
	env      eventEnv
	build    *vugu.BuildEnv
	renderer *render.Renderer
	hooks    []func()
	before   []func()
	stats    Stats

	// syscall/js, not safejs, from here: these are used in every frame.
	apply, frame, activate js.Value
	buffer                 js.Value // Uint8Array that carries a batch over
	size                   int

	wanted bool // the next frame renders
}

// Stats tells what rendering cost; times are those of the last frame that rendered, in milliseconds.
type Stats struct {
	Frames     int // rendered so far
	BatchBytes int // 0 if nothing changed
	BuildMs    float64
	DiffMs     float64
	ApplyMs    float64
}

// Start shows root in the element mount, in place of what is there, with the next animation frame, and keeps it
// in step from then on. onPanic is given what a panic in a handler, a build or a hook carried; the page goes on
// living, showing what it showed. After a panic in a build, components that had not been reached are made anew.
//
// Start panics if public/page.js is not loaded or onPanic is nil. A document has one Page.
func Start(mount safejs.Value, root vugu.Builder, onPanic func(any)) *Page {
	applier := js.Global().Get("headroomPage")
	if applier.IsUndefined() {
		panic("page: page.js is not loaded")
	}
	if onPanic == nil {
		panic("page: onPanic is nil")
	}
	p := &Page{
		root:     root,
		onPanic:  onPanic,
		renderer: render.New(),
		apply:    applier.Get("apply"),
		frame:    applier.Get("frame"),
		activate: applier.Get("activate"),
	}
	p.env = eventEnv{p.RequestRender}
	p.build, _ = vugu.NewBuildEnv(p.env) // its error is always nil
	applier.Call("mount", safejs.Unsafe(mount), map[string]any{
		"events": js.FuncOf(func(_ js.Value, args []js.Value) any {
			if p.handle(args[0].String()) {
				p.frame.Invoke()
			}
			return nil
		}),
		"frame": js.FuncOf(func(_ js.Value, args []js.Value) any {
			p.handle(args[0].String())
			if p.wanted {
				p.render()
			}
			return nil
		}),
	})
	p.RequestRender()
	return p
}

// RequestRender has the page built and brought up to date with the next animation frame. It costs next to nothing
// when that has been asked for already.
func (p *Page) RequestRender() {
	if !p.wanted {
		p.wanted = true
		p.frame.Invoke()
	}
}

// AfterRender adds a function to be called after every frame that rendered, changed or not.
func (p *Page) AfterRender(hook func()) { p.hooks = append(p.hooks, hook) }

// BeforeEvent adds a function to be called before the handlers of each event.
func (p *Page) BeforeEvent(hook func()) { p.before = append(p.before, hook) }

// EventEnv is what components get from vugu's lifecycle callbacks; its UnlockRender is RequestRender.
func (p *Page) EventEnv() vugu.EventEnv { return p.env }

// Stats returns the counts so far.
func (p *Page) Stats() Stats { return p.stats }

// handle runs the handlers of the events in text, and reports whether there were any.
func (p *Page) handle(text string) bool {
	list := decodeEvents(text)
	for i := range list {
		// Before the handlers, so that one that panics half-way is shown as far as it came.
		p.wanted = true
		if len(list) > 1 {
			p.activate.Invoke(i)
		}
		for _, hook := range p.before {
			p.guard(hook)
		}
		d := &list[i]
		p.guard(func() {
			p.renderer.Dispatch(d.node, d.eventType, &event{DOMEvent: vugu.NewDOMEvent(p.env, d.summary)})
		})
	}
	return len(list) > 0
}

func (p *Page) render() {
	p.wanted = false
	built, applied := false, false
	p.guard(func() {
		start := time.Now()
		results := p.build.RunBuild(p.root)
		built = true
		buildEnd := time.Now()
		batch := p.renderer.Patch(results)
		diffEnd := time.Now()
		p.send(batch)
		applied = true
		p.stats = Stats{
			Frames:     p.stats.Frames + 1,
			BatchBytes: len(batch),
			BuildMs:    milliseconds(buildEnd.Sub(start)),
			DiffMs:     milliseconds(diffEnd.Sub(buildEnd)),
			ApplyMs:    milliseconds(time.Since(diffEnd)),
		}
	})
	if !applied {
		if built {
			p.renderer.Reset() // the page may be half-way
		}
		return
	}
	for _, hook := range p.hooks {
		p.guard(hook)
	}
}

func (p *Page) send(batch []byte) {
	if batch == nil {
		return
	}
	if len(batch) > p.size {
		p.size = 2 * len(batch)
		p.buffer = js.Global().Get("Uint8Array").New(p.size)
	}
	js.CopyBytesToJS(p.buffer, batch)
	p.apply.Invoke(p.buffer, len(batch))
}

func (p *Page) guard(f func()) {
	defer func() {
		if v := recover(); v != nil {
			p.onPanic(v)
		}
	}()
	f()
}

func milliseconds(d time.Duration) float64 { return float64(d) / float64(time.Millisecond) }
