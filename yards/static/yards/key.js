/* Keys (WebAuthn): asks the browser for one and sends what it answers with the form.
   Without this script the code from an app is the way; the form stays hidden then. */
const to = (text) => Uint8Array.from(atob(text.replace(/-/g, '+').replace(/_/g, '/')), (each) => each.charCodeAt(0));
const from = (buffer) => btoa(String.fromCharCode(...new Uint8Array(buffer))).replace(/\+/g, '-').replace(/\//g, '_').replace(/=+$/, '');
const known = (list) => (list ?? []).map((each) => ({ ...each, id: to(each.id) }));

async function added({ publicKey }) {
  const options = { ...publicKey, challenge: to(publicKey.challenge), excludeCredentials: known(publicKey.excludeCredentials) };
  options.user = { ...publicKey.user, id: to(publicKey.user.id) };
  const made = await navigator.credentials.create({ publicKey: options });
  return told(made, { attestationObject: from(made.response.attestationObject) });
}

async function used({ publicKey }) {
  const options = { ...publicKey, challenge: to(publicKey.challenge), allowCredentials: known(publicKey.allowCredentials) };
  const shown = await navigator.credentials.get({ publicKey: options });
  const { authenticatorData, signature, userHandle } = shown.response;
  return told(shown, { authenticatorData: from(authenticatorData), signature: from(signature), userHandle: userHandle && from(userHandle) });
}

function told(key, response) {
  const clientDataJSON = from(key.response.clientDataJSON);
  const extensions = key.getClientExtensionResults();
  return { id: key.id, rawId: from(key.rawId), type: key.type, response: { clientDataJSON, ...response }, clientExtensionResults: extensions };
}

for (const form of document.querySelectorAll('form[data-key]')) {
  if (!navigator.credentials?.create) continue;
  form.hidden = false;
  const data = JSON.parse(document.getElementById(form.dataset.from).textContent);
  form.querySelector('button').addEventListener('click', async () => {
    const said = form.querySelector('[data-said]');
    said.hidden = true;
    try {
      const answer = form.dataset.key === 'add' ? await added(data.creation_options) : await used(data.request_options);
      form.elements.credential.value = JSON.stringify(answer);
      form.submit();
    } catch {
      said.hidden = false;
    }
  });
}
