// ---- the list and the files

const composed = (name) => name.normalize("NFC");
const folded = (name) => composed(composed(name).toLowerCase());
const inside = (name) =>
  name.split("/").every((part) => !["", ".", ".."].includes(part)) &&
  !/[\\\u0000-\u001f\u007f-\u009f]/.test(name);

function readList(bytes) {
  const listed = new Map(),
    faults = [],
    spelled = new Set();
  let text;
  try {
    text = new TextDecoder("utf-8", { fatal: true, ignoreBOM: true }).decode(bytes);
  } catch {
    return { listed, faults: [`${SUMS} is no text`] };
  }
  if (text.includes("\r")) return { listed, faults: [`The line ends of ${SUMS} were changed on the way`] };
  if (!text.endsWith("\n")) faults.push(`${SUMS} is cut off at its end`);
  text
    .replace(/\n$/, "")
    .split("\n")
    .forEach((line, index) => {
      const match = /^([0-9a-f]{64}) [ *](.+)$/u.exec(line);
      const name = match && match[2],
        at = `${SUMS}, line ${index + 1}`;
      if (!match) faults.push(`${at}: it is no sum and name`);
      else if (!inside(name)) faults.push(`${at}: ${name} leads out of the folder or is no plain name`);
      else if (name === SUMS || name === SIGNATURE) faults.push(`${at}: ${name} can't list itself`);
      else if (spelled.has(folded(name))) faults.push(`${at}: ${name} is listed twice`);
      else {
        listed.set(name, match[1]);
        spelled.add(folded(name));
      }
    });
  return { listed, faults };
}

const contents = async (file, most) => {
  if (file.size > most) throw new Error(`${file.name} is larger than it can be`);
  return new Uint8Array(await file.arrayBuffer());
};

async function compare(files, listed, faults, tick) {
  const byForm = new Map(
    [...files.keys()].filter((name) => !listed.has(name)).map((name) => [composed(name), name]),
  );
  const used = new Set([SUMS, SIGNATURE]),
    changed = [],
    missing = [];
  for (const [name, sum] of listed) {
    const at = files.has(name) ? name : byForm.get(composed(name));
    if (at === undefined) {
      missing.push(name);
      continue;
    }
    used.add(at);
    try {
      if (hex(await digest("SHA-256", await files.get(at).arrayBuffer())) !== sum) changed.push(name);
    } catch {
      faults.push(`${name} can't be read`);
    }
    tick();
  }
  const extra = [...files.keys()].filter((name) => !used.has(name));
  for (const [word, names] of [
    ["changed", changed],
    ["missing", missing],
    ["extra", extra],
  ]) {
    faults.push(...names.sort().map((name) => `${word}: ${name}`));
  }
  return new Set([...changed, ...missing]);
}

async function readReport(file) {
  try {
    const data = JSON.parse(textOf(await contents(file, MOST.report)));
    if (!/^reportgen report \d+$/.test(data.format)) return null;
    const survey = data.survey || {},
      surveyor = (data.people || {}).surveyor || {};
    const days = [survey.inspected]
      .flat()
      .filter((day) => /^\d{4}-\d\d-\d\d$/.test(day))
      .sort();
    const address = /[^\s<>()[\],;:"@]+@[^\s<>()[\],;:"@]+\.\w+/.exec(String(surveyor.contact || ""));
    return {
      survey,
      vessel: data.vessel || {},
      edition: data.edition,
      day: days.pop(),
      email: address ? address[0] : "",
    };
  } catch {
    return null;
  }
}

// Gives the signature's standing: words for the reader, whether it proves, and what is wrong.
async function judge(files, list, known, email) {
  const asked = known.keys.length + known.signers.length > 0;
  if (!files.has(SIGNATURE))
    return { words: "Not signed.", fault: asked ? "It is not signed, though you named a key" : "" };
  try {
    const found = readSignature(textOf(await contents(files.get(SIGNATURE), MOST.signature)));
    const print = `SHA256:${base64(await digest("SHA-256", found.key)).replace(/=+$/, "")}`;
    if (!(await holds(found, list)))
      return { fault: "The signature is not of this list: the list was changed, or the signature" };
    if (!asked) return { words: `Signed with the key ${print}; whose that is, is not known.` };
    if (known.keys.includes(print))
      return { proves: true, words: `Signed with the key you named, ${print}.` };
    const theirs = known.signers.filter((signer) => signer.key === base64(found.key));
    const usable = theirs.filter((signer) => signer.usable);
    if (!usable.length) {
      const why = theirs.length ? ", or not valid for this" : "";
      return { fault: `Signed with another key than you named, ${print}${why}` };
    }
    const fitting = usable.find((signer) => !signer.who || !email || fits(signer.who, email));
    if (!fitting)
      return { fault: `Signed by ${usable[0].who}, but the report names ${email} as its surveyor` };
    return { proves: true, words: `Signed by ${fitting.who || "the key you named"}, ${print}.` };
  } catch (error) {
    if (error instanceof Unsupported) return { words: error.message, unchecked: asked };
    const damaged = error instanceof DOMException || error instanceof TypeError;
    return { fault: `The signature is no good: ${damaged ? "it is damaged" : error.message}` };
  }
}

async function checkOne(name, files, known, tick) {
  const list = await contents(files.get(SUMS), MOST.list),
    { listed, faults } = readList(list);
  const lost = await compare(files, listed, faults, tick);
  const report = listed.has(REPORT) && !lost.has(REPORT) ? await readReport(files.get(REPORT)) : null;
  if (listed.has(REPORT) && !lost.has(REPORT) && !report) faults.push(`${REPORT} is no report`);
  const print = hex(await digest("SHA-256", list)),
    signature = await judge(files, list, known, report ? report.email : "");
  if (signature.fault) faults.push(signature.fault);
  const told = known.packets.some((digits) => print.startsWith(digits));
  if (known.packets.length && !told) faults.push("The packet fingerprint is another than you were told");
  return {
    name,
    count: listed.size,
    listed,
    lost,
    faults,
    report,
    print,
    signature,
    proven: (signature.proves || told) && !signature.unchecked,
  };
}

// A folder with a list of its own in a site is a report, unless the index has files in it.
async function checkAll(files, known, tick) {
  if (!files.has(SUMS))
    throw new Error(`There is no ${SUMS} in that folder. Choose the folder of the report itself.`);
  const { listed } = readList(await contents(files.get(SUMS), MOST.list)),
    tops = new Set([...listed.keys()].map((n) => n.split("/")[0]));
  const below = listed.has(REPORT)
    ? []
    : [...files.keys()]
        .map((n) => /^([^/]+)\/SHA256SUMS$/.exec(n))
        .filter((m) => m && !tops.has(m[1]))
        .map((m) => m[1])
        .sort();
  const part = (folder) =>
    new Map(
      [...files].filter(([n]) => n.startsWith(`${folder}/`)).map(([n, f]) => [n.slice(folder.length + 1), f]),
    );
  const own = new Map([...files].filter(([n]) => !below.some((folder) => n.startsWith(`${folder}/`))));
  const results = [await checkOne("", own, known, tick)];
  for (const folder of below) results.push(await checkOne(folder, part(folder), known, tick));
  for (const each of results.filter((r) => !r.listed.has(REPORT) && (r.name || !below.length)))
    each.faults.push(`${SUMS} lists no ${REPORT}: this is no report`);
  if (below.length || !listed.has(REPORT))
    results[0].faults.push(...(await againstLinks(results[0], own, below)));
  return results;
}

// No list names whole reports, so the index's links say which there should be.
async function againstLinks(index, files, below) {
  const linked = new Set();
  for (const name of index.listed.keys()) {
    if (!/^[^/]+\.html$/.test(name) || index.lost.has(name) || !files.has(name)) continue;
    const page = new DOMParser().parseFromString(await files.get(name).text(), "text/html");
    for (const link of page.querySelectorAll("a[href]")) {
      const match = /^([^/:]+)\/index\.html$/.exec(link.getAttribute("href"));
      if (match) linked.add(decodeURIComponent(match[1]));
    }
  }
  const missing = [...linked]
    // plain pages stand in folders too, and are listed with the index
    .filter((name) => !below.includes(name) && name !== "." && !index.listed.has(`${name}/index.html`))
    .map((name) => `missing: ${name}/`);
  return [...missing, ...below.filter((name) => !linked.has(name)).map((name) => `extra: ${name}/`)];
}

// ---- the page

const by = (id) => document.getElementById(id);
// signs that turn a line round or can't be seen are shown by their number
const tame = (text) =>
  String(text).replace(
    /[\p{Cc}\p{Cf}\p{Co}\p{Cs}\p{Zl}\p{Zp}]/gu,
    (c) => `\\u{${c.codePointAt(0).toString(16)}}`,
  );

function add(parent, tag, text, name = "") {
  const made = document.createElement(tag);
  made.textContent = tame(text);
  if (name) made.className = name;
  return parent.appendChild(made);
}

function aboutReport({ survey, vessel, edition, day }) {
  const now = new Date(),
    today = Date.UTC(now.getFullYear(), now.getMonth(), now.getDate());
  const age = day ? Math.round((today - Date.parse(day)) / 864e5) : null,
    ago = age < 0 ? "a day to come by this machine's clock" : `${age} ${age === 1 ? "day" : "days"} ago`,
    by = survey.replaced_by,
    until = survey.not_to_be_relied_on_after;
  const newer =
    typeof by === "string"
      ? by
      : by &&
        [by.number, by.version && `version ${by.version}`, by.on && `on ${by.on}`].filter(Boolean).join(" ");
  return [
    `${vessel.name || vessel.type || "Boat not named"}: report ${survey.number || "without a number"}, ` +
      `version ${survey.version || "not stated"}, ${survey.status || "status not stated"}, ${edition} edition.`,
    ...(age === null ? [] : [`Inspected on ${day}, ${ago}.`]),
    ...(until
      ? [`Not to be relied on after ${until}${Date.parse(until) < today ? ": that day has passed" : ""}.`]
      : []),
    ...(survey.status === "withdrawn" ? ["Withdrawn: not to be relied on."] : []),
    newer
      ? `Replaced by ${newer}.`
      : "It names no newer version; a copy can't know of later ones, its surveyor can.",
  ];
}

function show(result, place) {
  const state = result.faults.length ? "bad" : result.proven ? "good" : "open",
    box = add(place, "section", "", `checked ${state}`);
  if (result.name) add(box, "h3", result.name);
  const head = {
    bad: "Not as published.",
    good: "As published: every file is the one listed, none is missing, none extra.",
    open: "The files agree with their list. That alone proves nothing.",
  };
  add(box, "p", head[state], "verdict");
  if (result.faults.length) {
    const list = add(box, "ul", "");
    result.faults.forEach((fault) => add(list, "li", fault));
  }
  if (result.report) aboutReport(result.report).forEach((line) => add(box, "p", line));
  if (result.signature.words) add(box, "p", result.signature.words);
  const count = `${result.count} ${result.count === 1 ? "file" : "files"} listed.`;
  add(box, "p", `${count} Packet fingerprint ${inFours(result.print.slice(0, 32))}.`, "print");
  if (state === "open") add(box, "p", NO_PROOF);
}

let held = null,
  turn = 0;

async function check() {
  const place = by("result"),
    mine = ++turn,
    known = readKnown(by("known").value);
  by("known-faults").replaceChildren();
  known.faults.forEach((fault) => add(by("known-faults"), "li", fault));
  if (!held) return;
  place.setAttribute("aria-busy", "true");
  place.replaceChildren();
  const status = add(place, "p", "Checking …"),
    files = held;
  let done = 0;
  const fresh = document.createDocumentFragment();
  try {
    const tick = () => {
      done += 1;
      if (done % 20 === 0) status.textContent = `Checking … ${done} of ${files.size} files`;
    };
    const results = known.faults.length ? [] : await checkAll(files, known, tick);
    results.forEach((result) => show(result, fresh));
    if (known.faults.length) add(fresh, "p", "Not checked: first put right what you were told.", "verdict");
  } catch (error) {
    add(add(fresh, "section", "", "checked bad"), "p", error.message, "verdict");
  }
  if (mine !== turn) return; // another check has begun meanwhile
  place.replaceChildren(fresh);
  place.setAttribute("aria-busy", "false");
}

function complain(words) {
  turn += 1;
  held = null;
  by("result").replaceChildren();
  add(by("result"), "p", words, "verdict");
  by("result").setAttribute("aria-busy", "false");
}

// Takes the first folder off each name; files that came without a folder are told.
function hand(pairs) {
  const tops = new Set(pairs.map(([name]) => name.split("/")[0]));
  held =
    tops.size === 1 && pairs.every(([name]) => name.includes("/"))
      ? new Map(pairs.map(([name, file]) => [name.slice(name.indexOf("/") + 1), file]))
      : new Map();
  check();
}

async function gather(entry) {
  if (entry.isFile)
    return [[entry.fullPath.slice(1), await new Promise((done, fail) => entry.file(done, fail))]];
  const reader = entry.createReader(),
    found = [];
  for (;;) {
    // a browser gives a hundred at a time
    const some = await new Promise((done, fail) => reader.readEntries(done, fail));
    if (!some.length) return found;
    for (const each of some) found.push(...(await gather(each)));
  }
}

by("folder").webkitdirectory = true;
by("folder").addEventListener("change", (event) =>
  hand([...event.target.files].map((f) => [f.webkitRelativePath || f.name, f])),
);
by("known").addEventListener("input", check);
by("known-file").addEventListener("change", async (event) => {
  const file = event.target.files[0];
  if (file) {
    by("known").value = file.size > MOST.signature ? "" : await file.text();
    check();
  }
});
for (const name of ["dragover", "drop"]) document.addEventListener(name, (event) => event.preventDefault());
by("drop").addEventListener("dragover", () => by("drop").classList.add("over"));
by("drop").addEventListener("dragleave", () => by("drop").classList.remove("over"));
by("drop").addEventListener("drop", async (event) => {
  by("drop").classList.remove("over");
  by("result").setAttribute("aria-busy", "true");
  const entries = [...event.dataTransfer.items].map((item) => item.webkitGetAsEntry()).filter(Boolean);
  try {
    hand((await Promise.all(entries.map(gather))).flat());
  } catch {
    // some browsers let only a page from a site read what is dropped
    complain("This browser can't read a dropped folder here. Choose it with the button instead.");
  }
});
by("works").hidden = !(window.crypto && crypto.subtle);
by("fails").hidden = !by("works").hidden;
