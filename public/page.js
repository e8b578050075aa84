// Applies the batches of wasm/render to the page and reports events to Go. The batch format is told in
// wasm/render/doc.go; wasm/page is the caller. Nothing here reads geometry, so nothing forces a layout.
(() => {
  'use strict';
  const ID = Symbol('id'), ON = Symbol('handled types');
  const SPACES = ['', 'http://www.w3.org/2000/svg', 'http://www.w3.org/1998/Math/MathML'];
  const PREFIXES = {
    'xlink:': 'http://www.w3.org/1999/xlink', 'xml:': 'http://www.w3.org/XML/1998/namespace',
    'xmlns:': 'http://www.w3.org/2000/xmlns/',
  };
  const decoder = new TextDecoder('utf-8', { ignoreBOM: true });
  const nodes = new Map(); // by id; the mount element is 0
  const listening = new Set();
  const pending = new Map(); // target -> latest input event of this frame
  let mounted, callbacks, names = [], nextID = 1, framed = false, early = false;
  let delivery = [], active = null; // the events Go is handling, and the one among them

  // A page that is left or hidden gets no more frames; what was moved last must not be lost with it.
  function leave() {
    if (pending.size) deliver(callbacks.events);
  }
  addEventListener('pagehide', leave, true);
  addEventListener('visibilitychange', leave, true);

  // Go gets {events(text), frame(text)}: events at once for all but input, frame with the first input of an animation frame and once per
  // animation frame asked for.
  function mount(element, to) {
    mounted = element;
    callbacks = to;
    listening.clear();
  }

  function frame() {
    if (framed) return;
    framed = true;
    requestAnimationFrame(() => {
      framed = false;
      deliver(callbacks.frame);
    });
  }

  // soon is frame, but the first input of a frame is worked on at once, while the browser would only wait for that frame.
  function soon() {
    if (early) {
      frame();
      return;
    }
    early = true;
    requestAnimationFrame(() => { early = false; });
    queueMicrotask(() => { if (pending.size) deliver(callbacks.frame); });
  }

  // apply performs the batch in the first length bytes (all if not given).
  function apply(bytes, length = bytes.length) {
    let at = 0, textAt = 0, parent = mounted, before = null, current = null;
    const stack = [];
    const uint = () => {
      let value = 0, shift = 1, b;
      do {
        b = bytes[at++];
        value += (b & 127) * shift;
        shift *= 128;
      } while (b > 127);
      return value;
    };
    const end = uint() + at;
    const text = decoder.decode(bytes.subarray(end, length));
    const str = () => text.slice(textAt, textAt += uint());
    const name = () => {
      const n = uint();
      return n ? names[n - 1] : names[names.push(str()) - 1];
    };
    const made = (node) => {
      node[ID] = nextID;
      nodes.set(nextID++, node);
      return node;
    };
    const open = (node) => {
      stack.push([parent, before, current]);
      parent = current = made(node);
      before = null;
    };
    while (at < end) {
      switch (bytes[at++]) {
        case 1:
          nextID = uint();
          nodes.clear();
          names = [];
          mounted.replaceChildren();
          nodes.set(0, mounted);
          break;
        case 2: {
          parent = nodes.get(uint());
          const id = uint();
          before = id ? nodes.get(id) : null;
          break;
        }
        case 3: current = nodes.get(uint()); break;
        case 4: open(document.createElement(name())); break;
        case 5: open(document.createElementNS(SPACES[1], name())); break;
        case 6: open(document.createElementNS(SPACES[2], name())); break;
        case 7: {
          const node = parent;
          [parent, before, current] = stack.pop();
          parent.insertBefore(node, before);
          break;
        }
        case 8: parent.insertBefore(made(document.createTextNode(str())), before); break;
        case 9: current.data = str(); break;
        case 10: setAttribute(current, name(), str()); break;
        case 11: current.removeAttribute(name()); break;
        case 12: setProperty(current, name(), JSON.parse(str())); break;
        case 13:
          forget(current.firstChild);
          current.innerHTML = str();
          break;
        case 14: (current[ON] = current[ON] || new Set()).add(name()); break;
        case 15: current[ON].delete(name()); break;
        case 16: {
          const node = nodes.get(uint());
          drop(node);
          node.remove();
          break;
        }
        case 17: {
          const node = nodes.get(uint());
          // moveBefore keeps focus and state, where there is one.
          if (parent.moveBefore && node.isConnected) parent.moveBefore(node, before);
          else parent.insertBefore(node, before);
          break;
        }
        case 18: listen(name(), uint()); break;
        case 19: {
          const value = str(), first = current.firstChild;
          forget(first);
          if (value && first && first.nodeType === Node.TEXT_NODE && !first.nextSibling) first.data = value;
          else current.textContent = value;
          break;
        }
        default: throw new Error('unknown operation ' + bytes[at - 1] + ' in a batch');
      }
    }
  }

  function setAttribute(element, name, value) {
    const space = PREFIXES[name.slice(0, name.indexOf(':') + 1)];
    if (space) element.setAttributeNS(space, name, value);
    else if (name === 'style') element.style.cssText = value; // the attribute would need 'unsafe-inline'
    else element.setAttribute(name, value);
  }

  function setProperty(element, name, value) {
    // Writing an equal value would still move the caret.
    if (name === 'value' && element.value === String(value ?? '')) return;
    element[name] = value;
  }

  function drop(node) {
    nodes.delete(node[ID]);
    forget(node.firstChild);
  }

  function forget(node) {
    for (; node; node = node.nextSibling) drop(node);
  }

  function listen(type, flags) {
    if (listening.has(type)) return;
    listening.add(type);
    const alone = (flags & 1) > 0;
    mounted.addEventListener(type, (event) => {
      if (!handler(event.target, type, alone)) return;
      if (type === 'input') {
        pending.delete(event.target); // so that the order is that of the latest events
        pending.set(event.target, event);
        soon();
      } else {
        deliver(callbacks.events, event);
      }
    }, { capture: alone, passive: (flags & 2) > 0 });
  }

  // handler is the nearest element that handles the type, the target alone if so asked.
  function handler(node, type, alone) {
    for (; node && node !== mounted; node = node.parentNode) {
      if (node[ON]?.has(type)) return node;
      if (alone) return null;
    }
    return null;
  }

  function deliver(callback, event) {
    const outer = delivery, outerActive = active;
    delivery = [...pending.values()];
    pending.clear();
    if (event) delivery.push(event);
    active = delivery[0];
    try {
      callback(delivery.map(describe).join('\0'));
    } finally {
      delivery = outer;
      active = outerActive;
    }
  }

  // describe is read by decodeEvents in wasm/page/events.go. An absent value is empty, any other starts with '='.
  function describe(event) {
    const target = event.target;
    let node = target;
    while (node && node[ID] === undefined) node = node.parentNode;
    const live = node && nodes.get(node[ID]) === node;
    const option = (value) => value === undefined || value === null ? '' : '=' + String(value).replace(/\0/g, '');
    const flag = (value) => typeof value === 'boolean' ? '=' + value : '';
    const keys = (event.shiftKey ? 1 : 0) + (event.ctrlKey ? 2 : 0) + (event.metaKey ? 4 : 0) + (event.altKey ? 8 : 0);
    return [event.type, live ? node[ID] : 0, option(target.value), flag(target.checked), flag(target.open),
      option(target.getAttribute?.('name')), option(event.key), keys,
      option(event.clientX), option(event.clientY), option(event.button)].join('\0');
  }

  // activate tells that Go now handles the event at this place of the delivery.
  function activate(place) {
    active = delivery[place];
  }

  // A slider marked so follows a mouse that hovers over it: its thumb's middle goes where the mouse is.
  document.addEventListener('pointermove', (event) => {
    const slider = event.target;
    if (event.pointerType !== 'mouse' || event.buttons || !slider.dataset || slider.dataset.hover === undefined) return;
    const box = slider.getBoundingClientRect(), thumb = Number(slider.dataset.hover);
    const share = (event.clientX - box.left - thumb / 2) / (box.width - thumb), lo = Number(slider.min);
    const before = slider.value;
    slider.value = lo + share * (Number(slider.max) - lo); // the browser keeps it to its steps
    if (slider.value !== before) slider.dispatchEvent(new Event('input', { bubbles: true }));
  }, { passive: true });

  self.headroomPage = { mount, apply, frame, activate };
  self.vuguGetActiveEvent = () => active;
  self.vuguGetActiveEventTarget = () => active && active.target;
  self.vuguGetActiveEventCurrentTarget = () => active && handler(active.target, active.type, !active.bubbles);
  self.vuguActiveEventPreventDefault = () => { if (active) active.preventDefault(); };
  self.vuguActiveEventStopPropagation = () => { if (active) active.stopPropagation(); };
})();
