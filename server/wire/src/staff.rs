//! What staff ask for and get about accounts and signing in.

use samebreath_core::staff::account::{Account, AccountId, Clinician, SignInName};
use samebreath_core::text::{Line, Name};
use samebreath_core::time::EpochMs;
use serde::{Deserialize, Serialize};
use ts_rs::TS;
use uuid::Uuid;

/// Asks what a link about an account is for (`POST /api/staff/link`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(deny_unknown_fields)]
pub struct LinkToken {
    /// The link's token.
    pub token: String,
}

/// What a link about an account is for.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(tag = "is", rename_all = "snake_case")]
pub enum LinkIs {
    /// It makes the first account.
    First,
    /// It lets somebody choose a password.
    Password {
        /// Whose account it is.
        name: Name,
        /// What they type to sign in.
        sign_in: SignInName,
    },
    /// It opens an account without a password.
    Opens,
}

/// Makes the first account (`POST /api/staff/first`), a coordinator's, and signs it in.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(deny_unknown_fields)]
pub struct FirstAccount {
    /// The link's token.
    pub token: String,
    /// What colleagues call them.
    pub name: Name,
    /// What they type to sign in.
    pub sign_in: SignInName,
    /// Their title and licence, if they are a clinician.
    pub clinician: Option<Clinician>,
    /// The password.
    pub password: String,
    /// The id of this request. The same request may come again when its answer was lost.
    pub request: Uuid,
}

/// Chooses a password by a link (`POST /api/staff/password-by-link`), and signs in.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(deny_unknown_fields)]
pub struct PasswordByLink {
    /// The link's token.
    pub token: String,
    /// The new password.
    pub password: String,
    /// The id of this request.
    pub request: Uuid,
}

/// Signs in (`POST /api/staff/sign-in`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(deny_unknown_fields)]
pub struct SignIn {
    /// The sign-in name.
    pub name: SignInName,
    /// The password.
    pub password: String,
    /// The code of the second factor, if the account has one.
    pub code: Option<String>,
}

/// What became of signing in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum SignInAnswer {
    /// The browser is signed in.
    In,
    /// The password is right, and the code of the second factor is needed too.
    NeedsCode,
}

/// Chooses a new password by a recovery code (`POST /api/staff/recover`), and signs in. A second factor is turned off.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(deny_unknown_fields)]
pub struct Recover {
    /// The sign-in name.
    pub name: SignInName,
    /// One of the recovery codes.
    pub code: String,
    /// The new password.
    pub password: String,
}

/// Recovery codes, shown once.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct RecoveryCodes {
    /// Ten codes in groups of four characters, each of which works once.
    pub codes: Vec<String>,
}

/// Whoever is signed in (`GET /api/staff/me`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct Me {
    /// The account's id.
    pub id: AccountId,
    /// What colleagues see of it.
    pub account: Account,
    /// Whether the server can send mail.
    pub mails: bool,
    /// What staff call the organisation's own sign-in; absent where there is none.
    pub provider: Option<String>,
    /// The link with it; absent when there is none.
    pub identity: Option<IdentityCard>,
    /// Whether it has a password. The account of the demo has none.
    pub has_password: bool,
    /// Whether it has a second factor.
    pub has_second: bool,
    /// How many recovery codes are left.
    pub codes_left: u32,
    /// Where it is signed in, the last used browser first.
    pub signed_in: Vec<Browser>,
}

/// A browser in which somebody is signed in.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct Browser {
    /// Its id.
    pub id: Uuid,
    /// Whether it is the one that asks.
    pub this: bool,
    /// What it says it is.
    pub device: String,
    /// When they signed in.
    pub created_at: EpochMs,
    /// When it was last used, to within a minute.
    pub seen_at: EpochMs,
}

/// Proves again who one is (`POST /api/staff/again`), or takes away what needs no more than that.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(deny_unknown_fields)]
pub struct Again {
    /// The password.
    pub password: String,
}

/// Changes one's password (`POST /api/staff/password`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(deny_unknown_fields)]
pub struct ChangePassword {
    /// The password until now.
    pub from: String,
    /// The new one.
    pub to: String,
}

/// A new secret for a second factor (`POST /api/staff/second`), which counts only once a code of it was typed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct NewSecond {
    /// The secret in base 32, to be typed into an app.
    pub secret: String,
    /// The same as an address that apps open (`otpauth://totp/...`).
    pub address: String,
}

/// Turns a second factor on (`PUT /api/staff/second`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(deny_unknown_fields)]
pub struct TurnOnSecond {
    /// The secret.
    pub secret: String,
    /// The code that the app shows for it.
    pub code: String,
}

/// An account as coordinators see it (`GET /api/accounts`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct AccountCard {
    /// Its id.
    pub id: AccountId,
    /// One more with every change.
    pub version: u64,
    /// What colleagues see of it.
    pub account: Account,
    /// Whether its owner has chosen a password.
    pub has_password: bool,
    /// Whether it has a second factor.
    pub has_second: bool,
    /// Whether it was ended.
    pub ended: bool,
}

/// A colleague whom a group can be entrusted to (`GET /api/colleagues`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct Colleague {
    /// The account's id.
    pub id: AccountId,
    /// What colleagues call them.
    pub name: Name,
}

/// Makes an account (`POST /api/accounts`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(deny_unknown_fields)]
pub struct NewAccount {
    /// What colleagues see of it.
    pub account: Account,
    /// The id of this request, which becomes the account's.
    pub request: Uuid,
}

/// Changes an account (`PUT /api/accounts/{id}`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(deny_unknown_fields)]
pub struct ChangeAccount {
    /// The version that it changes.
    pub after: u64,
    /// What colleagues see of it from now on.
    pub account: Account,
}

/// A link with which somebody chooses a password. It works once, for a day, and is shown once.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct AccountInvitation {
    /// The link without scheme and host.
    pub link: String,
}

/// A question to a device about a passkey.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, TS)]
pub struct PasskeyAsks {
    /// The question's id; it can be answered once, within five minutes.
    pub id: Uuid,
    /// What the browser is asked (`PublicKeyCredentialCreationOptionsJSON` or
    /// `PublicKeyCredentialRequestOptionsJSON`, Web Authentication Level 3).
    #[ts(type = "unknown")]
    pub options: serde_json::Value,
}

/// A device has made a passkey (`POST /api/staff/passkeys/made`).
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, TS)]
#[serde(deny_unknown_fields)]
pub struct MakePasskey {
    /// The question's id.
    pub id: Uuid,
    /// What its owner calls it.
    pub name: Line<60>,
    /// The browser's answer (`RegistrationResponseJSON`).
    #[ts(type = "unknown")]
    pub answer: serde_json::Value,
}

/// Asks to sign in by a passkey (`POST /api/staff/passkey-sign-in`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(deny_unknown_fields)]
pub struct PasskeySignIn {
    /// The sign-in name.
    pub name: SignInName,
}

/// Uses a passkey (`POST /api/staff/passkey-sign-in/answer`).
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, TS)]
#[serde(deny_unknown_fields)]
pub struct UsePasskey {
    /// The question's id.
    pub id: Uuid,
    /// The browser's answer (`AuthenticationResponseJSON`).
    #[ts(type = "unknown")]
    pub answer: serde_json::Value,
}

/// By what one can sign in beside a name and a password (`GET /api/staff/ways`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct SignInWays {
    /// What staff call the organisation's own sign-in; absent where there is none.
    pub provider: Option<String>,
}

/// Where the browser must go, so that the organisation's own sign-in says who its owner is
/// (`POST /api/staff/provider`, `POST /api/staff/identity`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct AskProvider {
    /// The address.
    pub address: String,
}

/// What the browser came back with (`POST /api/staff/provider/answer`): the parameters of its address, as OAuth 2.0
/// (RFC 6749, section 4.1.2) and RFC 9207 name them.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(deny_unknown_fields)]
pub struct FromProvider {
    /// Which question it answers.
    pub state: Uuid,
    /// By what the server can ask who they are; absent when they were refused.
    pub code: Option<String>,
    /// Who answers.
    pub iss: Option<String>,
    /// Why they were refused.
    pub error: Option<String>,
}

/// What came of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum ProviderAnswered {
    /// They are signed in.
    In,
    /// Their account is linked.
    Linked,
}

/// The link between an account and the organisation's own sign-in, as its owner sees it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct IdentityCard {
    /// When it was linked.
    pub linked_at: EpochMs,
    /// When it last let them in; absent until then.
    pub used_at: Option<EpochMs>,
}

/// A passkey, as its owner sees it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct PasskeyCard {
    /// Its id, as the device made it.
    pub id: String,
    /// What its owner calls it.
    pub name: Line<60>,
    /// When it was made.
    pub created_at: EpochMs,
    /// When it was last used; absent until then.
    pub used_at: Option<EpochMs>,
}
