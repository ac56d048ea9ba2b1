//! Serves one page on this machine and hands its questions to whoever answers them. What comes in is bounded in size,
//! in number and in time, and nothing of it is taken before the [`Guard`] has let it in.

use std::convert::Infallible;
use std::io;
use std::net::TcpListener;
use std::sync::Arc;
use std::time::Duration;

use http_body_util::{BodyExt, Full, Limited};
use hyper::body::{Bytes, Incoming};
use hyper::header::{HeaderName, HeaderValue};
use hyper::server::conn::http1;
use hyper::service::service_fn;
use hyper::{Request, Response, StatusCode};
use hyper_util::rt::{TokioIo, TokioTimer};
use tokio::net::TcpStream;
use tokio::sync::Semaphore;
use tokio::time::{sleep, timeout};

use super::{Ask, AskedFor, Desk, Guard, Refused};
use crate::report::editor::EditorPage;

/// A browser opens six connections to one host.
const MOST_CONNECTIONS: usize = 64;
/// Of the first line and the headers.
const MOST_HEADER_BYTES: usize = 16 << 10;
/// Of a question.
const MOST_BODY_BYTES: usize = 16 << 10;
/// Until all headers have come, and then until all of a question has.
pub const READ_WITHIN: Duration = Duration::from_secs(5);
/// Until an answer has been made and taken.
const ANSWERED_WITHIN: Duration = Duration::from_secs(600);
/// Before it is tried again where no connection can be taken, as when there are no more file handles.
const PAUSE: Duration = Duration::from_millis(50);

/// What is served.
pub struct Served {
    pub page: EditorPage,
    pub guard: Guard,
    pub desk: Arc<Desk>,
    /// How long is waited for headers, and then for a question: [`READ_WITHIN`].
    pub read_within: Duration,
}

/// Serves until so long has passed, or for ever, and closes the desk at the end.
///
/// # Errors
/// If the system refuses what a server needs.
pub fn serve(listener: TcpListener, served: Served, how_long: Option<Duration>) -> io::Result<()> {
    let desk = Arc::clone(&served.desk);
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_io()
        .enable_time()
        .build()?;
    let ended = runtime.block_on(async {
        let taking = take_all(listener, Arc::new(served));
        match how_long {
            Some(how_long) => timeout(how_long, taking).await.unwrap_or(Ok(())),
            None => taking.await,
        }
    });
    desk.close();
    ended
}

async fn take_all(listener: TcpListener, served: Arc<Served>) -> io::Result<()> {
    listener.set_nonblocking(true)?;
    let listener = tokio::net::TcpListener::from_std(listener)?;
    let free = Arc::new(Semaphore::new(MOST_CONNECTIONS));
    loop {
        let Ok(place) = Arc::clone(&free).acquire_owned().await else {
            return Ok(());
        };
        let Ok((stream, from)) = listener.accept().await else {
            sleep(PAUSE).await;
            continue;
        };
        if !from.ip().is_loopback() {
            continue;
        }
        let served = Arc::clone(&served);
        tokio::spawn(async move {
            take(stream, served).await;
            drop(place);
        });
    }
}

/// One connection, with one request.
async fn take(stream: TcpStream, served: Arc<Served>) {
    let read_within = served.read_within;
    let service = service_fn(move |request| {
        let served = Arc::clone(&served);
        async move { Ok::<_, Infallible>(answer(request, &served).await) }
    });
    let connection = http1::Builder::new()
        .timer(TokioTimer::new())
        .header_read_timeout(read_within)
        .max_buf_size(MOST_HEADER_BYTES)
        .keep_alive(false)
        .serve_connection(TokioIo::new(stream), service);
    // Who sends nonsense, or nothing, or goes away, is no error of ours.
    let _ = timeout(ANSWERED_WITHIN, connection).await;
}

async fn answer(request: Request<Incoming>, served: &Served) -> Response<Full<Bytes>> {
    let (parts, body) = request.into_parts();
    let answered = match served.guard.judge(&parts) {
        Ok(AskedFor::Page) => Ok(page(&served.page)),
        Ok(AskedFor::Answer) => asked(body, served).await,
        Err(refused) => Err(refused),
    };
    answered.unwrap_or_else(|Refused(status)| {
        let text = status.canonical_reason().unwrap_or_default();
        response(status, "text/plain; charset=utf-8", text.to_owned())
    })
}

async fn asked(body: Incoming, served: &Served) -> Result<Response<Full<Bytes>>, Refused> {
    let body = Limited::new(body, MOST_BODY_BYTES).collect();
    let body = timeout(served.read_within, body)
        .await
        .map_err(|_| Refused(StatusCode::REQUEST_TIMEOUT))?
        .map_err(|_| Refused(StatusCode::PAYLOAD_TOO_LARGE))?;
    let ask: Ask =
        serde_json::from_slice(&body.to_bytes()).map_err(|_| Refused(StatusCode::BAD_REQUEST))?;
    let desk = &served.desk;
    let json = "application/json; charset=utf-8";
    // Whoever answers is busy just then.
    if ask == (Ask::Progress {}) {
        return Ok(response(StatusCode::OK, json, desk.progress().to_string()));
    }
    let waiting = desk
        .hand_in(ask)
        .ok_or(Refused(StatusCode::SERVICE_UNAVAILABLE))?;
    let answer = waiting
        .await
        .map_err(|_| Refused(StatusCode::SERVICE_UNAVAILABLE))?;
    Ok(response(StatusCode::OK, json, answer.to_string()))
}

fn page(page: &EditorPage) -> Response<Full<Bytes>> {
    let html = "text/html; charset=utf-8";
    let mut sent = response(StatusCode::OK, html, page.html.clone());
    if let Ok(policy) = HeaderValue::from_str(&page.policy) {
        let name = HeaderName::from_static("content-security-policy");
        sent.headers_mut().insert(name, policy);
    }
    sent
}

/// The headers of every answer: it is what it says, nobody keeps it, and no other page may use it.
const HEADERS: [(&str, &str); 7] = [
    (
        "content-security-policy",
        "default-src 'none'; frame-ancestors 'none'",
    ),
    ("x-content-type-options", "nosniff"),
    ("cache-control", "no-store"),
    ("referrer-policy", "same-origin"),
    ("cross-origin-resource-policy", "same-origin"),
    ("cross-origin-opener-policy", "same-origin"),
    ("x-frame-options", "DENY"),
];

fn response(status: StatusCode, content_type: &'static str, text: String) -> Response<Full<Bytes>> {
    let mut sent = Response::new(Full::new(Bytes::from(text)));
    *sent.status_mut() = status;
    let headers = sent.headers_mut();
    for (name, value) in HEADERS {
        headers.insert(name, HeaderValue::from_static(value));
    }
    headers.insert("content-type", HeaderValue::from_static(content_type));
    sent
}
