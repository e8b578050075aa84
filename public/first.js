// Runs before anything is drawn: marks the page when the view that came with it, of the standard build in metric units, is
// the very one that the program will draw. Else style.css hides every figure of it and shows only its shape, for a wrong
// number is worse than none. wasm/address_js.go reads the same places in the same order.
'use strict';

(() => {
	const { href } = location;
	const cut = (text, mark) => (text.includes(mark) ? text.slice(text.indexOf(mark) + 1) : '');
	let link = cut(href, '#') || cut(href.split('#')[0], '?');
	let same = true;
	try {
		link ||= localStorage.getItem('headroom.build');
		// A pinned build adds two lines to the readout bar; style.css keeps room for them.
		if (localStorage.getItem('headroom.pin')) document.documentElement.classList.add('pinned');
		// Whatever else the planner remembers may change what it draws, unless it is known here not to.
		const plain = { 'headroom.units': 'metric', 'headroom.sun': 'off' };
		for (const [key, value] of Object.entries(localStorage)) {
			if (key.startsWith('headroom.') && key !== 'headroom.build' && value && value !== plain[key]) same = false;
		}
	} catch { /* a device that remembers nothing */ }
	if (same && (!link || link === 'v=1')) {
		document.documentElement.classList.add('first');
	}
})();
