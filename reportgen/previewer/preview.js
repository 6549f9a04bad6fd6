"use strict";
(() => {
  const panel = () => document.getElementById("reportgen-preview");
  let shown = Number(panel().dataset.version), newest = shown, busy = false, events = null;

  const key = (node) => {
    const named = node.nodeType === 1 ? node.id || node.getAttribute("aria-labelledby") || "" : "";
    // with a name of its own it stays as it is folded, whatever its summary counts
    const folded = node.nodeName === "DETAILS" && !node.id ? node.querySelector("summary")?.textContent : "";
    return `${node.nodeName} ${named} ${folded}`;
  };

  // makes an element like a new one, and touches nothing that is alike, so that the place on the page,
  // what is marked and what is folded open stay as they are
  function become(old, made) {
    if (old.isEqualNode(made)) return;
    if (old.nodeType !== 1) {
      old.nodeValue = made.nodeValue;
      return;
    }
    for (const { name } of [...old.attributes]) {
      if (!made.hasAttribute(name) && !(name === "open" && old.nodeName === "DETAILS")) old.removeAttribute(name);
    }
    for (const { name, value } of made.attributes) {
      if (old.getAttribute(name) !== value && !(name === "open" && old.nodeName === "DETAILS")) {
        old.setAttribute(name, value);
      }
    }
    children(old, made);
  }

  function children(old, made) {
    let olds = [...old.childNodes], news = [...made.childNodes], after = null;
    const most = Math.min(olds.length, news.length);
    let start = 0, end = 0;
    while (start < most && olds[start].isEqualNode(news[start])) start++;
    while (end < most - start && olds[olds.length - 1 - end].isEqualNode(news[news.length - 1 - end])) end++;
    if (end) after = olds[olds.length - end];
    olds = olds.slice(start, olds.length - end);
    news = news.slice(start, news.length - end);
    const waiting = new Map();
    for (const node of olds) waiting.set(key(node), [...(waiting.get(key(node)) || []), node]);
    let next = olds[0] || after;
    for (const node of news) {
      const same = waiting.get(key(node))?.shift();
      if (!same) {
        old.insertBefore(document.importNode(node, true), next);
        continue;
      }
      if (same === next) next = same.nextSibling;
      else old.insertBefore(same, next);
      become(same, node);
    }
    for (const left of waiting.values()) for (const node of left) node.remove();
  }

  function kept(change) {
    const seen = [...document.querySelectorAll("main [id], main p, main li, main tr")]
      .map((node) => [node, node.getBoundingClientRect()])
      .find(([, box]) => box.height && box.bottom > 0);
    change();
    if (seen && seen[0].isConnected) {
      const moved = seen[0].getBoundingClientRect().top - seen[1].top;
      if (Math.abs(moved) > 1) scrollBy({ top: moved, behavior: "instant" });
    }
  }

  async function refresh() {
    if (busy) return;
    busy = true;
    try {
      while (newest > shown) {
        const answer = await fetch(location.href, { cache: "no-store" });
        if (!answer.ok) break;
        // another style needs another policy, which only a page loaded anew gets
        if (answer.headers.get("Preview-Look") !== panel().dataset.look) {
          location.reload();
          return;
        }
        const made = new DOMParser().parseFromString(await answer.text(), "text/html");
        const version = made.getElementById("reportgen-preview")?.dataset.version;
        if (!version) break;
        document.title = made.title;
        kept(() => become(document.body, made.body));
        shown = Number(version);
      }
    } catch {
      // the preview has ended; the line at the foot says so
    } finally {
      busy = false;
    }
  }

  function listen() {
    if (events || document.hidden) return;
    events = new EventSource(panel().dataset.events);
    events.onopen = () => panel().removeAttribute("data-ended");
    events.onerror = () => panel().setAttribute("data-ended", "");
    events.onmessage = (event) => {
      newest = Number(event.data);
      // a preview started anew counts from the beginning
      if (newest < shown) shown = 0;
      refresh();
    };
  }

  // a browser keeps few connections to one address: a page out of sight gives its own back
  document.addEventListener("visibilitychange", () => {
    if (document.hidden) {
      events?.close();
      events = null;
    } else listen();
  });
  listen();
})();
