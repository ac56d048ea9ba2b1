//! Who may ask: the page that this server has sent, and nobody else.
//!
//! A page of another origin may send requests to this machine, and its name may be made to mean this machine (DNS
//! rebinding). It cannot change the headers `Host`, `Origin` and `Sec-Fetch-Site` (WHATWG, Fetch, forbidden request
//! headers), and it does not know the token.

use std::net::SocketAddr;

use hyper::header::{CONTENT_TYPE, HOST, HeaderName, ORIGIN};
use hyper::http::request::Parts;
use hyper::{HeaderMap, Method, StatusCode};
use sha2::{Digest, Sha256};

/// Bytes of a token: nobody guesses so many.
const TOKEN_BYTES: usize = 16;

const SEC_FETCH_SITE: HeaderName = HeaderName::from_static("sec-fetch-site");

/// What a request that may be answered is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AskedFor {
    Page,
    Answer,
}

/// A request that is not answered.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Refused(pub StatusCode);

/// What a request has to have.
#[derive(Debug)]
pub struct Guard {
    host: String,
    token: String,
}

impl Guard {
    /// For the server at this address, with a token that nobody knows.
    ///
    /// # Errors
    /// If the system has no random numbers.
    pub fn new(address: SocketAddr) -> Result<Guard, getrandom::Error> {
        let mut bytes = [0; TOKEN_BYTES];
        getrandom::fill(&mut bytes)?;
        // Browsers leave the usual port out.
        let host = match address.port() {
            80 => address.ip().to_string(),
            _ => address.to_string(),
        };
        Ok(Guard {
            host,
            token: bytes.iter().map(|byte| format!("{byte:02x}")).collect(),
        })
    }

    /// Where the page is.
    pub fn address(&self) -> String {
        format!("http://{}/{}/", self.host, self.token)
    }

    /// What a request is for.
    ///
    /// # Errors
    /// The status of the answer, which says nothing else.
    pub fn judge(&self, request: &Parts) -> Result<AskedFor, Refused> {
        let headers = &request.headers;
        let origin = format!("http://{}", self.host);
        let is_ours = only(headers, &HOST) == Some(self.host.as_str())
            && request.uri.authority().is_none()
            && headers
                .get_all(ORIGIN)
                .iter()
                .all(|given| given == origin.as_str());
        let site = headers.get_all(SEC_FETCH_SITE);
        let is_same_site = site
            .iter()
            .all(|site| site == "same-origin" || site == "none");
        if !is_ours || !is_same_site {
            return Err(Refused(StatusCode::FORBIDDEN));
        }
        let path = request.uri.path().trim_start_matches('/');
        let (token, rest) = path.split_once('/').ok_or(Refused(StatusCode::NOT_FOUND))?;
        if !self.is_token(token) || request.uri.query().is_some() {
            return Err(Refused(StatusCode::NOT_FOUND));
        }
        match (rest, &request.method) {
            ("", &Method::GET) => Ok(AskedFor::Page),
            ("ask", &Method::POST) => self.judge_question(headers, &origin),
            ("" | "ask", _) => Err(Refused(StatusCode::METHOD_NOT_ALLOWED)),
            _ => Err(Refused(StatusCode::NOT_FOUND)),
        }
    }

    fn judge_question(&self, headers: &HeaderMap, origin: &str) -> Result<AskedFor, Refused> {
        if only(headers, &ORIGIN) != Some(origin) {
            return Err(Refused(StatusCode::FORBIDDEN));
        }
        match only(headers, &CONTENT_TYPE) {
            Some("application/json") => Ok(AskedFor::Answer),
            _ => Err(Refused(StatusCode::UNSUPPORTED_MEDIA_TYPE)),
        }
    }

    /// Compared by their hashes, so that the time that takes says nothing of how much of a guess is right.
    fn is_token(&self, guess: &str) -> bool {
        Sha256::digest(guess) == Sha256::digest(&self.token)
    }
}

/// A header that is given once, as text.
fn only<'h>(headers: &'h HeaderMap, name: &HeaderName) -> Option<&'h str> {
    let mut all = headers.get_all(name).iter();
    match (all.next(), all.next()) {
        (Some(value), None) => value.to_str().ok(),
        _ => None,
    }
}
