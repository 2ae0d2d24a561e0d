// The organisation's own sign-in (W-06; OpenID Connect Core 1.0, 3.1.3.7; RFC 7636; RFC 9207), played by oidc-provider, a
// certified provider of the registry. It signs with keys of ours, so that an answer can be put wrong in one point and signed
// again (jose): each such answer is refused, and nobody is let in by a name or a mail address.

import assert from "node:assert/strict";
import { randomUUID } from "node:crypto";
import { createServer } from "node:http";
import { after, before, test as nodeTest } from "node:test";
import * as jose from "jose";
import OidcProvider from "oidc-provider";
import { chromium } from "playwright-core";
import { INES } from "../staff.mjs";
import { Server } from "../server.mjs";

const test = (name, act) => nodeTest(name, { timeout: 90_000 }, act);
const CLIENT = "samebreath";
const NAME = "Quay House sign-in";

/** Who the provider says that somebody is, and what is put wrong in its answer. */
let who = "ines-at-the-quay";
let fault = null;
let server, provider, origin, issuer, key, other;

const listening = (handler) =>
  new Promise((resolve) => {
    const listener = createServer(handler);
    listener.listen(0, "127.0.0.1", () => resolve([listener, listener.address().port]));
  });

/** A port that is free now. */
async function freePort() {
  const [listener, port] = await listening(() => undefined);
  await new Promise((closed) => listener.close(closed));
  return port;
}

/** The provider's answer with the fault in it, signed again. */
async function spoilt(body) {
  const answer = JSON.parse(body);
  if (fault === null || !answer.id_token) return body;
  const claims = jose.decodeJwt(answer.id_token);
  answer.id_token = await fault(claims, answer);
  return JSON.stringify(answer);
}

/** A provider that lets everybody in as `who`, without asking. */
async function startProvider(back) {
  const { publicKey, privateKey } = await jose.generateKeyPair("RS256", { extractable: true });
  assert.ok(publicKey);
  [key, other] = [privateKey, (await jose.generateKeyPair("RS256")).privateKey];
  let op;
  const [listener, port] = await listening((request, response) => {
    if (request.url.startsWith("/interaction/")) {
      return void op.interactionFinished(request, response, { login: { accountId: who } }, { mergeWithLastSubmission: false });
    }
    if (request.url === "/token") {
      const end = response.end.bind(response);
      response.end = (body) => {
        void spoilt(String(body)).then((text) => {
          response.setHeader("content-length", Buffer.byteLength(text));
          end(text);
        });
        return response;
      };
    }
    return op.callback()(request, response);
  });
  issuer = `http://127.0.0.1:${port}`;
  op = new OidcProvider(issuer, {
    clients: [{ client_id: CLIENT, token_endpoint_auth_method: "none", redirect_uris: [`${back}/sign-in`], grant_types: ["authorization_code"] }],
    jwks: { keys: [{ ...(await jose.exportJWK(privateKey)), alg: "RS256", use: "sig", kid: "quay" }] },
    cookies: { keys: ["a key of this test only"] },
    features: { devInteractions: { enabled: false } },
    interactions: { url: (_, interaction) => `/interaction/${interaction.uid}` },
    claims: { openid: ["sub", "email", "preferred_username"] },
    conformIdTokenClaims: false,
    findAccount: (_, id) => ({ accountId: id, claims: () => ({ sub: id, email: "ines@quay.example", preferred_username: INES.sign_in }) }),
    // Whoever is let in agrees.
    loadExistingGrant: async (ctx) => {
      const grant = new ctx.oidc.provider.Grant({ clientId: CLIENT, accountId: ctx.oidc.session.accountId });
      grant.addOIDCScope("openid");
      await grant.save();
      return grant;
    },
    pkce: { required: () => true },
  });
  return listener;
}

before(async () => {
  server = new Server();
  server.port = await freePort();
  origin = `http://127.0.0.1:${server.port}`;
  provider = await startProvider(origin);
  await server.start("serve", "--public-url", origin, "--oidc-issuer", issuer, "--oidc-client", CLIENT, "--oidc-name", NAME);
});
after(async () => {
  await server.stop();
  provider.closeAllConnections();
  provider.close();
});

/** A browser as far as this needs one: it keeps cookies, by site. */
class Jar {
  #cookies = new Map();

  async ask(url, options = {}) {
    const site = new URL(url).origin;
    const kept = this.#cookies.get(site) ?? new Map();
    const cookie = [...kept].map(([name, value]) => `${name}=${value}`).join("; ");
    const answer = await fetch(url, { ...options, redirect: "manual", headers: { ...options.headers, cookie } });
    for (const set of answer.headers.getSetCookie()) {
      const [, name, value] = /^([^=]+)=([^;]*)/.exec(set);
      if (value === "") kept.delete(name);
      else kept.set(name, value);
    }
    this.#cookies.set(site, kept);
    return answer;
  }

  async post(path, body, method = "POST") {
    const options = method === "GET" ? {} : { body: JSON.stringify(body) };
    const answer = await this.ask(origin + path, { method, headers: { "content-type": "application/json", origin }, ...options });
    return { status: answer.status, body: await answer.json().catch(() => null) };
  }

  /** Goes to the provider, and comes back with what is in the address. */
  async asked(path = "/api/staff/provider") {
    const begun = await this.post(path, {});
    assert.equal(begun.status, 200, JSON.stringify(begun.body));
    let at = begun.body.address;
    for (let hops = 0; !at.startsWith(`${origin}/sign-in`); hops++) {
      assert.ok(hops < 10, at);
      const answer = await this.ask(at);
      assert.ok(answer.headers.has("location"), `${at}: ${answer.status} ${await answer.text()}`);
      at = new URL(answer.headers.get("location"), at).href;
    }
    const found = new URL(at).searchParams;
    return { state: found.get("state"), code: found.get("code"), iss: found.get("iss"), error: found.get("error") };
  }

  answer(found) {
    return this.post("/api/staff/provider/answer", found);
  }

  /** The account that is signed in here. */
  async me() {
    return (await this.post("/api/staff/me", undefined, "GET")).body;
  }
}

const ines = new Jar();

test("an account is linked by its owner, signed in, and by nobody else", async () => {
  const token = server.links.staff.first.split(".").at(-1);
  assert.equal((await ines.post("/api/staff/first", { ...INES, token, request: randomUUID() })).status, 200);
  assert.deepEqual((await ines.post("/api/staff/ways", undefined, "GET")).body, { provider: NAME });
  assert.equal((await ines.me()).identity, null);

  // The provider knows a name and a mail address that are hers; they link nothing.
  const stranger = new Jar();
  const refused = await stranger.answer(await stranger.asked());
  assert.equal(refused.status, 401);
  assert.match(refused.body.text, /no account here is linked with Quay House sign-in; sign in with your name and password/);
  assert.equal((await stranger.post("/api/staff/identity", {})).status, 401, "linking needs an account");

  const found = await ines.asked("/api/staff/identity");
  const carried = await stranger.answer(found);
  assert.equal(carried.status, 401, "another browser cannot bring her answer");
  assert.deepEqual(await ines.answer(await ines.asked("/api/staff/identity")), { status: 200, body: "linked" });
  assert.ok((await ines.me()).identity.linked_at > 0);

  // A colleague cannot link the same person of the provider.
  const account = { name: "Bertram", sign_in: "bertram", role: "helper", clinician: null };
  const made = (await ines.post("/api/accounts", { account, request: randomUUID() })).body;
  const link = (await ines.post(`/api/accounts/${made.id}/link`, {})).body.link.split(".").at(-1);
  const bertram = new Jar();
  assert.equal((await bertram.post("/api/staff/password-by-link", { token: link, password: "quiet harbour lamp seven", request: randomUUID() })).status, 200);
  const taken = await bertram.answer(await bertram.asked("/api/staff/identity"));
  assert.equal(taken.status, 422, JSON.stringify(taken.body));
  // One that he began is not finished by her, who signs in in the same browser.
  who = "bertram-at-the-quay";
  const begun = await bertram.asked("/api/staff/identity");
  assert.equal((await bertram.post("/api/staff/sign-in", { name: INES.sign_in, password: INES.password, code: null })).status, 200);
  assert.equal((await bertram.answer(begun)).status, 403);
  who = "ines-at-the-quay";
});

test("whoever is linked signs in, and proves themselves by password before anything grave", async () => {
  const device = new Jar();
  assert.deepEqual(await device.answer(await device.asked()), { status: 200, body: "in" });
  const me = await device.me();
  assert.equal(me.account.sign_in, INES.sign_in);
  assert.ok(me.identity.used_at > 0);
  const grave = await device.post("/api/staff/codes", {});
  assert.deepEqual([grave.status, grave.body.code], [403, "prove_again"]);
  assert.equal((await device.post("/api/staff/again", { password: INES.password })).status, 200);
  assert.equal((await device.post("/api/staff/codes", {})).status, 200);
  // Where the provider says that she proved herself a moment ago, that is enough.
  fault = (claims) => signed({ ...claims, auth_time: claims.iat });
  const fresh = new Jar();
  assert.equal((await fresh.answer(await fresh.asked())).status, 200);
  fault = null;
  assert.equal((await fresh.post("/api/staff/codes", {})).status, 200);
});

const signed = (claims, by = key, alg = "RS256", kid = "quay") => new jose.SignJWT(claims).setProtectedHeader({ alg, kid }).sign(by);
const unsigned = (claims) => new jose.UnsecuredJWT(claims).encode();

const FAULTS = {
  "another nonce": [/nonce mismatch/, (claims) => signed({ ...claims, nonce: "another" })],
  "no nonce": [/missing nonce/, ({ nonce, ...claims }) => signed(claims)],
  "another audience": [/must contain/, (claims) => signed({ ...claims, aud: "another" })],
  "a second audience": [/not a trusted audience/, (claims) => signed({ ...claims, aud: [CLIENT, "another"] })],
  "another issuer": [/Invalid issuer/, (claims) => signed({ ...claims, iss: "https://another.example" })],
  expired: [/token expired/, (claims) => signed({ ...claims, exp: claims.iat - 61, iat: claims.iat - 3_600 })],
  "issued in ten minutes": [/issued later than now/, (claims) => signed({ ...claims, iat: claims.iat + 600 })],
  "signed by nobody": [/No signature found/, (claims) => unsigned(claims)],
  "signed by another key": [/bad signature/, (claims) => signed(claims, other)],
  "signed by what anybody knows": [/Disallowed signature algorithm/, (claims) => signed(claims, new TextEncoder().encode(CLIENT.padEnd(32)), "HS256", undefined)],
  "changed after it was signed": [/bad signature/, async (claims) => {
    const [header, , signature] = (await signed(claims)).split(".");
    return [header, jose.base64url.encode(JSON.stringify({ ...claims, sub: "bertram-at-the-quay" })), signature].join(".");
  }],
  "of another access token": [/access token is another/, (claims) => signed({ ...claims, at_hash: "AAAAAAAAAAAAAAAAAAAAAA" })],
  "no token": [/no ID token/, (_, answer) => {
    delete answer.id_token;
    return undefined;
  }],
};

for (const [name, [why, put]] of Object.entries(FAULTS)) {
  test(`an answer is refused: ${name}`, async () => {
    const device = new Jar();
    const found = await device.asked();
    fault = put;
    const logged = server.log.length;
    const refused = await device.answer(found);
    fault = null;
    assert.deepEqual([refused.status, refused.body?.code], [401, "provider"], JSON.stringify(refused.body));
    assert.match(refused.body.text, /did not give a valid answer; begin again, or use your name and password here/);
    const log = server.log.slice(logged);
    assert.match(log, /the provider vouches for nobody/);
    assert.match(log, why);
    assert.equal((await device.me()).code, "not_signed_in");
  });
}

test("an answer counts once, for who asked, from who was asked, and clocks may differ by a minute", async () => {
  const device = new Jar();
  const found = await device.asked();
  const refused = async (answer, by = device) => assert.equal((await by.answer(answer)).status, 401, JSON.stringify(answer));
  await refused({ ...found, state: randomUUID() });
  await refused(found, new Jar());
  // Whoever brought it first has used it up, so each asks anew.
  await refused({ ...(await device.asked()), iss: "https://another.example" });
  await refused({ ...(await device.asked()), iss: null });
  const good = await device.asked();
  assert.equal((await device.answer(good)).status, 200);
  await refused(good);
  const later = await device.asked();
  await refused({ ...later, code: good.code });
  const denied = await device.answer({ ...(await device.asked()), code: null, error: "access_denied" });
  assert.match(denied.body.text, /did not let you in/);
  // Without the rest the parameters make no sense, and the page says so.
  assert.equal((await device.answer({ state: "no id", code: null, iss: null, error: null })).status, 422);

  fault = (claims) => signed({ ...claims, exp: claims.iat - 30, iat: claims.iat + 30 });
  assert.equal((await device.answer(await device.asked())).status, 200);
  fault = null;
});

test("in a browser: by the key of the sign-in page and back, and the link is ended; without the provider there is the password", async () => {
  const browser = await chromium.launch({ executablePath: "/usr/bin/chromium", args: ["--no-sandbox"] });
  const page = await (await browser.newContext()).newPage();
  page.setDefaultTimeout(30_000);
  const press = (name) => page.getByRole("button", { name, exact: true }).click();
  await page.goto(`${origin}/planner`);
  await press(`Sign in with ${NAME}`);
  await page.getByRole("navigation", { name: "Pages" }).waitFor();
  assert.ok(!/code=|state=/.test(page.url()), page.url());
  await page.getByRole("button", { name: /^Your account/ }).click();
  const part = page.getByRole("region", { name: "Your organisation’s sign-in" });
  await part.getByText("last used", { exact: false }).waitFor();
  await part.getByRole("button", { name: "End the link" }).click();
  await page.getByLabel("Password", { exact: true }).fill(INES.password);
  await press("Go on");
  await part.getByRole("button", { name: `Link with ${NAME}` }).click();
  await part.getByText("not used yet", { exact: false }).waitFor();
  assert.equal(await page.getByRole("heading", { name: "Your organisation’s sign-in" }).count(), 1, "she is back where she was");
  await part.getByRole("button", { name: "End the link" }).click();
  await part.getByRole("button", { name: `Link with ${NAME}` }).waitFor();
  await press("Sign out");
  await page.goto(`${origin}/sign-in`);
  await press(`Sign in with ${NAME}`);
  await page.getByText("No account here is linked with", { exact: false }).waitFor();

  provider.closeAllConnections();
  await new Promise((closed) => provider.close(closed));
  await press(`Sign in with ${NAME}`);
  await page.getByText(`${NAME} does not answer at the moment`, { exact: false }).waitFor();
  await page.getByLabel("Sign-in name").fill(INES.sign_in);
  await page.getByLabel("Password", { exact: true }).fill(INES.password);
  await press("Sign in");
  await page.getByRole("navigation", { name: "Pages" }).waitFor();
  await browser.close();
});
