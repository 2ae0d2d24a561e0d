//! The failures of plain requests, and how each becomes an answer.

use axum::Json;
use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use samebreath_core::live::Refusal;
use samebreath_core::time::day::Date;
use samebreath_store::StoreError;
use samebreath_wire::Problem;

use crate::access::limits::TooOften;
use crate::access::password::Busy;
use crate::room::RoomGone;

/// A failure, as the browser sees it.
#[derive(Debug, thiserror::Error)]
pub enum Failure {
    /// The browser has no valid pass for this.
    #[error("this browser has no place in that class; use your link or join with the code")]
    NoPass,
    /// Nobody of the staff is signed in in this browser.
    #[error("sign in first")]
    NotSignedIn,
    /// The name, the password or the code is wrong. Nothing says which.
    #[error("the name, the password or the code is not right; check each of them and try again")]
    WrongSignIn,
    /// Whoever is signed in must prove again who they are.
    #[error("this is important: give your password again")]
    ProveAgain,
    /// Only a clinician's account may do this.
    #[error(
        "only a clinician's account sets precautions, decides and signs notes; ask a colleague who is one"
    )]
    NotClinician,
    /// The organisation's own sign-in let nobody in. The sentence says why, and what to do instead.
    #[error("{0}")]
    Provider(String),
    /// Too many people are signing in.
    #[error("many people are signing in at the moment; wait a moment and try again")]
    Busy,
    /// The browser's pass does not allow this.
    #[error("you are not allowed to see or do this")]
    Forbidden,
    /// The request comes from a page of another website.
    #[error("requests from other websites are refused")]
    ForeignOrigin,
    /// There is nothing at this address.
    #[error("there is nothing here")]
    NotFound,
    /// A link that was used, expired or never existed.
    #[error("this link no longer works; ask for a new one")]
    DeadLink,
    /// A body that cannot be read. The sentence says where and why.
    #[error("{0}")]
    Body(String),
    /// A request that is not a websocket handshake for this server. The sentence says what it must be.
    #[error("{0}")]
    Handshake(String),
    /// A code that is malformed, or that no open class has. The sentence says which.
    #[error("{0}")]
    Code(String),
    /// Too many tries.
    #[error("there were too many tries in the last minute; wait a moment and try again")]
    TooOften,
    /// The ledger cannot be written at the moment.
    #[error("the server cannot save anything at the moment; try again soon")]
    NotRecording,
    /// The ledger of this class cannot be read.
    #[error("the records of this class cannot be read; the server's log says why")]
    Unreadable,
    /// Somebody else saved the document first.
    #[error("somebody else saved this first; look at their version before you go on")]
    Behind,
    /// What was sent again says something else than before.
    #[error("this was sent before and said something else; both are kept")]
    Differs,
    /// The day of what somebody did at home cannot be right: what the device says, and the server's.
    #[error("this was noted for {0}, and today is {1}; say on which day it was")]
    OtherDay(Date, Date),
    /// The link that was open on this device has ended.
    #[error("the link that was open on this device has ended; ask for a new one")]
    LinkEnded,
    /// The session refused the command.
    #[error("{0}")]
    Refused(#[from] Refusal),
    /// The server is stopping.
    #[error("the server is restarting; try again in a moment")]
    Restarting,
    /// Something that should not happen. The log has the details.
    #[error("something went wrong on the server; try again")]
    Inside(#[source] StoreError),
}

impl From<StoreError> for Failure {
    fn from(error: StoreError) -> Self {
        if error.is_of_one_session() { Self::Unreadable } else { Self::Inside(error) }
    }
}

impl From<TooOften> for Failure {
    fn from(_: TooOften) -> Self {
        Self::TooOften
    }
}

impl From<Busy> for Failure {
    fn from(_: Busy) -> Self {
        Self::Busy
    }
}

impl From<RoomGone> for Failure {
    fn from(_: RoomGone) -> Self {
        Self::Restarting
    }
}

impl Failure {
    fn status_and_code(&self) -> (StatusCode, &'static str) {
        match self {
            Self::NoPass => (StatusCode::UNAUTHORIZED, "no_pass"),
            Self::NotSignedIn => (StatusCode::UNAUTHORIZED, "not_signed_in"),
            Self::WrongSignIn => (StatusCode::UNAUTHORIZED, "wrong_sign_in"),
            Self::ProveAgain => (StatusCode::FORBIDDEN, "prove_again"),
            Self::NotClinician => (StatusCode::FORBIDDEN, "not_clinician"),
            Self::Provider(_) => (StatusCode::UNAUTHORIZED, "provider"),
            Self::Busy => (StatusCode::SERVICE_UNAVAILABLE, "busy"),
            Self::Forbidden => (StatusCode::FORBIDDEN, "forbidden"),
            Self::ForeignOrigin => (StatusCode::FORBIDDEN, "foreign_origin"),
            Self::NotFound => (StatusCode::NOT_FOUND, "not_found"),
            Self::DeadLink => (StatusCode::NOT_FOUND, "dead_link"),
            Self::Body(_) => (StatusCode::UNPROCESSABLE_ENTITY, "body"),
            Self::Handshake(_) => (StatusCode::UPGRADE_REQUIRED, "handshake"),
            Self::Code(_) => (StatusCode::NOT_FOUND, "code"),
            Self::TooOften => (StatusCode::TOO_MANY_REQUESTS, "too_often"),
            Self::NotRecording => (StatusCode::SERVICE_UNAVAILABLE, "not_recording"),
            Self::Unreadable => (StatusCode::INTERNAL_SERVER_ERROR, "unreadable_class"),
            Self::Behind => (StatusCode::CONFLICT, "behind"),
            Self::Differs => (StatusCode::CONFLICT, "differs"),
            Self::OtherDay(..) => (StatusCode::UNPROCESSABLE_ENTITY, "other_day"),
            Self::LinkEnded => (StatusCode::GONE, "link_ended"),
            Self::Refused(refusal) => (StatusCode::CONFLICT, refusal.code()),
            Self::Restarting => (StatusCode::SERVICE_UNAVAILABLE, "restarting"),
            Self::Inside(_) => (StatusCode::INTERNAL_SERVER_ERROR, "inside"),
        }
    }
}

impl IntoResponse for Failure {
    fn into_response(self) -> Response {
        if let Self::Inside(error) = &self {
            tracing::error!(error = error as &dyn std::error::Error, "request failed");
        }
        let (status, code) = self.status_and_code();
        let mut response =
            (status, Json(Problem { code: code.to_owned(), text: self.to_string() })).into_response();
        if matches!(status, StatusCode::SERVICE_UNAVAILABLE | StatusCode::TOO_MANY_REQUESTS) {
            response.headers_mut().insert(header::RETRY_AFTER, HeaderValue::from_static("2"));
        }
        // RFC 6455, section 4.4: the answer names the version that the server speaks.
        if status == StatusCode::UPGRADE_REQUIRED {
            let headers = response.headers_mut();
            headers.insert(header::UPGRADE, HeaderValue::from_static("websocket"));
            headers.insert(header::SEC_WEBSOCKET_VERSION, HeaderValue::from_static("13"));
        }
        response
    }
}
