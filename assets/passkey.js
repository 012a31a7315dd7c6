// Adds a passkey, or signs in with one. The site says what the browser is to ask for; the
// browser's answer goes back as it is. Without this script the password does all of it.

const says = document.getElementById("passkey-says");
const say = (text) => { says.textContent = text; };

// Bytes go over the wire as base64 for addresses.
const toBytes = (text) => Uint8Array.from(atob(text.replaceAll("-", "+").replaceAll("_", "/")), (c) => c.charCodeAt(0));
const toText = (bytes) => btoa(String.fromCharCode(...new Uint8Array(bytes))).replaceAll("+", "-").replaceAll("/", "_").replace(/=+$/, "");
const named = (list) => (list ?? []).map((key) => ({ ...key, id: toBytes(key.id) }));

async function post(url, fields) {
  const answer = await fetch(url, { method: "POST", body: new URLSearchParams(fields), redirect: "error" });
  if (answer.status === 429) throw new Error("Too many tries. Wait a minute.");
  if (answer.status === 422) throw new Error(await answer.text());
  if (!answer.ok) throw new Error("The site did not take it. Load this page again.");
  return await answer.json();
}

async function add(form, fields) {
  const { publicKey } = await post(`${form.action}/begin`, fields);
  publicKey.challenge = toBytes(publicKey.challenge);
  publicKey.user.id = toBytes(publicKey.user.id);
  publicKey.excludeCredentials = named(publicKey.excludeCredentials);
  const made = await navigator.credentials.create({ publicKey });
  const answer = {
    id: made.id, rawId: toText(made.rawId), type: made.type, clientExtensionResults: made.getClientExtensionResults(),
    authenticatorAttachment: made.authenticatorAttachment ?? undefined,
    response: {
      clientDataJSON: toText(made.response.clientDataJSON), attestationObject: toText(made.response.attestationObject),
      transports: made.response.getTransports?.() ?? [],
    },
  };
  return await post(form.action, { name: fields.name, answer: JSON.stringify(answer) });
}

async function enter(form, fields) {
  const { publicKey } = await post(`${form.action}/begin`, {});
  publicKey.challenge = toBytes(publicKey.challenge);
  publicKey.allowCredentials = named(publicKey.allowCredentials);
  const signed = await navigator.credentials.get({ publicKey });
  const { response } = signed;
  const answer = {
    id: signed.id, rawId: toText(signed.rawId), type: signed.type, clientExtensionResults: signed.getClientExtensionResults(),
    authenticatorAttachment: signed.authenticatorAttachment ?? undefined,
    response: {
      clientDataJSON: toText(response.clientDataJSON), authenticatorData: toText(response.authenticatorData),
      signature: toText(response.signature), userHandle: toText(response.userHandle ?? new Uint8Array()),
    },
  };
  return await post(form.action, { next: fields.next, answer: JSON.stringify(answer) });
}

// why says a browser's refusal in words: its own are for programmers.
function why(error) {
  if (error.name === "InvalidStateError") return "This device keeps a passkey of yours already.";
  if (error instanceof DOMException) return "Nothing was done: the device was not asked, or it said no. Try once more.";
  return error.message;
}

function serve(id, work) {
  const form = document.getElementById(id);
  if (!form) return;
  if (!window.PublicKeyCredential) {
    if (id === "passkey-add") say("This browser cannot use passkeys.");
    return;
  }
  if (location.origin !== form.dataset.origin) {
    if (id === "passkey-add") say(`Passkeys work where this site is opened as ${form.dataset.origin}.`);
    return;
  }
  form.hidden = false;
  const button = form.querySelector("button");
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    button.disabled = true;
    say("");
    try {
      const { to } = await work(form, Object.fromEntries(new FormData(form)));
      location.assign(to);
    } catch (error) {
      say(why(error));
    }
    button.disabled = false;
  });
}

serve("passkey-add", add);
serve("passkey-in", enter);
