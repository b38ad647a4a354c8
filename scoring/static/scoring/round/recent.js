// How long the phone remembers, and tells, what the server has: so long that what is saved once more
// after the browser was killed is known, and no longer. A clock that was changed ends it too.

const REMEMBERED_MS = 12 * 3600 * 1000;

export const isPast = ({ state, sent_at }) =>
  state === "sent" && !(Math.abs(Date.now() - Date.parse(sent_at)) < REMEMBERED_MS);
