"use strict";
// Checks a report's folder that the reader hands over. Nothing leaves the machine: the policy of the page
// allows no request, and every word of a stranger's file is put in as text.

const SUMS = "SHA256SUMS",
  SIGNATURE = "SHA256SUMS.sig",
  REPORT = "report.json",
  PURPOSE = "reportgen";
const MOST = { list: 20e6, signature: 65536, report: 5e6 };
const CURVES = {
  nistp256: ["P-256", 32, "SHA-256"],
  nistp384: ["P-384", 48, "SHA-384"],
  nistp521: ["P-521", 66, "SHA-512"],
};
const KEY_TYPE = /^(sk-)?(ssh|ecdsa)-[\w.@-]+$/;
class Unsupported extends Error {}

// ---- bytes

const bytesOf = (text) => new TextEncoder().encode(text);
const textOf = (bytes) => new TextDecoder("utf-8", { fatal: true }).decode(bytes);
const hex = (bytes) => Array.from(bytes, (b) => b.toString(16).padStart(2, "0")).join("");
const digest = async (name, bytes) => new Uint8Array(await crypto.subtle.digest(name, bytes));
// a stranger's word such as "constructor" must find nothing
const own = (table, name) => (Object.hasOwn(table, name) ? table[name] : undefined);
// A text of ours in the reader's language, with values put in by name. WORDS is written in with the page.
const say = (text, values = {}) =>
  (own(WORDS, text) || text).replace(/\{(\w+)\}/g, (all, name) => (Object.hasOwn(values, name) ? values[name] : all));
const sayIn = (context, word) => own(WORDS, `${context}|${word}`) || word;
const inFours = (digits) => digits.match(/.{1,4}/g).join(" ");

function base64(bytes) {
  return btoa(Array.from(bytes, (b) => String.fromCharCode(b)).join(""));
}

function joined(...parts) {
  const whole = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    whole.set(part, at);
    at += part.length;
  }
  return whole;
}

function sshString(bytes) {
  const length = new Uint8Array(4);
  new DataView(length.buffer).setUint32(0, bytes.length);
  return joined(length, bytes);
}

// Reads what RFC 4251, section 5, calls strings: a length and so many bytes.
function sshReader(bytes) {
  let at = 0;
  return {
    take(count) {
      if (at + count > bytes.length) throw new Error(say("it is cut off"));
      return bytes.subarray(at, (at += count));
    },
    string() {
      const four = this.take(4);
      return this.take(new DataView(four.buffer, four.byteOffset).getUint32(0));
    },
    end() {
      if (at !== bytes.length) throw new Error(say("it has more in it than it should"));
    },
  };
}

const withoutZeros = (bytes) =>
  bytes.subarray(
    Math.max(
      0,
      bytes.findIndex((b) => b !== 0),
    ),
  );

function widened(bytes, size) {
  const bare = withoutZeros(bytes);
  if (bare.length > size) throw new Error(say("a number in it is too large"));
  return joined(new Uint8Array(size - bare.length), bare);
}

// ---- signatures, by OpenSSH's PROTOCOL.sshsig

function readSignature(text) {
  const match = /^-----BEGIN SSH SIGNATURE-----\n([A-Za-z0-9+/=\n]+)\n-----END SSH SIGNATURE-----\n*$/.exec(
    text,
  );
  if (!match)
    throw new Error(
      text.includes("\r")
        ? say("its line ends were changed on the way")
        : say("it is cut off or none of SSH's"),
    );
  const blob = Uint8Array.from(atob(match[1].replace(/\n/g, "")), (c) => c.charCodeAt(0));
  const reader = sshReader(blob);
  if (textOf(reader.take(6)) !== "SSHSIG") throw new Error(say("it is none of SSH's"));
  if (hex(reader.take(4)) !== "00000001") throw new Error(say("it is of a newer form than this page knows"));
  const [key, purpose, reserved, hash, signed] = [1, 2, 3, 4, 5].map(() => reader.string());
  reader.end();
  if (textOf(purpose) !== PURPOSE)
    throw new Error(say("it was made for another purpose, not for a report"));
  const name = own({ sha256: "SHA-256", sha512: "SHA-512" }, textOf(hash));
  if (!name) throw new Error(say("it uses a hash that SSH signatures do not allow"));
  return { key, reserved, hash, name, signed };
}

// RFC 8709 for Ed25519, RFC 8332 for RSA, RFC 5656 for ECDSA.
const KINDS = {
  "ssh-ed25519": async (key, algorithm, signature, message) => {
    if (algorithm !== "ssh-ed25519") return false;
    const imported = await crypto.subtle.importKey("raw", key.string(), "Ed25519", false, ["verify"]);
    return crypto.subtle.verify("Ed25519", imported, signature, message);
  },
  "ssh-rsa": async (key, algorithm, signature, message) => {
    // the older ssh-rsa stands on SHA-1 and may not be used here
    const hash = own({ "rsa-sha2-256": "SHA-256", "rsa-sha2-512": "SHA-512" }, algorithm);
    if (!hash) return false;
    const [e, n] = [key.string(), key.string()].map(withoutZeros);
    const url = (bytes) => base64(bytes).replace(/\+/g, "-").replace(/\//g, "_").replace(/=+$/, "");
    const kind = { name: "RSASSA-PKCS1-v1_5", hash };
    const imported = await crypto.subtle.importKey("jwk", { kty: "RSA", e: url(e), n: url(n) }, kind, false, [
      "verify",
    ]);
    return crypto.subtle.verify(kind, imported, widened(signature, n.length), message);
  },
  ecdsa: async (key, algorithm, signature, message) => {
    const curve = textOf(key.string());
    if (!own(CURVES, curve) || algorithm !== `ecdsa-sha2-${curve}`) return false;
    const [namedCurve, size, hash] = CURVES[curve],
      numbers = sshReader(signature);
    const imported = await crypto.subtle.importKey(
      "raw",
      key.string(),
      { name: "ECDSA", namedCurve },
      false,
      ["verify"],
    );
    const both = joined(widened(numbers.string(), size), widened(numbers.string(), size));
    return crypto.subtle.verify({ name: "ECDSA", hash }, imported, both, message);
  },
};

async function holds(found, list) {
  const key = sshReader(found.key),
    signed = sshReader(found.signed);
  const kind = textOf(key.string()),
    algorithm = textOf(signed.string()),
    signature = signed.string();
  const check = own(KINDS, /^ecdsa-sha2-nistp\d+$/.test(kind) ? "ecdsa" : kind);
  if (!check)
    throw new Unsupported(
      say("This page can't check a signature by a key of the kind {kind}; ssh-keygen can.", { kind }),
    );
  const hashed = await digest(found.name, list);
  const message = joined(
    bytesOf("SSHSIG"),
    ...[bytesOf(PURPOSE), found.reserved, found.hash, hashed].map(sshString),
  );
  try {
    return (await check(key, algorithm, signature, message)) === true;
  } catch (error) {
    if (error.name === "NotSupportedError") {
      throw new Unsupported(
        say("This browser can't check a key of the kind {kind}; take a newer one, or ssh-keygen.", { kind }),
      );
    }
    throw new Error(say("its key or its numbers are damaged"));
  }
}

// ---- what the reader knows already

// Whole lines only: a day as ssh-keygen writes it, YYYYMMDD and perhaps hours, by this machine's clock.
function moment(text) {
  const m = /^(\d{4})(\d\d)(\d\d)(?:(\d\d)(\d\d)(\d\d)?)?(Z?)$/.exec(text);
  if (!m) return NaN;
  const parts = [+m[1], m[2] - 1, +m[3], +(m[4] || 0), +(m[5] || 0), +(m[6] || 0)];
  return m[7] ? Date.UTC(...parts) : new Date(...parts).getTime();
}

const fits = (patterns, word) =>
  patterns.split(",").some((pattern) => {
    const source = pattern
      .replace(/[.+^${}()|[\]\\]/g, "\\$&")
      .replace(/\*/g, ".*")
      .replace(/\?/g, ".");
    return new RegExp(`^${source}$`, "i").test(word);
  });

// One line of a file of signers: `who options type key`, or a plain public key, which names nobody.
function readSigner(line) {
  const words = line.match(/(?:[^\s"]|"[^"]*")+/g) || [];
  const at = words.findIndex((word) => KEY_TYPE.test(word));
  if (at < 0 || at > 2 || !words[at + 1]) return null;
  const signer = {
    who: at ? words[0].replace(/"/g, "") : "",
    key: words[at + 1],
    usable: !words[0].includes("!"),
  };
  for (const option of at === 2 ? words[1].match(/[\w-]+(?:="[^"]*")?/g) || [] : []) {
    const [, name, value] = /^([\w-]+)(?:="([^"]*)")?$/.exec(option);
    if (name.toLowerCase() === "namespaces") signer.usable &&= fits(value || "", PURPOSE);
    else if (name.toLowerCase() === "valid-after") signer.usable &&= Date.now() >= moment(value);
    else if (name.toLowerCase() === "valid-before") signer.usable &&= Date.now() < moment(value);
    else signer.usable = false; // such as a certificate's authority, which only ssh-keygen can follow
  }
  return signer;
}

function readKnown(text) {
  const known = { packets: [], keys: [], signers: [], faults: [] };
  for (const raw of text.split(/\r?\n/)) {
    const line = raw.replace(/^\ufeff/, "").trim(),
      digits = line.replace(/\s/g, "").toLowerCase();
    const signer = readSigner(line);
    if (!line || line.startsWith("#")) continue;
    if (/PRIVATE KEY/.test(line))
      known.faults.push(say("That is a private key. Never give it to anyone; take the public one."));
    else if (/^[0-9a-f]{32,64}$/.test(digits)) known.packets.push(digits);
    else if (/^[0-9a-f]{16}$/.test(digits)) {
      known.faults.push(
        say(
          "These are the 16 characters of the content fingerprint, which stands on the report's pages and " +
            "proves nothing. Ask the surveyor for the packet fingerprint, which has 32.",
        ),
      );
    } else if (/^[0-9a-f]{8,31}$/.test(digits)) {
      known.faults.push(
        say("A packet fingerprint has 32 characters, these are {n}: some are missing.", { n: digits.length }),
      );
    } else if (/^SHA256:[A-Za-z0-9+/]{43}=?$/.test(line)) known.keys.push(line.replace(/=$/, ""));
    else if (signer) known.signers.push(signer);
    else known.faults.push(say("Neither a key nor a fingerprint: {line}", { line: line.slice(0, 60) }));
  }
  return known;
}
