//! The websocket handshake (RFC 6455, section 4.2), and the bare TCP connection behind it. The room writes to that
//! connection directly, so it must be unwrapped from the HTTP server.

use anyhow::anyhow;
use axum::body::Body;
use axum::extract::Request;
use axum::http::HeaderValue;
use axum::http::header::SEC_WEBSOCKET_PROTOCOL;
use axum::response::Response;
use hyper::upgrade::OnUpgrade;
use hyper_util::rt::TokioIo;
use samebreath_wire::SUBPROTOCOL;
use tokio::net::TcpStream;
use tokio_tungstenite::tungstenite::handshake::server::create_response_with_body;

use crate::failure::Failure;

/// The connection behind a handshake, with the bytes that were already read from it.
pub(crate) type Connected = anyhow::Result<(TcpStream, Vec<u8>)>;

/// The answer to a handshake, and a future that gives the connection once the answer has been sent.
///
/// # Errors
/// When the request is not a handshake for this server. The failure says what it must be.
pub(crate) fn answer(
    request: &mut Request,
) -> Result<(Response, impl Future<Output = Connected> + use<>), Failure> {
    let named = request.headers().get_all(SEC_WEBSOCKET_PROTOCOL).iter().filter_map(|v| v.to_str().ok());
    if !named.flat_map(|value| value.split(',')).any(|name| name.trim() == SUBPROTOCOL) {
        return Err(Failure::Handshake(format!("the websocket subprotocol must be {SUBPROTOCOL}")));
    }
    let mut response = create_response_with_body(request, Body::empty)
        .map_err(|error| Failure::Handshake(error.to_string()))?;
    if request.extensions().get::<OnUpgrade>().is_none() {
        return Err(Failure::Handshake("this connection cannot become a websocket".to_owned()));
    }
    response.headers_mut().insert(SEC_WEBSOCKET_PROTOCOL, HeaderValue::from_static(SUBPROTOCOL));
    let upgrade = hyper::upgrade::on(request);
    let opened = async move {
        let upgraded = upgrade.await?;
        let parts = upgraded.downcast::<TokioIo<TcpStream>>().map_err(|_| anyhow!("not a TCP connection"))?;
        Ok((parts.io.into_inner(), parts.read_buf.to_vec()))
    };
    Ok((response, opened))
}
