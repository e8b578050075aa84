// Package page runs vugu components on a page: it builds them at most once per animation frame, has wasm/render
// find what changed, and hands that to public/page.js, which must be loaded before [Start].
//
// Every event but input reaches its handlers at once, so that what needs a user's activation (clipboard, share,
// file dialogs) may be done in them. Input events reach them once per frame, the latest of each control, and
// always before any later event. After every handled event the page is rendered with the next frame.
// Handlers must not block: start a goroutine, and RequestRender when it has something to show.
//
// A handler reads what it needs from the event with PropString and the like:
//
//	type                                  the event's type
//	target.value .checked .open .name     of the element the event began at, where it has them
//	key                                   of a keyboard event
//	shiftKey ctrlKey metaKey altKey       always there
//	clientX clientY button                of pointer and mouse events
//
// Files and other things not listed are reached through JSEventTarget, at once in the handler.
package page
