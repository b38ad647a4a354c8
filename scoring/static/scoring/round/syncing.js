// The service worker sends by itself when the browser says that there is a network again, even if
// no page of ours is open. What is left makes it ask the browser for another turn.

import { flush } from "./send.js";

self.addEventListener("sync", (event) => {
  if (event.tag !== "halfpoint-send") return;
  event.waitUntil(flush().then((left) => {
    if (left) throw new Error("some wait on");
  }));
});
