// Starts the planner: downloads the program with a progress bar, checks it against build.js, runs it, and says in
// words what is wrong when it cannot. Then it keeps the worker that makes the page work with no network, and
// offers a new version when there is one. It never loads the page again without being asked, and never touches
// the address: the build is in it. In the page that is one file (headroom.html, made by wasm/build) the program lies
// in the page itself, and there is no worker.
'use strict';

(() => {
	const PROGRAM = 'headroom.wasm';
	const build = self.headroomBuild;
	const part = (id) => document.getElementById(id);
	const KEPT = 'Your build is safe: it is in the address of this page.';

	const inside = part('program'); // the program as text, in the page that is one file

	// Trouble is a reason not to start that a person can act on; more says what to do.
	class Trouble extends Error {
		constructor(words, more, cause) {
			super(words, { cause });
			this.more = more;
		}
	}

	const damaged = (path) => new Trouble(
		'The download arrived damaged or changed, so it was not started.',
		`The file is ${path}. Try again; if it stays so, something between this device and the site alters it.`);

	const unreachable = (path, cause) => navigator.onLine === false
		? new Trouble('There is no connection.',
			'The planner needs one visit with a connection. After that it opens with no network at all.', cause)
		: new Trouble('The planner could not be downloaded.',
			`${path} did not arrive: the connection broke, or something here blocks it.`, cause);

	// download returns the bytes of a file of this version. A fetch with an integrity attribute tells nothing
	// until the last byte, so where the browser lets a page hash by itself (every https page) the bytes are
	// counted as they come and checked here; elsewhere the browser checks them, and the bar shows no share.
	async function download(path, progress) {
		const integrity = build.files[path];
		const hashes = self.crypto && self.crypto.subtle;
		let response;
		try {
			response = await fetch(path, hashes ? {} : { integrity });
		} catch (cause) {
			throw unreachable(path, cause);
		}
		if (!response.ok) {
			throw new Trouble('The planner could not be downloaded.', `The site answered ${response.status} for ${path}.`);
		}
		const bytes = new Uint8Array(build.sizes[path]);
		let count = 0;
		try {
			for (const reader = response.body.getReader(); ;) {
				const { done, value } = await reader.read();
				if (done) break;
				if (count + value.length > bytes.length) throw damaged(path);
				bytes.set(value, count);
				count += value.length;
				if (hashes) progress(count / bytes.length);
			}
		} catch (cause) {
			throw cause instanceof Trouble ? cause : unreachable(path, cause);
		}
		if (hashes) {
			const sum = new Uint8Array(await hashes.digest('SHA-256', bytes));
			if ('sha256-' + btoa(String.fromCharCode(...sum)) !== integrity) throw damaged(path);
		}
		return bytes;
	}

	// unpack returns the bytes of the program in a page that is one file.
	async function unpack() {
		if (typeof DecompressionStream !== 'function') {
			throw new Trouble('This browser cannot unpack the planner.',
				'It is older than this page needs. Open this file in a newer browser.');
		}
		try {
			const packed = Uint8Array.from(atob(inside.textContent), (letter) => letter.charCodeAt(0));
			const stream = new Blob([packed]).stream().pipeThrough(new DecompressionStream('gzip'));
			return new Uint8Array(await new Response(stream).arrayBuffer());
		} catch (cause) {
			throw new Trouble('This file is damaged or was cut off, so it was not started.', 'Get the file once more.', cause);
		} finally {
			inside.remove(); // a megabyte and a half of text that nobody needs any more
		}
	}

	// script runs a script file of this version; the browser checks it.
	const script = (path) => new Promise((resolve, reject) => {
		const element = document.createElement('script');
		element.integrity = build.files[path];
		element.onload = resolve;
		element.onerror = () => reject(navigator.onLine === false ? unreachable(path) : damaged(path));
		element.src = path;
		document.head.append(element);
	});

	function showProgress(share) {
		part('boot-progress').value = share;
	}

	// A frame leaves some 700 kB behind, and so does a moment of a search. Collecting less often costs a few megabytes and takes a third off
	// the time of a frame.
	const ENV = { GOGC: '400', GOMEMLIMIT: '256MiB' };

	// compile works on bytes rather than on the answer as it comes: those have been checked, ask nothing of the type
	// that a host gives the file, and start no measurable bit later.
	async function compile(bytes) {
		try {
			return await WebAssembly.compile(bytes);
		} catch (cause) {
			throw new Trouble('This browser does not let the planner run.',
				'WebAssembly, which does the calculation, is blocked here by a security setting or an extension. ' +
				'Allow it for this page, or open this address in another browser.', cause);
		}
	}

	async function start() {
		if (!build && !inside) {
			throw unreachable('build.js');
		}
		if (typeof WebAssembly !== 'object') {
			throw new Trouble('This browser cannot run the planner.',
				'It has no WebAssembly, or a security setting (a lockdown mode, say) switches it off. ' +
				'Allow it for this page, or open this address in another browser.');
		}
		const [bytes] = await Promise.all(inside ? [unpack()]
			: [download(PROGRAM, showProgress), ...['wasm_exec.js', 'page.js'].filter((path) => build.files[path]).map(script)]);
		const program = await compile(bytes);
		self.headroomBoot.thread = (share, file) => thread(program, share, file);
		part('boot-words').textContent = 'Starting the planner';
		const go = new self.Go();
		Object.assign(go.env, ENV);
		const instance = await WebAssembly.instantiate(program, go.importObject);
		await go.run(instance); // comes back only when the program has ended, which it never should
		throw new Trouble('The planner stopped.', 'This is a fault in the planner. Start it again; the build is kept.');
	}

	// thread starts the program once more beside the page, with a share of some work. It is compiled already; a page that is one
	// file has the scripts of the thread in itself.
	function thread(program, share, file) {
		let address = 'thread.js';
		if (inside) {
			const text = `${part('runtime').textContent}\n${part('thread').textContent}`;
			address = URL.createObjectURL(new Blob([text], { type: 'text/javascript' }));
		}
		const worker = new Worker(address);
		if (inside) setTimeout(() => URL.revokeObjectURL(address), 60000);
		worker.postMessage({ program, share, file, env: ENV });
		return worker;
	}

	// fail shows why there is no planner. The boot part of the page comes back for it if it had gone.
	function fail(reason) {
		console.error(reason);
		const known = reason instanceof Trouble;
		part('boot').hidden = false;
		part('boot-progress').hidden = true;
		part('boot-words').setAttribute('role', 'alert');
		part('boot-words').textContent = known ? reason.message : 'The planner could not start.';
		part('boot-more').textContent = `${known ? reason.more : String(reason)} ${KEPT}`;
		part('boot-more').hidden = false;
		part('boot-again').hidden = false;
		part('boot-again').onclick = () => location.reload();
		document.documentElement.dataset.boot = 'failed';
	}

	// ready is called by the program once its first view stands in the page.
	function ready() {
		part('boot').hidden = true;
		part('app').removeAttribute('aria-busy');
		document.documentElement.dataset.boot = 'ready';
		keepOffline();
	}

	// offer shows the bar that asks before this page changes to another version.
	function offer(words, label, use) {
		part('update-words').textContent = words;
		part('update-use').textContent = label;
		part('update-use').onclick = use;
		part('update').hidden = false;
	}

	let asked = false; // whether a person has asked for the new version in this window

	function offerWaiting(registration) {
		const { waiting } = registration;
		if (!waiting || !navigator.serviceWorker.controller) return;
		offer('A new version is ready', 'Use it', () => {
			asked = true;
			waiting.postMessage('use-update');
		});
	}

	// keepOffline registers the worker. A page that does without one (an old browser, a page that is not secure, a
	// private window) still works while there is a connection.
	async function keepOffline() {
		const workers = navigator.serviceWorker;
		if (!workers || inside || keepOffline.called) return;
		keepOffline.called = true;
		let controlled = Boolean(workers.controller);
		workers.addEventListener('controllerchange', () => {
			if (asked) {
				location.reload();
			} else if (controlled) { // another window asked
				offer('A new version is in use in another window', 'Use it here', () => location.reload());
			}
			controlled = true;
		});
		try {
			const registration = await workers.register('sw.js', { updateViaCache: 'none' });
			offerWaiting(registration);
			registration.addEventListener('updatefound', () => {
				const { installing } = registration;
				installing.addEventListener('statechange', () => offerWaiting(registration));
			});
			// An installed page may stay open for weeks: ask again when it comes back into sight.
			document.addEventListener('visibilitychange', () => {
				if (document.visibilityState === 'visible') registration.update().catch(() => {});
			});
		} catch (reason) {
			console.warn('The planner will not open with no network:', reason);
		}
	}

	self.headroomBoot = { ready, fail };
	part('boot').hidden = false;
	start().catch((reason) => {
		fail(reason);
		keepOffline(); // a fault in this version may be mended in the next
	});
})();
