// The service worker's cache: the shells and what they are made of, all of one version. Pages come
// from the network, and where there is none from the shell for being away. Answers of the API and
// pages about horses are never kept. Written without import and export, since some browsers take
// only plain scripts here.
"use strict";
self.halfpointServe = ({ version, shells, away, helps, files, folder, mark, patience }) => {
  const PREFIX = "halfpoint-shell-";
  const CACHE = PREFIX + version;
  // A barn's network that does not answer in `patience` milliseconds is none, where this phone has
  // something to show instead. All else waits as long as the browser does, and so does whoever asks
  // for the page again.
  const IN_A_BARN = /^\/round\/|^\/help\/|^\/horses\/[^/]+\/score\/$/;
  const AT_ONCE = 6;
  const NOT_THERE = new Set([502, 504]);
  const kept = new Set(files);
  const pages = new Set([...shells, ...helps, away]);

  // All of a version or nothing of it. A network that wants a sign-in of its own answers for us with
  // a page, or sends elsewhere: neither is kept.
  const fetched = async (path) => {
    const response = await fetch(path, { cache: pages.has(path) ? "no-cache" : "default" });
    const isPage = /^text\/html/.test(response.headers.get("Content-Type") ?? "");
    const isOurs = pages.has(path) ? response.headers.has(mark) : !isPage;
    if (!response.ok || response.redirected || !isOurs) throw new Error(`not ours: ${path}`);
    return response;
  };

  const fill = async () => {
    const isNew = !(await caches.has(CACHE));
    const cache = await caches.open(CACHE);
    const paths = [...pages, ...files];
    const keepNext = async () => {
      for (let path = paths.shift(); path; path = paths.shift()) {
        await cache.put(path, await fetched(path));
      }
    };
    try {
      await Promise.all(Array.from({ length: AT_ONCE }, keepNext));
    } catch (error) {
      if (isNew) await caches.delete(CACHE);
      throw error;
    }
  };

  self.addEventListener("install", (event) => {
    event.waitUntil(fill().then(() => self.skipWaiting()));
  });

  // Of the versions before one is left: pages of it may be open and still ask for its files, and what
  // they ask for may no longer be on the server.
  const clear = async () => {
    const older = (await caches.keys()).filter((name) => name.startsWith(PREFIX) && name !== CACHE);
    for (const name of older.slice(0, -1)) await caches.delete(name);
  };

  self.addEventListener("activate", (event) => {
    event.waitUntil(clear().then(() => self.clients.claim()));
  });

  const own = async (path) => (await caches.open(CACHE)).match(path);
  const fromCache = async (path, request) => (await own(path)) ?? fetch(request);
  const ofBefore = async (path, request) => (await caches.match(path)) ?? fetch(request);

  const inTime = async (request) => {
    let timer = 0;
    const late = new Promise((_, failed) => {
      timer = setTimeout(() => failed(new Error("no answer in time")), patience);
    });
    try { return await Promise.race([fetch(request), late]); } finally { clearTimeout(timer); }
  };

  // A page of help is kept under an address of its own; for any other page stands the one that says
  // in our place that we are not there.
  const instead = async (request) => (await own(`${new URL(request.url).pathname}?kept`)) ?? own(away);

  const page = async (request) => {
    try {
      const isHasty = IN_A_BARN.test(new URL(request.url).pathname) && !request.isReloadNavigation;
      const answer = await (isHasty ? inTime(request) : fetch(request));
      return (NOT_THERE.has(answer.status) && (await instead(request))) || answer;
    } catch (error) {
      const shell = await instead(request);
      if (!shell) throw error;
      return shell;
    }
  };

  self.addEventListener("fetch", (event) => {
    const { request } = event;
    const url = new URL(request.url);
    if (request.method !== "GET" || url.origin !== self.location.origin) return;
    if (kept.has(url.pathname)) event.respondWith(fromCache(url.pathname, request));
    // By scripts too, which take words and formulas from them.
    else if (shells.includes(url.pathname)) event.respondWith(fromCache(url.pathname, request));
    else if (url.pathname.startsWith(folder)) event.respondWith(ofBefore(url.pathname, request));
    else if (request.mode !== "navigate") return;
    else if (!url.pathname.startsWith("/api/")) event.respondWith(page(request));
  });
};
