// Runs the planner's program beside the page, in a thread of its own, with a share of some work: of a search, or a ride log
// and the file itself. The page sends the program, compiled; thread_js.go finds the share and answers the page itself.
'use strict';

self.onmessage = async ({ data }) => {
	if (typeof data === 'boolean') { // whether the page wants the processor for itself; thread_js.go looks now and then
		self.headroomRest = data;
		return;
	}
	if (!self.Go) importScripts('wasm_exec.js');
	self.headroomShare = data.share;
	self.headroomFile = data.file;
	const go = new self.Go();
	Object.assign(go.env, data.env);
	go.exit = (code) => {
		if (code !== 0) setTimeout(() => { throw new Error(`a thread ended with ${code}`); }); // the page hears of it
	};
	const instance = await WebAssembly.instantiate(data.program, go.importObject);
	await go.run(instance);
};

// What fails on the way is told as a fault of the thread; a promise's alone would not be.
self.onunhandledrejection = ({ reason }) => {
	setTimeout(() => { throw reason; });
};
