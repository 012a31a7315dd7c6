// Says on the hike's page whether this phone can open the roll without signal. The roll's own page
// tries the kept copy and notes its files; this script only checks that they are still there.

const LIFE = 48 * 3600 * 1000; // as the worker's
const said = document.getElementById("roll-ready");

async function lacks(path) {
  const tried = JSON.parse(localStorage["saltbush-ready"] ?? "{}")[path];
  if (!tried) return "the roll has not been opened on this phone with signal";
  if (!(await caches.has("saltbush-roll"))) return "the kept copy is gone";
  const kept = await caches.open("saltbush-roll");
  for (const file of tried) {
    const copy = await kept.match(file);
    if (!copy) return "a part of the kept copy is gone";
    if (Number(copy.headers.get("Kept-At")) + LIFE < Date.now()) return "the kept copy is older than 48 hours";
  }
  return "";
}

const missing = globalThis.caches ? await lacks(said.dataset.roll) : "this browser cannot keep pages";
said.textContent = missing === "" ? "This phone is ready for the trail: the roll is kept on it, and the kept copy was tested."
  : `This phone is not ready for the trail: ${missing}. Open the roll on this phone while you have signal.`;
said.hidden = false;
