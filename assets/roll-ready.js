// Says on the hike's page whether this phone keeps the roll for where there is no signal. The roll's
// own page tries the kept copy and notes what it tried; here is only looked whether that is still there.

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

const missing = globalThis.caches ? await lacks(said.dataset.roll) : "this browser keeps no pages";
said.textContent = missing === "" ? "This phone is ready for the trail: it keeps the roll, and the kept copy was tried."
  : `This phone is not ready for the trail: ${missing}. Open the roll on it while there is signal.`;
said.hidden = false;
