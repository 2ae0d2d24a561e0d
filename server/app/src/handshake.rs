//! The websocket handshake (RFC 6455, section 4.2), and the bare connection behind it: the room writes to it
//! directly, so it must not stay wrapped in what served the request.

use anyhow::anyhow;
use axum::Json;
use axum::body::Body;
use axum::extract::Request;
use axum::http::header::{SEC_WEBSOCKET_PROTOCOL, SEC_WEBSOCKET_VERSION, UPGRADE};
use axum::http::{HeaderValue, StatusCode};
use axum::response::{IntoResponse, Response};
use hyper::upgrade::OnUpgrade;
use hyper_util::rt::TokioIo;
use hyper_util::server::conn::auto::upgrade::downcast;
use samebreath_wire::{Problem, SUBPROTOCOL};
use tokio::net::TcpStream;
use tokio_tungstenite::tungstenite::handshake::server::create_response_with_body;

/// The answer to a handshake, and the connection once it was sent, with what was read of it already.
///
/// # Errors
/// The answer to a request that is no handshake for this server: what it must be.
pub(crate) fn answer(
    request: &mut Request,
) -> Result<(Response, impl Future<Output = anyhow::Result<(TcpStream, Vec<u8>)>> + use<>), Response> {
    let named = request.headers().get_all(SEC_WEBSOCKET_PROTOCOL).iter().filter_map(|v| v.to_str().ok());
    if !named.flat_map(|value| value.split(',')).any(|name| name.trim() == SUBPROTOCOL) {
        return Err(refuse(format!("the websocket subprotocol must be {SUBPROTOCOL}")));
    }
    let mut response =
        create_response_with_body(request, Body::empty).map_err(|error| refuse(error.to_string()))?;
    if request.extensions().get::<OnUpgrade>().is_none() {
        return Err(refuse("this connection cannot become a websocket".to_owned()));
    }
    response.headers_mut().insert(SEC_WEBSOCKET_PROTOCOL, HeaderValue::from_static(SUBPROTOCOL));
    let upgrade = hyper::upgrade::on(request);
    let opened = async move {
        let parts =
            downcast::<TokioIo<TcpStream>>(upgrade.await?).map_err(|_| anyhow!("not a TCP connection"))?;
        Ok((parts.io.into_inner(), parts.read_buf.to_vec()))
    };
    Ok((response, opened))
}

fn refuse(text: String) -> Response {
    let must = [(UPGRADE, "websocket"), (SEC_WEBSOCKET_VERSION, "13")];
    (StatusCode::UPGRADE_REQUIRED, must, Json(Problem { code: "handshake".to_owned(), text })).into_response()
}
