// Runs before anything is drawn: marks the page when the view that came with it, of the standard build in metric units, is
// the very one that the program will draw. Else style.css hides every figure of it and shows only its shape, for a wrong
// number is worse than none. wasm/address_js.go and wasm/store_js.go read the same places in the same order.
'use strict';

(() => {
	const { href } = location;
	const cut = (text, mark) => (text.includes(mark) ? text.slice(text.indexOf(mark) + 1) : '');
	let link = cut(href, '#') || cut(href.split('#')[0], '?');
	let units = null;
	try {
		link ||= localStorage.getItem('headroom.build');
		units = localStorage.getItem('headroom.units');
	} catch { /* a device that remembers nothing */ }
	if ((!link || link === 'v=1') && units !== 'us') {
		document.documentElement.classList.add('first');
	}
})();
