//! JSON bodies.

use axum::Json;
use axum::extract::{FromRequest, Request};

use crate::failure::Failure;

/// A JSON body. A malformed one is answered with where and why.
#[derive(Debug)]
pub struct JsonBody<T>(pub T);

impl<S: Send + Sync, T: serde::de::DeserializeOwned> FromRequest<S> for JsonBody<T> {
    type Rejection = Failure;

    async fn from_request(request: Request, state: &S) -> Result<Self, Failure> {
        let body = Json::<T>::from_request(request, state).await;
        body.map(|Json(body)| Self(body)).map_err(|rejection| Failure::Body(rejection.body_text()))
    }
}
