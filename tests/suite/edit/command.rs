//! `shopstride edit` as somebody calls it.

use std::fs;
use std::io::{Read, Write};
use std::net::TcpStream;

use crate::support::command::{done, folder, refused, text};

use super::sessions::SHOP;

#[test]
fn it_says_where_the_page_is_and_ends_by_itself() {
    let folder = folder();
    fs::write(folder.path().join("shop.yaml"), SHOP).expect("writable");
    let output = done(&["edit", "shop.yaml", "--for", "1 s"], folder.path());
    let said = text(&output.stdout);
    let address = said
        .split_whitespace()
        .find(|word| word.starts_with("http://127.0.0.1:"));
    let token = address.and_then(|address| address.split('/').nth(3));
    let token = token.expect("an address");
    assert_eq!(token.len(), 32, "{said}");
    assert!(
        token.chars().all(|letter| letter.is_ascii_hexdigit()),
        "{said}"
    );
    let again = done(&["edit", "shop.yaml", "--for", "1 s"], folder.path());
    assert!(
        !text(&again.stdout).contains(token),
        "every time another one"
    );
    let written = fs::read_to_string(folder.path().join("shop.yaml")).expect("readable");
    assert_eq!(written, SHOP);
}

#[test]
fn what_cannot_be_edited_is_refused_before_anything_is_served() {
    let folder = folder();
    let at = folder.path();
    fs::write(at.join("shop.yaml"), SHOP).expect("writable");
    fs::write(at.join("wrong.yaml"), SHOP.replace("at: rack", "at: rak")).expect("writable");
    let measured = "title: a\nstations: {saw: {does: {cut: {per piece: 1 min}}}}\nprojects: {box: {pieces: 1, material at: saw, route: [cut]}}\norders: [{project: box}]\nlayouts: {now: {distances: 0}}\n";
    fs::write(at.join("measured.yaml"), measured).expect("writable");
    refused(&["edit", "no folder/none.yaml"], at, "cannot be read");
    refused(&["edit", "wrong.yaml"], at, "did you mean `rack`?");
    refused(&["edit", "measured.yaml"], at, "nothing can be moved");
    refused(&["edit", "shop.yaml", "--layout", "no"], at, "`now`");
    refused(&["edit", "--out", "shop.yaml"], at, "there is such a file");
    refused(&["edit", "--out", "-"], at, "name a file");
    fs::write(at.join("notes.txt"), "mine").expect("writable");
    refused(&["edit", "--out", "notes.txt"], at, "there is such a file");
    refused(&["edit", "shop.yaml", "--for", "0"], at, "a time above 0");
    refused(
        &["edit", "shop.yaml", "--for", "soon"],
        at,
        "such as \"8 h\"",
    );
    refused(&["edit", "shop.yaml", "--port", "70000"], at, "70000");
}

#[test]
fn a_file_that_is_not_there_is_begun_and_not_written_by_itself() {
    let folder = folder();
    let output = done(&["edit", "mine.yaml", "--for", "1 s"], folder.path());
    assert!(text(&output.stdout).contains("http://127.0.0.1:"));
    assert_eq!(fs::read_dir(folder.path()).expect("readable").count(), 0);
}

/// A port that somebody else has, with somebody who answers there.
#[test]
fn a_port_that_is_taken_is_refused() {
    let folder = folder();
    fs::write(folder.path().join("shop.yaml"), SHOP).expect("writable");
    let taken = std::net::TcpListener::bind("127.0.0.1:0").expect("a port");
    let port = taken.local_addr().expect("bound").port().to_string();
    let arguments = ["edit", "shop.yaml", "--port", &port, "--for", "1 s"];
    refused(&arguments, folder.path(), "leave it out");
}

/// The program itself, from the first request to the last.
#[test]
fn the_page_is_whole_and_nothing_else_is_served() {
    let folder = folder();
    fs::write(folder.path().join("shop.yaml"), SHOP).expect("writable");
    let mut served = std::process::Command::new(env!("CARGO_BIN_EXE_shopstride"))
        .args(["edit", "--quiet", "shop.yaml", "--for", "1 min"])
        .current_dir(folder.path())
        .stdout(std::process::Stdio::piped())
        .spawn()
        .expect("the program runs");
    let mut said = [0; 200];
    let stdout = served.stdout.as_mut().expect("piped");
    let length = stdout.read(&mut said).expect("it says where it is");
    let said = text(&said[..length]);
    let address = said.split("http://").nth(1).expect("an address");
    let (host, rest) = address.split_once('/').expect("a path");
    let token = rest.split('/').next().expect("a token");
    let get = |path: &str| {
        let mut stream = TcpStream::connect(host).expect("somebody listens");
        let request = format!("GET {path} HTTP/1.1\r\nHost: {host}\r\n\r\n");
        stream.write_all(request.as_bytes()).expect("sent");
        let mut answer = Vec::new();
        stream.read_to_end(&mut answer).expect("answered");
        text(&answer)
    };
    let page = get(&format!("/{token}/"));
    let elsewhere = get(&format!("/{token}/shop.yaml"));
    served.kill().expect("it runs");
    served.wait().expect("it has ended");
    assert!(page.starts_with("HTTP/1.1 200"), "{page}");
    assert!(page.contains("A small shop") && page.trim_end().ends_with("</html>"));
    assert!(page.contains("script-src 'sha256-"), "{page}");
    // Nothing is fetched but the page and answers.
    for other in ["src=", "@import", "https://", "url(http"] {
        assert!(!page.contains(other), "{other}");
    }
    assert!(elsewhere.starts_with("HTTP/1.1 404"), "{elsewhere}");
}
