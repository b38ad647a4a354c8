// Tells every tab and the service worker that something changed. What changed is read from the
// store; a message is only a hint.

const NAME = "halfpoint-round";

export const announce = (message) => {
  const channel = new BroadcastChannel(NAME);
  channel.postMessage(message);
  channel.close();
};

export const listen = (heard) => {
  const channel = new BroadcastChannel(NAME);
  channel.onmessage = ({ data }) => heard(data);
  return channel;
};

// Whoever sends holds this, over all tabs and the worker.
export const SENDER = "halfpoint-send";

// Whether anybody sends now; where a browser does not tell, what the store says is believed.
export const isSending = async () => {
  const { held } = (await navigator.locks?.query()) ?? {};
  return held ? held.some(({ name }) => name === SENDER) : true;
};
