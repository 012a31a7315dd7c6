// Changing a page under a thumb without taking anything from it.

// morph changes what differs and leaves all else: what is typed, open, focused or just
// under a thumb stays.
export function morph(now, next) {
  dress(now, next);
  const old = [...now.childNodes];
  const fresh = [...next.childNodes];
  fresh.forEach((node, i) => {
    if (!old[i]) now.append(node);
    else if (!alike(old[i], node)) old[i].replaceWith(node);
    else if (node.nodeType === Node.ELEMENT_NODE) morph(old[i], node);
    else if (old[i].data !== node.data) old[i].data = node.data;
  });
  for (const node of old.slice(fresh.length)) node.remove();
}

const key = (node) => node.getAttribute && `${node.id} ${node.dataset?.person} ${/BUTTON|OPTION/.test(node.nodeName) && node.value}`;
const alike = (a, b) => a.nodeType === b.nodeType && a.nodeName === b.nodeName && key(a) === key(b);

function dress(now, next) {
  for (const { name, value } of next.attributes) if (now.getAttribute(name) !== value) now.setAttribute(name, value);
  for (const { name } of [...now.attributes]) if (name !== "open" && !next.hasAttribute(name)) now.removeAttribute(name);
}

// watchThumb tells when no thumb is down: a button that goes from under one takes the tap
// along.
export function watchThumb(root) {
  const thumb = { down: false, lifted: Promise.resolve() };
  let lift = () => {};
  root.addEventListener("pointerdown", () => {
    lift();
    thumb.down = true;
    thumb.lifted = new Promise((done) => { lift = () => { thumb.down = false; done(); }; });
    const own = lift;
    setTimeout(own, 1500); // a thumb that rests is no tap
    for (const kind of ["pointerup", "pointercancel"]) addEventListener(kind, () => setTimeout(own, 50), { once: true });
  });
  return thumb;
}
