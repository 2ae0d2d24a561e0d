//! The embedded web part: pages under short names, and files with hashed names that never change.

use axum::extract::State;
use axum::http::{HeaderMap, HeaderValue, StatusCode, Uri, header};
use axum::response::{IntoResponse, Response};
use rust_embed::RustEmbed;

use crate::http::ask::Shared;
use crate::settings::Site;

#[derive(RustEmbed)]
#[folder = "$OUT_DIR/web"]
struct Web;

/// A page or file of the web part.
pub async fn file(State(app): Shared, uri: Uri, asked_with: HeaderMap) -> Response {
    let asked = uri.path().trim_start_matches('/');
    // `/class/STAY` is the same page for every stay; its script reads the stay from the address.
    let page = asked.split_once('/').filter(|(_, stay)| !stay.contains('/')).map_or(asked, |(page, _)| page);
    let path = match page {
        "" => "index.html",
        "class" => "class.html",
        "desk" => "desk.html",
        "wall" => "wall.html",
        "own" => "own.html",
        "planner" if asked == page => "planner.html",
        "sign-in" if asked == page => "sign-in.html",
        "practice" if asked == page => "practice.html",
        "sw.js" if app.no_offline_practice => "no-worker.js",
        _ => asked,
    };
    let Some(file) = Web::get(path) else {
        return (StatusCode::NOT_FOUND, "there is nothing here").into_response();
    };
    let packed = takes_brotli(&asked_with).then(|| Web::get(&format!("{path}.br"))).flatten();
    let is_packed = packed.is_some();
    let kind = mime_guess::from_path(path).first_or_octet_stream();
    let mut response = if path.ends_with(".html") {
        placed(&file.data, &app.site).into_response()
    } else {
        packed.unwrap_or(file).data.into_response()
    };
    let headers = response.headers_mut();
    if is_packed {
        headers.insert(header::CONTENT_ENCODING, HeaderValue::from_static("br"));
        headers.insert(header::VARY, HeaderValue::from_static("accept-encoding"));
    }
    let charset = if kind.type_() == mime_guess::mime::TEXT { "; charset=utf-8" } else { "" };
    if let Ok(kind) = HeaderValue::from_str(&format!("{kind}{charset}")) {
        headers.insert(header::CONTENT_TYPE, kind);
    }
    if path.starts_with("assets/") {
        let forever = HeaderValue::from_static("public, max-age=31536000, immutable");
        headers.insert(header::CACHE_CONTROL, forever);
    }
    response
}

/// Whether the browser reads brotli.
fn takes_brotli(asked_with: &HeaderMap) -> bool {
    let values = asked_with.get_all(header::ACCEPT_ENCODING).iter().filter_map(|value| value.to_str().ok());
    let mut codings =
        values.flat_map(|value| value.split(',')).map(|coding| coding.split(';').map(str::trim));
    codings.any(|mut coding| coding.next() == Some("br") && coding.all(|weight| weight != "q=0"))
}

/// A page with its relative addresses made absolute: a page may be one or two levels deep, but its files are always
/// at the first.
fn placed(page: &[u8], site: &Site) -> String {
    String::from_utf8_lossy(page).replace("\"./", &format!("\"{}/", site.path))
}
