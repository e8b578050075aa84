// Applies the batches of every case one after the other in one element, and the batch of its last tree alone in
// another, and tells where the two differ.
(() => {
  'use strict';
  const bytes = (base64) => Uint8Array.from(atob(base64), (c) => c.charCodeAt(0));

  // look is all of a tree that a person or a program can tell: nodes, live properties, and what answers to events.
  function look(node, heard) {
    if (node.nodeType === Node.TEXT_NODE) return JSON.stringify(node.data);
    const answers = ['click', 'focus'].filter((type) => {
      heard.length = 0;
      node.dispatchEvent(new Event(type, { bubbles: type === 'click' }));
      return heard.length > 0;
    });
    const attributes = [...node.attributes].map((a) => [a.name, a.value, a.namespaceURI].join('=')).sort();
    return [node.namespaceURI, node.localName, attributes, node.value, node.checked, node.hidden, answers,
      '[', ...[...node.childNodes].map((child) => look(child, heard)), ']'].join(' ');
  }

  function render(batches) {
    const element = document.createElement('div');
    document.body.append(element);
    const heard = [];
    headroomPage.mount(element, { events: (text) => heard.push(text), frame: () => {} });
    for (const batch of batches) headroomPage.apply(bytes(batch));
    const seen = [...element.childNodes].map((child) => look(child, heard)).join('\n');
    element.remove();
    return seen;
  }

  // flip applies two batches in turn, and tells the milliseconds it took.
  self.flip = async (count) => {
    const { rounds, fresh } = await (await fetch('/cases.json')).json();
    const element = document.createElement('div');
    document.body.append(element);
    headroomPage.mount(element, { events: () => {}, frame: () => {} });
    for (const batch of [fresh, ...rounds]) headroomPage.apply(bytes(batch));
    const turns = rounds.slice(2).map(bytes);
    const start = performance.now();
    for (let i = 0; i < count; i++) headroomPage.apply(turns[i % 2]);
    const took = performance.now() - start;
    element.remove();
    return took;
  };

  self.compare = async () => {
    const failures = [];
    let seen = 0;
    for (const [i, { rounds, fresh }] of (await (await fetch('/cases.json')).json()).entries()) {
      const have = render(rounds), want = render([fresh]);
      seen += want.length;
      if (have !== want) failures.push(`case ${i}\n${have}\nwant\n${want}`);
    }
    return { failures, seen };
  };
})();
