//! The websocket handshake, and the bare connection behind it: the room writes to it directly, so it must
//! not stay wrapped in what served the request.

use anyhow::anyhow;
use axum::body::Body;
use axum::extract::Request;
use axum::http::HeaderValue;
use axum::http::header::SEC_WEBSOCKET_PROTOCOL;
use axum::response::Response;
use hyper_util::rt::TokioIo;
use hyper_util::server::conn::auto::upgrade::downcast;
use samebreath_wire::SUBPROTOCOL;
use tokio::net::TcpStream;
use tokio_tungstenite::tungstenite::handshake::server::create_response_with_body;

/// The answer to a handshake, and the connection once it was sent, with what was read of it already.
///
/// # Errors
/// What is wrong with the request.
pub(crate) fn answer(
    request: &mut Request,
) -> Result<(Response, impl Future<Output = anyhow::Result<(TcpStream, Vec<u8>)>> + use<>), String> {
    let wants =
        request.headers().get_all(SEC_WEBSOCKET_PROTOCOL).iter().filter_map(|value| value.to_str().ok());
    if !wants.flat_map(|value| value.split(',')).any(|name| name.trim() == SUBPROTOCOL) {
        return Err(format!("the websocket subprotocol must be {SUBPROTOCOL}"));
    }
    let mut response = create_response_with_body(request, Body::empty).map_err(|error| error.to_string())?;
    response.headers_mut().insert(SEC_WEBSOCKET_PROTOCOL, HeaderValue::from_static(SUBPROTOCOL));
    let upgrade = hyper::upgrade::on(request);
    let opened = async move {
        let parts =
            downcast::<TokioIo<TcpStream>>(upgrade.await?).map_err(|_| anyhow!("not a TCP connection"))?;
        Ok((parts.io.into_inner(), parts.read_buf.to_vec()))
    };
    Ok((response, opened))
}
