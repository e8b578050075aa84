// Package render keeps a page in step with the node trees that vugu components build.
//
// A [Renderer] remembers what is on the page. [Renderer.Patch] compares it with a new tree and writes the
// difference as one batch of bytes; public/page.js applies a batch to the DOM, and nothing else in the program
// touches the nodes below the mount point. Event handlers stay on this side: the page knows only which nodes
// handle which types, reports an event with the id of its target, and [Renderer.Dispatch] runs the handlers.
//
// # Matching
//
// Among the children of one element a node with the attribute data-k is matched by that key (and moved, with
// its focus and state, when its place changes); any other is matched by position among those of its tag. A node
// that lost a property it had is made anew, since the page cannot know the property's default.
//
// # What counts as shown
//
// An input or change event tells what the person made of a control, and that is recorded as what the page shows.
// A component that builds the old value again therefore has it written back. The same holds for the property
// open after a toggle event; the attribute open stays uncontrolled.
//
// # Unchanged parts
//
// A component whose output would be the same as last time may hand out the very same nodes again: they are then
// not compared, and neither is anything below them. Whoever does so promises that no component below them would
// build anything new either, and may leave those out of its list of components. Nodes that were handed out are not
// changed any more.
//
// # Left out
//
// Comments, and the CSS and JS of a BuildOut: styles and scripts are static files, as the content security
// policy wants. vg-js-create and vg-js-populate make Patch panic. The Rendered callback of components is
// not called. Capture orders the handlers of one event (outermost first, before all others); Passive is
// decided by the event type.
//
// # Batch
//
// A batch is
//
//	uvarint(length of ops) ops text
//
// where text is UTF-8, holds every string of the batch one after the other, and is decoded at one stroke.
// In ops each operation is a byte followed by its operands, all uvarints (encoding/binary):
//
//	id     number of a node. Each open and text operation makes the next number; 0 is the mount element
//	str    length of a string in UTF-16 units; the string is what comes next in text
//	name   0 and a str: a name not used before, which gets the next number; else the number of an
//	       earlier name, the first being 1. Names hold tags, attributes, properties and event types
//
//	 1 reset id          empty the mount, forget all nodes and names; id is the number of the next node
//	 2 at id id          the insertion point: a parent, and the child to insert before (0: at the end)
//	 3 node id           the current element or text
//	 4 open name         make an HTML element and enter it: it is the current element and the
//	 5 open name         insertion point is its end; 5 makes an SVG element, 6 a MathML element
//	 6 open name
//	 7 close             leave the element and insert it where it was opened; its parent is current again
//	 8 text str          make a text node at the insertion point
//	 9 data str          replace the current text
//	10 attr name str     set an attribute of the current element
//	11 unattr name       remove an attribute
//	12 prop name str     set a property to a value given as JSON
//	13 html str          replace what is inside the current element by raw HTML
//	14 on name           the current element handles this type of event
//	15 off name          it no longer does
//	16 remove id         take a node and all below it off the page
//	17 move id           put a node at the insertion point
//	18 listen name flags listen to this type at the mount: flag 1 in the capture phase and for the
//	                     target alone (events that do not bubble), flag 2 passively
//	19 content str       replace what is inside the current element by a text
//
// Operations on properties come after those on the children of the element, and value and checked last, so that
// a select has its options and a slider its limits before the value.
package render
