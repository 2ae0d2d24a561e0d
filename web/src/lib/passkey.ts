// Passkeys, by the browser's own means (Web Authentication Level 3).

import { Refused } from "./http";
import { staffText as t } from "./messages/staff";

/** Whether this browser can make and use passkeys here; without https it can only on this machine itself. */
export const canPasskey = (): boolean =>
  "PublicKeyCredential" in globalThis && "parseCreationOptionsFromJSON" in PublicKeyCredential;

/** The browser says in its own words why not, or that somebody changed their mind. */
async function asked(act: () => Promise<Credential | null>): Promise<unknown> {
  const answer = await act().catch((error: unknown) => {
    throw new Refused(
      0,
      "passkey",
      error instanceof DOMException && error.name === "NotAllowedError" ? t.passkeyNot : String(error),
    );
  });
  if (!(answer instanceof PublicKeyCredential)) throw new Refused(0, "passkey", t.passkeyNot);
  return answer.toJSON();
}

/** Lets this device make a passkey. */
export function makePasskey(options: unknown): Promise<unknown> {
  const publicKey = PublicKeyCredential.parseCreationOptionsFromJSON(
    options as PublicKeyCredentialCreationOptionsJSON,
  );
  return asked(() => navigator.credentials.create({ publicKey }));
}

/** Lets a device of theirs use one. */
export function usePasskey(options: unknown): Promise<unknown> {
  const publicKey = PublicKeyCredential.parseRequestOptionsFromJSON(
    options as PublicKeyCredentialRequestOptionsJSON,
  );
  return asked(() => navigator.credentials.get({ publicKey }));
}
