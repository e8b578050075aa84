// Keeps one whole version of the page, so that it opens with no network. build.js names the files of the version
// and their hashes; either all of them are kept and match, or this version is not installed. A new version waits
// until the person asks for it.
'use strict';

importScripts('build.js');

const { version, files } = self.headroomBuild;
const scope = self.registration.scope;
const family = `headroom ${scope} `; // other copies of the page may live at the same origin
const name = family + version;
const address = (path) => new URL(path, scope).href;

// verified fetches one file past the browser's own cache and hands it back only when it is what build.js names.
async function verified(path) {
	const response = await fetch(address(path), { cache: 'no-cache' });
	if (!response.ok) throw new Error(`${path}: the site answered ${response.status}`);
	const bytes = await response.arrayBuffer();
	const sum = new Uint8Array(await crypto.subtle.digest('SHA-256', bytes));
	if ('sha256-' + btoa(String.fromCharCode(...sum)) !== files[path]) throw new Error(`${path}: not of version ${version}`);
	// A fresh answer: the bytes are no longer encoded, and a redirected answer could not be used for the page.
	const headers = new Headers(response.headers);
	headers.delete('Content-Encoding');
	headers.delete('Content-Length');
	return new Response(bytes, { headers });
}

async function keep() {
	const cache = await caches.open(name);
	try {
		await Promise.all(Object.keys(files).map(async (path) => cache.put(address(path), await verified(path))));
		// The list as this worker read it: fetched again, it might be another version's.
		const list = `self.headroomBuild = ${JSON.stringify(self.headroomBuild)};\n`;
		await cache.put(address('build.js'), new Response(list, { headers: { 'Content-Type': 'text/javascript; charset=utf-8' } }));
	} catch (reason) {
		await caches.delete(name);
		throw reason;
	}
}

async function dropOld() {
	const stale = (await caches.keys()).filter((key) => key.startsWith(family) && key !== name);
	await Promise.all(stale.map((key) => caches.delete(key)));
	await self.clients.claim();
}

// answer gives a file of this version, from the network only when the browser has thrown the kept one away, and
// then under the same hash.
async function answer(path) {
	const cache = await caches.open(name);
	return await cache.match(address(path)) || fetch(address(path), { integrity: files[path] });
}

self.addEventListener('install', (event) => event.waitUntil(keep()));
self.addEventListener('activate', (event) => event.waitUntil(dropOld()));
self.addEventListener('message', (event) => {
	if (event.data === 'use-update') self.skipWaiting();
});

self.addEventListener('fetch', (event) => {
	const { request } = event;
	const url = new URL(request.url);
	if (request.method !== 'GET' || !url.href.startsWith(scope)) return;
	const path = url.pathname.slice(new URL(scope).pathname.length) || 'index.html';
	if (path in files || path === 'build.js') {
		event.respondWith(answer(path));
	} else if (request.mode === 'navigate') {
		// An unknown place below the page: the network may know it; else the page itself, at its own address.
		event.respondWith(fetch(request).catch(() => Response.redirect(scope)));
	}
});
