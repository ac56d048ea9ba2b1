//! Whoever is not the page that the server has sent gets nothing, changes nothing and holds nothing up.

use std::io::{Read, Write};
use std::net::{SocketAddr, TcpListener, TcpStream};
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;
use std::time::{Duration, Instant};

use serde_json::json;
use shopstride::editor::{Desk, Guard, READ_WITHIN, Served, serve};
use shopstride::report::editor::EditorPage;

/// What nobody else may read.
const SECRET: &str = "the shop of somebody";
/// Nothing takes longer here unless it hangs.
const PATIENCE: Duration = Duration::from_secs(20);

/// A server with a page, and with somebody who answers every question.
struct Server {
    address: SocketAddr,
    token: String,
    asked: Arc<AtomicUsize>,
    ended: thread::JoinHandle<std::io::Result<()>>,
}

impl Server {
    fn start(how_long: Duration) -> Server {
        Server::reading_within(READ_WITHIN, how_long)
    }

    /// One that waits only so long for what it is sent.
    fn reading_within(read_within: Duration, how_long: Duration) -> Server {
        let listener = TcpListener::bind("127.0.0.1:0").expect("a port");
        let address = listener.local_addr().expect("bound");
        let guard = Guard::new(address).expect("random numbers");
        let token = guard
            .address()
            .split('/')
            .nth(3)
            .expect("a token")
            .to_owned();
        let desk = Arc::new(Desk::default());
        let page = EditorPage {
            html: SECRET.to_owned(),
            policy: "default-src 'none'".to_owned(),
        };
        let served = Served {
            page,
            guard,
            desk: Arc::clone(&desk),
            read_within,
        };
        let asked = Arc::new(AtomicUsize::new(0));
        let counted = Arc::clone(&asked);
        thread::spawn(move || {
            while let Some(job) = desk.next() {
                counted.fetch_add(1, Ordering::SeqCst);
                job.reply(json!({"told": SECRET}));
            }
        });
        let ended = thread::spawn(move || serve(listener, served, Some(how_long)));
        Server {
            address,
            token,
            asked,
            ended,
        }
    }

    fn asked(&self) -> usize {
        self.asked.load(Ordering::SeqCst)
    }

    fn connect(&self) -> TcpStream {
        let stream = TcpStream::connect(self.address).expect("somebody listens");
        stream.set_read_timeout(Some(PATIENCE)).expect("a time");
        stream
    }

    /// What comes back for these bytes.
    fn send(&self, request: &str) -> String {
        let mut stream = self.connect();
        // A server may hang up before everything has been sent.
        let _ = stream.write_all(request.as_bytes());
        read_all(stream)
    }

    /// The page as its own browser asks for it.
    fn page(&self) -> String {
        let Server { address, token, .. } = self;
        self.send(&format!(
            "GET /{token}/ HTTP/1.1\r\nHost: {address}\r\n\r\n"
        ))
    }

    fn question(&self) -> Sent {
        Sent {
            path: format!("/{}/ask", self.token),
            headers: vec![
                ("Host", self.address.to_string()),
                ("Origin", format!("http://{}", self.address)),
                ("Content-Type", "application/json".to_owned()),
                ("Sec-Fetch-Site", "same-origin".to_owned()),
            ],
            method: "POST",
            body: r#"{"ask": "state"}"#.to_owned(),
        }
    }
}

#[derive(Clone)]
struct Sent {
    method: &'static str,
    path: String,
    headers: Vec<(&'static str, String)>,
    body: String,
}

impl Sent {
    /// With another value of a header, or without it.
    fn with(mut self, header: &'static str, value: Option<&str>) -> Sent {
        self.headers.retain(|(name, _)| *name != header);
        self.headers
            .extend(value.map(|value| (header, value.to_owned())));
        self
    }

    fn bytes(&self) -> String {
        let headers: String = (self.headers.iter())
            .map(|(name, value)| format!("{name}: {value}\r\n"))
            .collect();
        let Sent {
            method, path, body, ..
        } = self;
        format!(
            "{method} {path} HTTP/1.1\r\n{headers}Content-Length: {}\r\n\r\n{body}",
            body.len()
        )
    }
}

fn read_all(mut stream: TcpStream) -> String {
    let mut all = Vec::new();
    // A connection that is reset has nothing more to say.
    let _ = stream.read_to_end(&mut all);
    String::from_utf8_lossy(&all).into_owned()
}

fn status(answer: &str) -> &str {
    answer.split(' ').nth(1).unwrap_or("nothing")
}

#[test]
fn the_page_itself_is_answered_and_says_what_may_be_done_with_it() {
    let server = Server::start(PATIENCE);
    let page = server.page();
    assert_eq!(status(&page), "200", "{page}");
    assert!(page.ends_with(SECRET));
    let answer = server.send(&server.question().bytes());
    assert_eq!(status(&answer), "200", "{answer}");
    assert!(answer.ends_with(&json!({"told": SECRET}).to_string()));
    assert_eq!(server.asked(), 1);
    for (of, content_type) in [(&page, "text/html"), (&answer, "application/json")] {
        let of = of.to_lowercase();
        for header in [
            &format!("content-type: {content_type}; charset=utf-8"),
            "content-security-policy: default-src 'none'",
            "x-content-type-options: nosniff",
            "cache-control: no-store",
            "cross-origin-resource-policy: same-origin",
            "x-frame-options: deny",
        ] {
            assert!(of.contains(header), "{header}: {of}");
        }
        assert!(!of.contains("access-control-allow"), "{of}");
    }
}

#[test]
fn nobody_else_is_answered() {
    let server = Server::start(PATIENCE);
    let own = || server.question();
    let port = server.address.port();
    let rebound = format!("shop.example:{port}");
    let foreign = [
        // A page of another origin, and one that hides its own.
        own().with("Origin", Some("http://evil.example")),
        own().with("Origin", Some("null")),
        own().with("Origin", Some(&format!("https://127.0.0.1:{port}"))),
        own().with("Origin", None),
        own().with("Sec-Fetch-Site", Some("cross-site")),
        own().with("Sec-Fetch-Site", Some("same-site")),
        // A name that has been made to mean this machine.
        own()
            .with("Host", Some(&rebound))
            .with("Origin", Some(&format!("http://{rebound}"))),
        own().with("Host", Some(&format!("localhost:{port}"))),
        own().with("Host", Some("127.0.0.1")),
        own().with("Host", None),
        // A form, which needs nobody's leave.
        own().with("Content-Type", Some("text/plain")),
        own().with("Content-Type", Some("application/x-www-form-urlencoded")),
        own().with("Content-Type", None),
    ];
    let mut refused: Vec<String> = foreign.iter().map(Sent::bytes).collect();
    let token = &server.token;
    let wrong = format!("{}0", &token[..token.len() - 1]);
    let wrong = if wrong == *token {
        token.replace('0', "1")
    } else {
        wrong
    };
    for path in [
        "/ask".to_owned(),
        "/".to_owned(),
        format!("/{wrong}/ask"),
        format!("/{}/ask", &token[1..]),
        format!(
            "/{}/ask",
            token
                .to_uppercase()
                .replace(|c: char| c.is_ascii_digit(), "F")
        ),
        format!("/{token}/ask?x=1"),
        format!("/{token}/../../etc/passwd"),
        format!("/{token}/%2e%2e/shop.yaml"),
        format!("http://{}/{token}/ask", server.address),
        format!("http://evil.example/{token}/ask"),
    ] {
        refused.push(Sent { path, ..own() }.bytes());
    }
    for method in ["GET", "PUT", "OPTIONS", "DELETE", "HEAD"] {
        refused.push(Sent { method, ..own() }.bytes());
    }
    let address = server.address;
    refused.push(format!("GET /{token}/ HTTP/1.1\r\nHost: {rebound}\r\n\r\n"));
    refused.push(format!(
        "GET /{token}/ HTTP/1.1\r\nHost: {address}\r\nHost: {rebound}\r\n\r\n"
    ));
    refused.push(format!(
        "GET /{token}/ HTTP/1.1\r\nHost: {address}\r\nOrigin: http://evil.example\r\n\r\n"
    ));
    refused.push(format!(
        "GET /{token}/ HTTP/1.1\r\nHost: {address}\r\nSec-Fetch-Site: cross-site\r\n\r\n"
    ));
    refused.push("nonsense\r\n\r\n".to_owned());
    for request in &refused {
        let answer = server.send(request);
        assert!(!answer.contains(SECRET), "{request} is answered {answer}");
        assert!(
            status(&answer).starts_with('4'),
            "{request} is answered {answer}"
        );
    }
    assert_eq!(server.asked(), 0);
    assert_eq!(status(&server.page()), "200");
}

#[test]
fn what_is_too_large_or_means_nothing_is_not_taken() {
    let server = Server::start(PATIENCE);
    let own = || server.question();
    let long = "x".repeat(1 << 20);
    let large = Sent {
        body: format!(r#"{{"ask": "layout", "name": "{long}"}}"#),
        ..own()
    };
    assert_eq!(status(&server.send(&large.bytes())), "413");
    // It says that it is small, or not how large it is.
    let chunked = format!(
        "{}Transfer-Encoding: chunked\r\n\r\n100000\r\n{long}\r\n0\r\n\r\n",
        large
            .bytes()
            .split("Content-Length")
            .next()
            .expect("headers")
    );
    assert!(!server.send(&chunked).contains(SECRET));
    let headers = own().with("X-Long", Some(&long));
    assert_eq!(status(&server.send(&headers.bytes())), "431");
    let many = (0..2000).fold(own(), |mut many, _| {
        many.headers.push(("X-Many", "1".to_owned()));
        many
    });
    assert_eq!(status(&server.send(&many.bytes())), "431");
    for body in [
        "",
        "{",
        "[]",
        r#"{"ask": "read"}"#,
        r#"{"ask": "state", "file": "x"}"#,
        "\u{0}",
    ] {
        let nonsense = Sent {
            body: body.to_owned(),
            ..own()
        };
        assert_eq!(status(&server.send(&nonsense.bytes())), "400", "{body}");
    }
    let deep = Sent {
        body: "[".repeat(10_000),
        ..own()
    };
    assert_eq!(status(&server.send(&deep.bytes())), "400");
    assert_eq!(server.asked(), 0);
    assert_eq!(status(&server.page()), "200");
}

#[test]
fn who_is_slow_holds_nobody_up() {
    // Usually it waits longer, which would only make this take longer.
    const WITHIN: Duration = Duration::from_secs(2);
    assert!((WITHIN..=3 * WITHIN).contains(&READ_WITHIN));
    let server = Server::reading_within(WITHIN, Duration::from_secs(60));
    let begun = Instant::now();
    let is_before = |end: Duration| assert!(begun.elapsed() < end, "{:?}", begun.elapsed());
    // Nothing, half of the headers, and headers without what they announce.
    let whole = server.question().bytes();
    let half = &whole[..40];
    let announced = &whole[..whole.len() - 5];
    let slow: Vec<TcpStream> = ["", half, announced]
        .iter()
        .cycle()
        .take(40)
        .map(|part| {
            let mut stream = server.connect();
            stream.write_all(part.as_bytes()).expect("taken");
            stream
        })
        .collect();
    assert_eq!(status(&server.page()), "200");
    is_before(WITHIN);
    // More than there are places: who comes later waits for the slow ones to be sent away.
    let silent: Vec<TcpStream> = (0..100).map(|_| server.connect()).collect();
    let page = server.page();
    assert_eq!(status(&page), "200", "{page}");
    for stream in slow {
        let answer = read_all(stream);
        assert!(!answer.contains(SECRET), "{answer}");
    }
    is_before(PATIENCE);
    assert_eq!(server.asked(), 0);
    drop(silent);
}

#[test]
fn ten_thousand_requests_are_refused_and_the_page_is_still_answered() {
    let server = Server::start(Duration::from_secs(120));
    let begun = Instant::now();
    let guess = |nth: usize| {
        let path = format!("/{nth:032x}/ask");
        Sent {
            path,
            ..server.question()
        }
        .bytes()
    };
    thread::scope(|scope| {
        for of in 0..4 {
            let (server, guess) = (&server, &guess);
            scope.spawn(move || {
                for nth in (0..10_000).skip(of).step_by(4) {
                    let answer = server.send(&guess(nth));
                    assert_eq!(status(&answer), "404", "{answer}");
                }
            });
        }
    });
    assert!(
        begun.elapsed() < Duration::from_secs(60),
        "{:?}",
        begun.elapsed()
    );
    assert_eq!(server.asked(), 0);
    assert_eq!(status(&server.page()), "200");
    assert_eq!(status(&server.send(&server.question().bytes())), "200");
}

#[test]
fn how_far_a_long_answer_is_can_be_asked_meanwhile() {
    let server = Server::start(PATIENCE);
    let progress = Sent {
        body: r#"{"ask": "progress"}"#.to_owned(),
        ..server.question()
    };
    let answer = server.send(&progress.bytes());
    assert!(answer.ends_with(r#"{"progress":""}"#), "{answer}");
    assert_eq!(server.asked(), 0, "whoever answers is not disturbed");
}

#[test]
fn it_ends_after_so_long() {
    let server = Server::start(Duration::from_millis(300));
    assert_eq!(status(&server.page()), "200");
    let begun = Instant::now();
    server.ended.join().expect("no panic").expect("no error");
    assert!(begun.elapsed() < Duration::from_secs(5));
    assert!(
        TcpStream::connect(server.address).is_err(),
        "nobody listens any more"
    );
}
