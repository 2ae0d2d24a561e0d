//! The organisation's own sign-in, where the host set one (OpenID Connect Core 1.0, by code and with PKCE). It says who
//! somebody is; which account that opens is known here, because its owner linked the two.

use anyhow::Context;
use axum::body::Bytes;
use chrono::{DateTime, Utc};
use http_body_util::{BodyExt as _, Full, Limited};
use hyper_rustls::{HttpsConnector, HttpsConnectorBuilder};
use hyper_util::client::legacy::{self, connect::HttpConnector};
use hyper_util::rt::TokioExecutor;
use openidconnect::core::{
    CoreAuthDisplay, CoreAuthenticationFlow, CoreClaimName, CoreClaimType, CoreClient, CoreClientAuthMethod,
    CoreGrantType, CoreJsonWebKey, CoreJweContentEncryptionAlgorithm, CoreJweKeyManagementAlgorithm,
    CoreJwsSigningAlgorithm, CoreResponseMode, CoreResponseType, CoreSubjectIdentifierType,
};
use openidconnect::http::Response;
use openidconnect::{
    AccessTokenHash, AdditionalProviderMetadata, AuthorizationCode, ClientId, ClientSecret, CsrfToken,
    EndpointMaybeSet, EndpointNotSet, EndpointSet, HttpRequest, HttpResponse, IssuerUrl, Nonce,
    OAuth2TokenResponse as _, PkceCodeChallenge, PkceCodeVerifier, ProviderMetadata, RedirectUrl,
    RequestTokenError, TokenResponse as _,
};
use rustls::pki_types::CertificateDer;
use rustls::pki_types::pem::PemObject as _;
use rustls::{ClientConfig, RootCertStore};
use samebreath_core::staff::account::AccountId;
use samebreath_core::time::EpochMs;
use samebreath_store::identities::Identity;
use serde::{Deserialize, Serialize};
use url::Url;
use uuid::Uuid;

use crate::reasons::said;
use crate::settings::OidcSettings;

/// The longest answer that is read.
const ANSWER_BYTES: usize = 512 * 1024;
/// By how much the two clocks may differ.
const LEEWAY_MS: i64 = 60_000;
/// How an answer may be signed: by a key of which only the provider has the private half.
const SIGNED_BY: [CoreJwsSigningAlgorithm; 9] = [
    CoreJwsSigningAlgorithm::RsaSsaPkcs1V15Sha256,
    CoreJwsSigningAlgorithm::RsaSsaPkcs1V15Sha384,
    CoreJwsSigningAlgorithm::RsaSsaPkcs1V15Sha512,
    CoreJwsSigningAlgorithm::RsaSsaPssSha256,
    CoreJwsSigningAlgorithm::RsaSsaPssSha384,
    CoreJwsSigningAlgorithm::RsaSsaPssSha512,
    CoreJwsSigningAlgorithm::EcdsaP256Sha256,
    CoreJwsSigningAlgorithm::EcdsaP384Sha384,
    CoreJwsSigningAlgorithm::EdDsa,
];

/// What a provider says of itself beside what everyone does.
#[derive(Debug, Clone, Serialize, Deserialize)]
struct AlsoSays {
    /// Whether it names itself when somebody comes back from it (RFC 9207).
    #[serde(default)]
    authorization_response_iss_parameter_supported: bool,
}

impl AdditionalProviderMetadata for AlsoSays {}

type Metadata = ProviderMetadata<
    AlsoSays,
    CoreAuthDisplay,
    CoreClientAuthMethod,
    CoreClaimName,
    CoreClaimType,
    CoreGrantType,
    CoreJweContentEncryptionAlgorithm,
    CoreJweKeyManagementAlgorithm,
    CoreJsonWebKey,
    CoreResponseMode,
    CoreResponseType,
    CoreSubjectIdentifierType,
>;

type Client = CoreClient<
    EndpointSet,
    EndpointNotSet,
    EndpointNotSet,
    EndpointNotSet,
    EndpointMaybeSet,
    EndpointMaybeSet,
>;

/// The organisation's own sign-in.
#[derive(Debug)]
pub struct Provider {
    name: String,
    issuer: IssuerUrl,
    client: ClientId,
    secret: Option<ClientSecret>,
    back: RedirectUrl,
    http: Http,
}

/// What is remembered while somebody is with the provider.
#[derive(Debug, Clone)]
pub struct Question {
    nonce: String,
    verifier: String,
    /// The hash of the token in the browser that asked: nobody else can bring the answer.
    pub browser: String,
    /// Whose account is to be linked; `None` when somebody signs in.
    pub links: Option<AccountId>,
}

impl Question {
    /// A new question from a browser.
    pub fn new(browser: String, links: Option<AccountId>) -> Self {
        let (_, verifier) = PkceCodeChallenge::new_random_sha256();
        let nonce = Nonce::new_random().secret().clone();
        Self { nonce, verifier: verifier.into_secret(), browser, links }
    }
}

/// What the provider said.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Vouched {
    /// Whom it means.
    pub identity: Identity,
    /// When they last proved it there, if it says so.
    pub proved_at: Option<EpochMs>,
}

/// Why nobody is let in.
#[derive(Debug, thiserror::Error)]
pub enum NotVouched {
    /// The provider cannot be reached, or is not itself.
    #[error("the provider cannot be asked: {0}")]
    Silent(String),
    /// What it said does not hold.
    #[error("the provider's answer does not hold: {0}")]
    Wrong(String),
}

impl Provider {
    /// The provider that the host set; `None` where none was. `base` is what comes before the path of a page.
    ///
    /// # Errors
    /// When a setting is wrong, or a file of it cannot be read.
    pub fn new(settings: &OidcSettings, base: &str) -> anyhow::Result<Option<Self>> {
        let Some(issuer) = &settings.oidc_issuer else { return Ok(None) };
        let url = Url::parse(issuer)
            .with_context(|| format!("--oidc-issuer is `{issuer}`, which is no address"))?;
        let is_here = match url.host() {
            Some(url::Host::Domain(host)) => host == "localhost",
            Some(url::Host::Ipv4(at)) => at.is_loopback(),
            Some(url::Host::Ipv6(at)) => at.is_loopback(),
            None => false,
        };
        anyhow::ensure!(
            url.scheme() == "https" || (url.scheme() == "http" && is_here),
            "--oidc-issuer is `{issuer}`; it must begin with https://"
        );
        let client = settings.oidc_client.clone().context("--oidc-issuer needs --oidc-client")?;
        let secret = settings.oidc_secret_file.as_ref().map(|file| {
            std::fs::read_to_string(file).with_context(|| format!("cannot read {}", file.display()))
        });
        let secret = secret.transpose()?.map(|secret| ClientSecret::new(secret.trim_end().to_owned()));
        Ok(Some(Self {
            name: settings.oidc_name.clone(),
            issuer: IssuerUrl::new(issuer.clone())?,
            client: ClientId::new(client),
            secret,
            back: RedirectUrl::new(format!("{base}/sign-in"))?,
            http: http_client(settings, is_here)?,
        }))
    }

    /// What staff call it.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Where the browser goes to be asked who its owner is.
    ///
    /// # Errors
    /// When the provider cannot be reached.
    pub async fn address(&self, id: Uuid, question: &Question) -> Result<Url, NotVouched> {
        let client = self.client(&self.discover().await?);
        let verifier = PkceCodeVerifier::new(question.verifier.clone());
        let (state, nonce) = (CsrfToken::new(id.to_string()), Nonce::new(question.nonce.clone()));
        let flow = CoreAuthenticationFlow::AuthorizationCode;
        let asked = client.authorize_url(flow, move || state, move || nonce);
        let (url, ..) =
            asked.set_pkce_challenge(PkceCodeChallenge::from_code_verifier_sha256(&verifier)).url();
        Ok(url)
    }

    /// Reads what the provider sent somebody back with: asks it by the code whom it means, and checks its signature and
    /// every claim. `issuer` is who it says it is in the address.
    ///
    /// # Errors
    /// Why it does not hold, for the log.
    pub async fn vouch(
        &self,
        question: &Question,
        code: String,
        issuer: Option<&str>,
        now: EpochMs,
    ) -> Result<Vouched, NotVouched> {
        let metadata = self.discover().await?;
        let says_who = metadata.additional_metadata().authorization_response_iss_parameter_supported;
        let is_it = issuer.map_or(!says_who, |issuer| issuer == self.issuer.as_str());
        if !is_it {
            return Err(NotVouched::Wrong(format!("it comes from {issuer:?}")));
        }
        let client = self.client(&metadata);
        let http = |request| self.fetch(request);
        let asked = client.exchange_code(AuthorizationCode::new(code)).map_err(wrong)?;
        let asked = asked.set_pkce_verifier(PkceCodeVerifier::new(question.verifier.clone()));
        let answer = asked.request_async(&http).await.map_err(|error| match error {
            RequestTokenError::Request(error) => NotVouched::Silent(error.to_string()),
            other => wrong(other),
        })?;
        let token = answer.id_token().ok_or_else(|| NotVouched::Wrong("it has no ID token".to_owned()))?;
        let expired_before = utc(now.plus(-LEEWAY_MS))?;
        let issued_before = utc(now.plus(LEEWAY_MS))?;
        let verifier = client
            .id_token_verifier()
            .set_allowed_algs(SIGNED_BY)
            .set_time_fn(move || expired_before)
            .set_issue_time_verifier_fn(move |at| {
                if at <= issued_before { Ok(()) } else { Err(format!("it was issued later than now, {at}")) }
            });
        let claims = token.claims(&verifier, &Nonce::new(question.nonce.clone())).map_err(wrong)?;
        if let Some(expected) = claims.access_token_hash() {
            let (algorithm, key) =
                (token.signing_alg().map_err(wrong)?, token.signing_key(&verifier).map_err(wrong)?);
            let hash = AccessTokenHash::from_token(answer.access_token(), algorithm, key).map_err(wrong)?;
            if hash != *expected {
                return Err(NotVouched::Wrong("its access token is another's".to_owned()));
            }
        }
        Ok(Vouched {
            identity: Identity {
                issuer: self.issuer.as_str().to_owned(),
                subject: claims.subject().as_str().to_owned(),
            },
            proved_at: claims.auth_time().map(|at| EpochMs(at.timestamp_millis().min(now.0))),
        })
    }

    fn client(&self, metadata: &Metadata) -> Client {
        CoreClient::from_provider_metadata(metadata.clone(), self.client.clone(), self.secret.clone())
            .set_redirect_uri(self.back.clone())
    }

    /// What the provider says of itself, with its keys (OpenID Connect Discovery 1.0). It is asked each time: it changes its
    /// keys, and while it does not answer, nobody is sent there.
    async fn discover(&self) -> Result<Metadata, NotVouched> {
        let http = |request| self.fetch(request);
        let found = Metadata::discover_async(self.issuer.clone(), &http).await;
        found.map_err(|error| NotVouched::Silent(said(&error)))
    }

    /// Asks the provider something, and reads no more than it may say.
    fn fetch(
        &self,
        request: HttpRequest,
    ) -> impl Future<Output = Result<HttpResponse, std::io::Error>> + Send + use<> {
        let http = self.http.clone();
        async move {
            let answer = http.request(request.map(Full::from)).await.map_err(|error| failed(&error))?;
            let (head, body) = answer.into_parts();
            let read = Limited::new(body, ANSWER_BYTES).collect().await;
            Ok(Response::from_parts(head, read.map_err(|error| failed(&*error))?.to_bytes().into()))
        }
    }
}

fn failed(error: &(dyn std::error::Error + 'static)) -> std::io::Error {
    std::io::Error::other(said(error))
}

/// What asks the provider. It follows no redirect: whoever answers must not send the server anywhere else.
type Http = legacy::Client<HttpsConnector<HttpConnector>, Full<Bytes>>;

/// Without TLS it asks only a provider on this machine.
fn http_client(settings: &OidcSettings, is_here: bool) -> anyhow::Result<Http> {
    let mut roots = RootCertStore::empty();
    roots.extend(webpki_roots::TLS_SERVER_ROOTS.iter().cloned());
    if let Some(file) = &settings.oidc_ca {
        let own = CertificateDer::from_pem_file(file);
        let own = own.with_context(|| format!("{} is no certificate", file.display()))?;
        roots.add(own).with_context(|| format!("{} cannot vouch for anybody", file.display()))?;
    }
    let provider = std::sync::Arc::new(rustls::crypto::ring::default_provider());
    let tls = ClientConfig::builder_with_provider(provider)
        .with_safe_default_protocol_versions()?
        .with_root_certificates(roots)
        .with_no_client_auth();
    let builder = HttpsConnectorBuilder::new().with_tls_config(tls);
    let builder = if is_here { builder.https_or_http() } else { builder.https_only() };
    let connector = builder.enable_http1().build();
    Ok(legacy::Client::builder(TokioExecutor::new()).build(connector))
}

fn utc(at: EpochMs) -> Result<DateTime<Utc>, NotVouched> {
    DateTime::from_timestamp_millis(at.0)
        .ok_or_else(|| NotVouched::Wrong("the server's clock is wrong".to_owned()))
}

fn wrong(error: impl std::error::Error) -> NotVouched {
    NotVouched::Wrong(said(&error))
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test module")]
mod tests {
    use super::*;

    fn provider(issuer: &str, client: Option<&str>) -> Result<Provider, String> {
        let settings = OidcSettings {
            oidc_issuer: Some(issuer.to_owned()),
            oidc_client: client.map(str::to_owned),
            oidc_name: "Clinic sign-in".to_owned(),
            ..OidcSettings::default()
        };
        Provider::new(&settings, "https://class.example/voice")
            .map(Option::unwrap)
            .map_err(|error| error.to_string())
    }

    #[test]
    fn a_provider_is_reached_over_https_and_sends_people_back_to_the_sign_in_page() {
        for issuer in
            ["https://login.example", "http://localhost:9000", "http://127.0.0.1:9000", "http://[::1]:9000"]
        {
            let provider = provider(issuer, Some("samebreath")).unwrap();
            assert_eq!(provider.back.as_str(), "https://class.example/voice/sign-in");
        }
        let refused = |issuer, client| provider(issuer, client).unwrap_err();
        for issuer in ["http://login.example", "http://localhost.example", "ftp://login.example"] {
            assert!(refused(issuer, Some("samebreath")).ends_with("it must begin with https://"), "{issuer}");
        }
        assert!(refused("login.example", Some("samebreath")).ends_with("which is no address"));
        assert_eq!(refused("https://login.example", None), "--oidc-issuer needs --oidc-client");
    }
}
